package sim

import (
	"reflect"
	"slices"
	"sort"
	"strings"
)

// Model is one entry of the registry from which the block language, the `models` command and the page
// "What each model does" are all made. A model is a struct whose exported fields are its inputs and whose
// Run method gives a result struct; all numbers are coherent SI.
//
// An error from Run means that this combination of inputs can't be (a joint out of reach, a value outside
// the model's range): the caller shows it as absent, never as a number. A NaN in a result means that this
// one output is absent, and its field's tag `absent` says why; without the tag it is a mistake in the model.
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
	m := modelOf[M, R]()
	registry[m.Name] = m
}

func modelOf[M runner[R], R any]() Model {
	m := describeModel[M]()
	m.Result = reflect.TypeFor[R]()
	m.run = func(in, out any) error {
		r, err := (*in.(*M)).Run()
		if err == nil {
			*out.(*R) = r
		}
		return err
	}
	return m
}

// describeModel reads what a model says of its inputs.
func describeModel[M any]() Model {
	var zero M
	m := Model{Input: reflect.TypeFor[M]()}
	m.Name = m.Input.Name()
	if u, ok := any(zero).(user); ok {
		m.Uses = u.Uses()
	}
	if o, ok := any(zero).(optional); ok {
		m.Optional = o.Optional()
	}
	return m
}

// Reads tells whether an input can change the result, by its dotted path: "Vehicle.Tyre.Mass". Of the vehicle that is
// what Uses names, of another input everything, unless Uses names parts of it ("Old.Mass", of a tyre to compare with).
//
// What a vehicle or a tyre is called changes nothing; in a list, a name tells which item is meant.
func (m Model) Reads(path string) bool {
	if strings.HasSuffix(path, ".Name") && !strings.Contains(path, "[") {
		return false
	}
	if m.Uses == nil {
		return true
	}
	rest, inVehicle := strings.CutPrefix(path, "Vehicle.")
	// "Body" means every item of the list.
	if list, item, ok := strings.Cut(rest, "["); ok {
		_, inside, _ := strings.Cut(item, "]")
		rest = list + inside
	}
	if !inVehicle {
		input, _, inside := strings.Cut(path, ".")
		partly := slices.ContainsFunc(m.Uses, func(u string) bool { return strings.HasPrefix(u, input+".") })
		if !inside || !partly {
			return true
		}
	}
	return listed(m.Uses, rest, func(path, use string) bool {
		if len(path) < len(use) {
			path, use = use, path
		}
		return leadsFrom(path, use)
	})
}

// doesWithout tells whether the model gives a result where a field without a default isn't given.
func (m Model) doesWithout(path string) bool {
	return listed(m.Optional, strings.TrimPrefix(path, "Vehicle."), leadsFrom)
}

// listed tells whether a path, or the one it stands for on the left corner, has to do with any of a list. The right
// corner is the left one's mirror: what matters in one matters in the other.
func listed(list []string, path string, do func(path, item string) bool) bool {
	here := func(item string) bool { return do(path, item) }
	if side, isRight := strings.CutPrefix(path, "Right"); isRight {
		left := "Front" + side
		here = func(item string) bool { return do(path, item) || do(left, item) }
	}
	return slices.ContainsFunc(list, here)
}

// leadsFrom tells whether a dotted path is another or leads on from it into a part.
func leadsFrom(path, of string) bool {
	return strings.HasPrefix(path, of) && (len(path) == len(of) || path[len(of)] == '.')
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

// andOld adds, for each field of the vehicle's Tyre among those named, the same one of an input Old: a tyre to
// compare with is read as the vehicle's own is.
func andOld(fields ...string) []string {
	all := slices.Clone(fields)
	for _, f := range fields {
		if of, ok := strings.CutPrefix(f, "Tyre."); ok {
			all = append(all, "Old."+of)
		}
	}
	return all
}
