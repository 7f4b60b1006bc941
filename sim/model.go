package sim

import (
	"reflect"
	"sort"
)

// Model is one entry of the registry from which the block language, the `models` command and the page
// "What each model does" are all made. A model is a struct whose exported fields are its inputs and whose
// Run method gives a result struct; all numbers are coherent SI.
//
// An error from Run means that this combination of inputs can't be (a joint out of reach, a value outside
// the model's range): the caller shows it as absent, never as a number. A NaN in a result means that this
// one output is absent.
type Model struct {
	Name     string
	Input    reflect.Type // the model struct
	Result   reflect.Type // what Run returns
	Uses     []string     // Vehicle fields that can change the result, as dotted paths that include all below them; nil: all
	Optional []string     // Vehicle fields without a default that the model can do without: what needs them is then absent, not the whole result
	run      func(in, out any) error
}

// Run evaluates the model: in points to an Input, out to a Result.
func (m Model) Run(in, out any) error { return m.run(in, out) }

type runner[R any] interface{ Run() (R, error) }

// user is implemented by a model that reads only some fields of its Vehicle, so that a spread of the
// others (a tyre's mass, for a geometric model) costs nothing.
type user interface{ Uses() []string }

// optional is implemented by a model that can do without some fields that have no default.
type optional interface{ Optional() []string }

var registry = map[string]Model{}

func register[M runner[R], R any]() {
	var zero M
	m := Model{
		Input:  reflect.TypeFor[M](),
		Result: reflect.TypeFor[R](),
		run: func(in, out any) error {
			r, err := (*in.(*M)).Run()
			if err == nil {
				*out.(*R) = r
			}
			return err
		},
	}
	m.Name = m.Input.Name()
	if u, ok := any(zero).(user); ok {
		m.Uses = u.Uses()
	}
	if o, ok := any(zero).(optional); ok {
		m.Optional = o.Optional()
	}
	registry[m.Name] = m
}

// Models lists every model by name.
func Models() []Model {
	list := make([]Model, 0, len(registry))
	for _, m := range registry {
		list = append(list, m)
	}
	sort.Slice(list, func(i, j int) bool { return list[i].Name < list[j].Name })
	return list
}

// Find gives a model by name.
func Find(name string) (Model, bool) {
	m, ok := registry[name]
	return m, ok
}
