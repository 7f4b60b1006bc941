package yours

import (
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"slices"
	"strings"
	"sync"

	"turnplate/sim"
	"turnplate/site/model"
	"turnplate/site/value"
)

// Field is one line of the form.
type Field struct {
	Path  string // as a change names it
	Label string
	Words string     // from the comment beside the field, as `turnplate tell` has them
	Of    *sim.Field // nil for the tyre's designation
}

// Parts are the boxes of a field: X, Y and Z of a point, else the field itself.
func (f Field) Parts() []string {
	if f.Of == nil || !model.IsPoint(f.Of.Type) {
		return []string{f.Path}
	}
	return []string{f.Path + ".X", f.Path + ".Y", f.Path + ".Z"}
}

// Group is a part of the form. Points stand beside a drawing that shows them.
type Group struct {
	Title, Words string
	Fields       []Field
	Points       bool
}

// first are the fields that matter most, in the words in which they are asked for.
var first = []Field{
	{Path: "Name", Label: "What you call it"},
	{Path: "Tyre", Label: "Tyre size", Words: "as moulded on its side: 285/70R17 or 35x12.50R17LT. It gives the tyre's sizes, and its load if it says so; the rest of the tyre stays"},
	{Path: "Tyre.LoadedRadius", Label: "Hub to floor"},
	{Path: "Tyre.Mass", Label: "Weight of a tyre"},
	{Path: "Tyre.RimMass", Label: "Weight of a rim"},
	{Path: "Tyre.Pressure", Label: "Tyre pressure"},
	{Path: "Mass", Label: "Weight of the truck"},
	{Path: "FrontShare", Label: "Of it on the front axle"},
	{Path: "Both.Lift", Label: "Lift in front", Words: "how much lower the wheels stand in the body than where the points were measured"},
	{Path: "RearLift", Label: "Lift behind"},
}

// Groups are all fields of a vehicle that a reader may set, in the order in which they are asked for. Where the sides
// differ, the right corner's points are asked for too.
func Groups(sidesDiffer bool) []Group {
	taken := map[string]bool{}
	take := func(g Group, list ...Field) Group {
		for _, f := range list {
			if !taken[f.Path] {
				taken[f.Path] = true
				g.Fields = append(g.Fields, f)
			}
		}
		return g
	}
	points := func(list []Field, are bool) []Field {
		return slices.DeleteFunc(slices.Clone(list), func(f Field) bool { return are != (f.Of != nil && model.IsPoint(f.Of.Type)) })
	}
	tyre, steering, spring := under("Tyre", "Tyre."), under("Steering", "Steering."), under("Spring", "Spring.")
	corner, vehicle := under("Corner", "Both."), under("Vehicle", "")
	groups := []Group{
		take(Group{Title: "What matters most"}, named(first)...),
		take(Group{Title: "The tyre"}, tyre...),
		take(Group{Title: "Steering"}, steering...),
		take(Group{Title: "Springs and dampers"}, points(spring, false)...),
		take(Group{Title: "The whole truck"}, vehicle...),
		take(Group{Title: "How the corner is set and how far its joints go"}, points(corner, false)...),
	}
	if !sidesDiffer {
		return append(groups, take(Group{Title: "Points of a front corner", Points: true, Words: pointsWords}, slices.Concat(points(under("Corner", "Front."), true), points(spring, true))...))
	}
	return append(groups,
		take(Group{Title: "Points of the left front corner", Points: true, Words: pointsWords}, slices.Concat(points(under("Corner", "Front."), true), points(spring, true))...),
		take(Group{Title: "Points of the right front corner", Words: pointsWords + " The right corner is described as if it were a left one."}, points(under("Corner", "Right."), true)...))
}

const pointsWords = "From the ground below the middle of the front axle: x forward, y to the left, z up, the truck standing as it was measured."

// named completes the fields that are asked for in words of their own.
func named(list []Field) []Field {
	out := slices.Clone(list)
	for i, f := range out {
		if f.Path == "Tyre" {
			continue
		}
		path := strings.Split(f.Path, ".")
		out[i].Of, _, _ = Lookup(path)
		if f.Words == "" {
			out[i].Words = Words(owner(path), path[len(path)-1])
		}
	}
	return out
}

// owner is the type that a path's last field belongs to.
func owner(path []string) string {
	t := reflect.TypeFor[sim.Vehicle]()
	for _, name := range path[:len(path)-1] {
		if name == "Both" {
			name = "Front"
		}
		f, _ := t.FieldByName(name)
		t = model.Base(f.Type)
	}
	return t.Name()
}

// under lists the fields of a part of the vehicle, and of parts within it, but for the parts that stand by themselves.
func under(of, prefix string) []Field {
	var list []Field
	s := model.Literals()[of]
	for i := range s.Fields {
		f := &s.Fields[i]
		switch t := model.Base(f.Type); {
		case t.Kind() == reflect.Slice:
		case t.Kind() == reflect.Struct && !model.IsPoint(t):
			if of == "Corner" {
				for _, inner := range under(t.Name(), prefix+f.Name+".") {
					if f.Name != "Adjust" {
						inner.Label = value.Humanise(f.Name) + ", " + strings.ToLower(inner.Label)
					}
					list = append(list, inner)
				}
			}
		default:
			list = append(list, Field{Path: prefix + f.Name, Label: value.Humanise(f.Name), Words: Words(of, f.Name), Of: f})
		}
	}
	return list
}

// Words is what the comment beside a field of a vehicle's part says, in one line.
func Words(of, field string) string { return comments()[of+"."+field] }

// comments reads the vehicle's own Go text once.
var comments = sync.OnceValue(func() map[string]string {
	file, err := parser.ParseFile(token.NewFileSet(), "vehicle.go", sim.VehicleSource, parser.ParseComments|parser.SkipObjectResolution)
	if err != nil {
		panic("yours: the program's own text can't be read: " + err.Error()) // it was compiled from it
	}
	found := map[string]string{}
	for _, d := range file.Decls {
		types, ok := d.(*ast.GenDecl)
		if !ok {
			continue
		}
		for _, spec := range types.Specs {
			t, _ := spec.(*ast.TypeSpec)
			if t == nil {
				continue
			}
			s, _ := t.Type.(*ast.StructType)
			if s == nil {
				continue
			}
			for _, f := range s.Fields.List {
				for _, name := range f.Names {
					found[t.Name.Name+"."+name.Name] = strings.Join(strings.Fields(f.Comment.Text()), " ")
				}
			}
		}
	}
	return found
})
