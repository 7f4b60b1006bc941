// Package reference tells everything that a notebook can say: what each model takes, gives, assumes and cites, what a
// vehicle's parts are made of, figures, functions, units and how a notebook is written. Models and parts come from
// package sim: names, units and defaults from the registry and the field tags, words from the doc comments. The rest
// comes from package vocabulary, which the language is bound from, and from the table of units. So the text can't drift
// from the code.
package reference

import (
	"fmt"
	"go/ast"
	"go/doc"
	"go/doc/comment"
	"go/parser"
	"go/token"
	"io/fs"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"turnplate/sim"
	"turnplate/sim/geom"
	"turnplate/sim/unit"
)

// Kind is what an entry describes.
type Kind int

// The kinds, in the order in which they are told.
const (
	Model Kind = iota
	Part       // of a vehicle, or what a model takes
	Figure
	Piece // of a figure
	Function
	Unit
	Topic
)

// Entry describes one thing that a notebook can say.
type Entry struct {
	Name     string
	Kind     Kind
	Call     string // how a function is called
	Group    string // of a function
	Doc      *comment.Doc
	Synopsis string // the doc comment's first sentence
	Takes    []Field
	Gives    []Field  // a model's outputs
	Reads    []string // the vehicle's fields that can change a model's result; nil: all
	ReadsOf  []string // the same of other inputs, dotted: "Old.Mass"

	Glance   string // Markdown: a model's formula, what stands for what in it, and a sketch; or ""
	Block    string // an example for a parameter block, or ""
	Sentence string // shows in the text what came of it, or ""

	heading string // of its page, where that isn't the name
}

// Field is one input or output.
type Field struct {
	Name    string // dotted where it stands inside another
	Kind    string // "mm", "number", "yes or no", "text", "point in mm", "Tyre"
	US      string // the unit that readers of US units see, "" where that is the same
	Default string // "" when required, or for an output
	Must    bool   // an input without default
	Words   string // from the comment beside it in package sim
}

// parts are the structs a notebook may write, a vehicle from the largest down, then what single models take.
var parts = []reflect.Type{
	reflect.TypeFor[sim.Vehicle](), reflect.TypeFor[sim.Corner](), reflect.TypeFor[sim.Adjusters](), reflect.TypeFor[sim.Bush](), reflect.TypeFor[sim.Tyre](),
	reflect.TypeFor[sim.Steering](), reflect.TypeFor[sim.Spring](), reflect.TypeFor[sim.Obstacle](), reflect.TypeFor[sim.Sides](), reflect.TypeFor[sim.Task](), reflect.TypeFor[sim.TravelReading](),
}

// Models lists every model by name.
func Models() []Entry {
	var list []Entry
	for _, m := range sim.Models() {
		e := describe(m.Input, Model)
		e.Gives = newOutputs(m.Result).list
		e.Reads, e.ReadsOf = reads(m)
		list = append(list, e)
	}
	return list
}

// Parts lists the vehicle and what it is made of.
func Parts() []Entry {
	var list []Entry
	for _, t := range parts {
		list = append(list, describe(t, Part))
	}
	return list
}

// All lists every entry, kind by kind.
func All() []Entry { return slices.Concat(Models(), Parts(), spoken()) }

// of lists the entries of some kinds.
func of(kinds ...Kind) []Entry {
	return slices.DeleteFunc(All(), func(e Entry) bool { return !slices.Contains(kinds, e.Kind) })
}

// group is a part of the list of all entries.
type group struct {
	Title   string
	Entries []Entry
}

// groups are all entries but functions and units, as they are listed.
func groups() []group {
	return []group{
		{"Models", of(Model)},
		{"A vehicle, its parts, and what models take", of(Part)},
		{"Figures, and what they are made of", of(Figure, Piece)},
		{"How a notebook is written", of(Topic)},
	}
}

// Find gives the entries of a name: a word may be both a function and a topic. If nothing has this very name, capitals
// don't matter.
func Find(name string) []Entry {
	var found, close []Entry
	for _, e := range All() {
		switch bare := strings.TrimPrefix(e.Name, "."); {
		case e.Name == name, bare == name:
			found = append(found, e)
		case strings.EqualFold(bare, strings.TrimPrefix(name, ".")):
			close = append(close, e)
		}
	}
	if len(found) > 0 {
		return found
	}
	return close
}

// Names lists what Find knows.
func Names() []string { return names(All()) }

func names(entries []Entry) []string {
	var list []string
	for _, e := range entries {
		list = append(list, e.Name)
	}
	return list
}

func describe(t reflect.Type, kind Kind) Entry {
	s := words()
	e := Entry{Name: t.Name(), Kind: kind, Doc: s.parser.Parse(s.types[t.Name()])}
	e.Synopsis = s.pkg.Synopsis(s.types[t.Name()])
	e.Glance = sketched(e.readExample("examples/" + e.Name))
	for _, f := range sim.Fields(t) {
		e.Takes = append(e.Takes, field(t, f, f.Name, true))
	}
	return e
}

// reads sorts what a model reads into the vehicle's fields and those of other inputs, each once and none that
// another one holds.
func reads(m sim.Model) (vehicle, others []string) {
	for i, path := range m.Uses {
		held := slices.ContainsFunc(m.Uses, func(other string) bool { return strings.HasPrefix(path, other+".") })
		if held || slices.Contains(m.Uses[:i], path) {
			continue
		}
		first, _, inside := strings.Cut(path, ".")
		if _, input := m.Input.FieldByName(first); input && inside {
			others = append(others, path)
		} else {
			vehicle = append(vehicle, path)
		}
	}
	return vehicle, others
}

// outputs lists a result's numbers. A record inside becomes its own fields with dotted names, the first
// time; another one of the same kind is one line that says so.
type outputs struct {
	list []Field
	seen map[reflect.Type]string // where a kind of record was listed: "CamFront", or "" for the plain names
}

func newOutputs(result reflect.Type) *outputs {
	o := &outputs{seen: map[reflect.Type]string{}}
	o.embedded(result)
	o.add(result, "")
	return o
}

// embedded notes the records whose fields are plain names.
func (o *outputs) embedded(t reflect.Type) {
	for i := range t.NumField() {
		if f := t.Field(i); f.Anonymous {
			o.seen[f.Type] = ""
			o.embedded(f.Type)
		}
	}
}

func (o *outputs) add(t reflect.Type, prefix string) {
	for _, f := range sim.Fields(t) {
		out := field(t, f, prefix+f.Name, false)
		base := f.Type
		for base.Kind() == reflect.Pointer || base.Kind() == reflect.Slice {
			base = base.Elem()
		}
		if base.Kind() != reflect.Struct || base == reflect.TypeFor[geom.Point]() || slices.Contains(parts, base) {
			o.list = append(o.list, out)
			continue
		}
		out.Kind, out.US = "record", ""
		as, known := o.seen[base]
		switch {
		case !known:
			o.seen[base] = out.Name
			o.list = append(o.list, out)
			o.add(base, out.Name+".")
			continue
		case as == "":
			out.Kind = "the same"
		default:
			out.Kind = "as " + as
		}
		out.Name += ".…"
		if f.Name == "Right" && out.Words == "" {
			out.Words = "of the right wheel"
			if as == "" {
				out.Words += "; the plain names mean the left one"
			}
		}
		o.list = append(o.list, out)
	}
}

func field(t reflect.Type, f sim.Field, name string, input bool) Field {
	owner := t
	for _, i := range f.Index[:len(f.Index)-1] {
		if owner = owner.Field(i).Type; owner.Kind() == reflect.Pointer {
			owner = owner.Elem()
		}
	}
	out := Field{Name: name, Kind: kind(f.Type, f.Unit), Words: words().fields[owner.Name()+"."+f.Name]}
	if f.US.Symbol != f.Unit.Symbol {
		out.US = f.US.Symbol
	}
	if f.PerTurn {
		out.Kind += " per turn"
	}
	if input {
		tag, has := t.FieldByIndex(f.Index).Tag.Lookup("default")
		out.Must = !has && (f.Type.Kind() != reflect.Struct || f.Type == reflect.TypeFor[geom.Point]())
		out.Default = defaultText(tag, f.Unit)
		if f.Type == reflect.TypeFor[geom.Point]() && has {
			out.Default = "none" // a point of all zeros is one that isn't given
		}
		if out.Words == "" && t.Name() != "Vehicle" && name == "Vehicle" {
			out.Words = "the vehicle in question, as it is set and lifted"
		}
	}
	return out
}

func kind(t reflect.Type, u unit.Unit) string {
	switch {
	case t.Kind() == reflect.Pointer:
		return kind(t.Elem(), u)
	case t.Kind() == reflect.Slice:
		return "list of " + kind(t.Elem(), u)
	case t == reflect.TypeFor[geom.Point]() && u.Symbol == "":
		return "direction"
	case t == reflect.TypeFor[geom.Point]():
		return "point in " + u.Symbol
	case t.Kind() == reflect.Bool:
		return "yes or no"
	case t.Kind() == reflect.String:
		return "text"
	case t == reflect.TypeFor[sim.Sides]():
		return u.Symbol + " or Sides" // one value stands for both
	case t.Kind() == reflect.Struct:
		return t.Name()
	case u.Symbol == "":
		return "number"
	}
	return u.Symbol
}

// defaultText words a default tag: a number gets its unit, "0.97*Radius" a times sign.
func defaultText(tag string, u unit.Unit) string {
	if _, err := strconv.ParseFloat(tag, 64); err == nil {
		return u.Text(tag)
	}
	return strings.Replace(tag, "*", " × ", 1)
}

// source is what the Go text says.
type source struct {
	pkg    *doc.Package
	parser *comment.Parser
	types  map[string]string // doc comments
	fields map[string]string // by "Tyre.Radius", the comments beside or above
}

// words reads the package's text once.
var words = sync.OnceValue(func() *source {
	s := &source{types: map[string]string{}, fields: map[string]string{}}
	set := token.NewFileSet()
	var files []*ast.File
	entries, err := fs.ReadDir(sim.Source, ".")
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), "_test.go") {
			continue
		}
		var text []byte
		if text, err = fs.ReadFile(sim.Source, e.Name()); err != nil {
			break
		}
		var f *ast.File
		if f, err = parser.ParseFile(set, e.Name(), text, parser.ParseComments); err != nil {
			break
		}
		files = append(files, f)
	}
	if err == nil {
		s.pkg, err = doc.NewFromFiles(set, files, "turnplate/sim", doc.PreserveAST)
	}
	if err != nil {
		panic(fmt.Sprintf("reference: the program's own text can't be read: %v", err)) // it was compiled from it
	}
	s.parser = s.pkg.Parser()
	for _, t := range s.pkg.Types {
		s.types[t.Name] = t.Doc
		for _, spec := range t.Decl.Specs {
			if st, ok := spec.(*ast.TypeSpec).Type.(*ast.StructType); ok {
				s.readFields(t.Name, st)
			}
		}
	}
	return s
})

func (s *source) readFields(owner string, st *ast.StructType) {
	for _, f := range st.Fields.List {
		text := f.Comment.Text()
		if text == "" {
			text = f.Doc.Text()
		}
		for _, name := range f.Names {
			s.fields[owner+"."+name.Name] = strings.Join(strings.Fields(text), " ")
		}
	}
}
