package sim

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"

	"turnplate/sim/unit"
)

// Finding is something wrong or doubtful in a vehicle as somebody wrote it down.
type Finding struct {
	Fields     []string // what it rests on, as a notebook writes it: "Front.TieOuter"; all of them were given
	Says       string   // what is wrong, and what is usual and where that range comes from
	Hint       string   // what to look at; may be empty
	Impossible bool     // it can't be, whatever truck this is: a mistake, not a doubt
	Together   bool     // it counts only where one literal gives all its fields
}

// LookOver looks over every field of a vehicle that was given, whatever models read. given tells which were, as a
// notebook writes them: "Front.UpperBall", "Tyre.Mass", "Body[1].From". A field that already came up isn't told
// again by another rule: one slip gives one finding. What is no number is left to the models, which refuse it.
func LookOver(v *Vehicle, given func(field string) bool) []Finding {
	l := looker{v: v, given: given, told: map[string]bool{}}
	sides := []string{"Front"}
	if v.Right != nil {
		sides = append(sides, "Right")
	}
	for _, r := range vehicleRules() {
		if r.impossible {
			l.rule(r.rule, "", r.check(v))
		}
	}
	for _, side := range sides {
		l.corner(side, true)
	}
	for _, side := range sides {
		l.scaled(side)
	}
	for _, p := range parts() {
		l.single(p.path, p, reflect.ValueOf(v).Elem())
		if right, ok := strings.CutPrefix(p.path, "Front."); ok && v.Right != nil {
			q := p
			q.index = p.index[1:]
			l.single("Right."+right, q, reflect.ValueOf(v.Right).Elem())
		}
	}
	for i := range v.Body {
		for _, p := range obstacleParts() {
			l.single(fmt.Sprintf("Body[%d].%s", i+1, p.path), p, reflect.ValueOf(&v.Body[i]).Elem())
		}
	}
	for _, side := range sides {
		l.corner(side, false)
	}
	for _, r := range vehicleRules() {
		if !r.impossible {
			l.rule(r.rule, "", r.check(v))
		}
	}
	return l.found
}

// looker looks over one vehicle.
type looker struct {
	v     *Vehicle
	given func(string) bool
	told  map[string]bool // fields that have come up
	found []Finding
}

// add notes a finding, unless one of its fields has come up already.
func (l *looker) add(f Finding) {
	for _, field := range f.Fields {
		if l.told[field] {
			return
		}
	}
	for _, field := range f.Fields {
		l.told[field] = true
	}
	l.found = append(l.found, f)
}

// all tells whether all fields were given and none has come up.
func (l *looker) all(fields []string, prefix string) bool {
	return !slices.ContainsFunc(fields, func(f string) bool {
		f = at(prefix, f)
		return !l.given(f) || l.told[f]
	})
}

// at is a field below a corner, or as it is where a rule names another part of the vehicle: "/Tyre.Radius".
func at(prefix, field string) string {
	if rest, ok := strings.CutPrefix(field, "/"); ok {
		return rest
	}
	return prefix + field
}

// rule notes what one found, below a corner or, without a prefix, in the whole vehicle.
func (l *looker) rule(r rule, prefix string, c complaint) {
	if c.says == "" || !l.all(r.fields, prefix) {
		return
	}
	f := Finding{Says: c.says, Hint: c.hint, Impossible: r.impossible, Together: r.together}
	if !r.impossible {
		f.Says += fmt.Sprintf("; usual is %s (%s)", r.usual, r.source)
	}
	for _, field := range r.fields {
		f.Fields = append(f.Fields, at(prefix, field))
	}
	l.add(f)
}

// corner goes through the rules for one side.
func (l *looker) corner(side string, impossible bool) {
	c := &l.v.Front
	if side == "Right" {
		c = l.v.Right
	}
	for _, r := range cornerRules() {
		if r.impossible == impossible && l.all(r.fields, side+".") {
			l.rule(r.rule, side+".", r.check(l.v, c, side))
		}
	}
}

// single judges one field by itself.
func (l *looker) single(path string, p part, in reflect.Value) {
	u := usual()[p.key]
	if !l.given(path) || l.told[path] {
		return
	}
	switch x := in.FieldByIndex(p.index).Interface().(type) {
	case string:
		if words := p.field.Must.Words; x != "" && len(words) > 0 && !slices.Contains(words, x) {
			l.add(Finding{Fields: []string{path}, Says: fmt.Sprintf("%s is %q; it %s", path, x, p.field.Must.Text(p.field.Unit)), Impossible: true})
		}
	case float64:
		if !finite(x) || u.Why != "" {
			return
		}
		if f, odd := u.judge(path, &p.field, x/p.field.Unit.SI); odd {
			l.add(f)
		}
	case Point:
		if u.Why != "" {
			return
		}
		if off := u.outside(x, p.field.Unit.SI); off != "" && x != (Point{}) && finite(x.Norm()) {
			l.add(Finding{
				Fields: []string{path},
				Says:   fmt.Sprintf("%s of %s lies where it hardly ever does: %s (%s)", path, placeText(x, &p.field), off, u.Source),
				Hint:   pointHint(u, x, p.field.Unit.SI),
			})
		}
	}
}

// judge looks at one number, in its field's own unit.
func (u Usual) judge(path string, f *Field, x float64) (Finding, bool) {
	slack := rounding * math.Max(math.Abs(u.Low), math.Abs(u.High)) // 90*deg is as near to 90° as a float comes
	if x == 0 && (u.OrZero || u.Low > 0) || x >= u.Low-slack && x <= u.High+slack {
		return Finding{}, false // a size of zero counts as not given
	}
	out := Finding{Fields: []string{path}, Hint: slip(u, f, path, x)}
	if !f.Must.Holds(x * f.Unit.SI) {
		out.Impossible, out.Says = true, fmt.Sprintf("%s of %s can't be: it %s", path, f.amountText(x), f.Must.Text(f.Unit))
	} else {
		out.Says = fmt.Sprintf("%s is %s; usual is %s to %s (%s)", path, f.amountText(x), significant(u.Low, 4), f.amountText(u.High), u.Source)
	}
	return out, true
}

// outside says which coordinates of a point lie out of its box, or "".
func (u Usual) outside(p Point, si float64) string {
	var off []string
	for _, c := range [...]struct {
		name         string
		at, from, to float64
	}{{"x", p.X / si, u.From.X, u.To.X}, {"y", p.Y / si, u.From.Y, u.To.Y}, {"z", p.Z / si, u.From.Z, u.To.Z}} {
		if c.at < c.from || c.at > c.to {
			off = append(off, fmt.Sprintf("%s is usually %g to %g", c.name, c.from, c.to))
		}
	}
	return strings.Join(off, ", ")
}

func placeText(p Point, f *Field) string {
	si := f.Unit.SI
	return f.Unit.Text(fmt.Sprintf("(%.4g, %.4g, %.4g)", p.X/si, p.Y/si, p.Z/si))
}

// slips are the usual ones: a number in another unit than the one written, by dimension of the field.
var slips = sync.OnceValue(func() map[unit.Dim][]inUnit {
	return map[unit.Dim][]inUnit{
		unit.MustParse("mm").Dim:     {{25.4, "inches"}, {1000, "metres"}, {10, "centimetres"}, {1 / 25.4, "mm, where inches are written"}},
		unit.MustParse("kg").Dim:     {{0.45359237, "pounds"}, {1000, "tonnes"}},
		unit.MustParse("kPa").Dim:    {{6.894757, "psi"}, {100, "bar"}, {0.01, "kPa, where bar is written"}, {1 / 6.894757, "kPa, where psi is written"}},
		unit.MustParse("N").Dim:      {{9.80665, "kilograms of load"}, {4.448222, "pounds-force"}, {1000, "kN"}},
		unit.MustParse("N/mm").Dim:   {{0.1751268, "lbf/inch"}, {1e-3, "N/m"}},
		unit.MustParse("N/deg").Dim:  {{math.Pi / 180, "N/rad"}, {4.448222, "lbf/deg"}},
		unit.MustParse("deg").Dim:    {{math.Pi / 180, "degrees, where rad is written"}, {180 / math.Pi, "radians"}},
		unit.MustParse("kg*m*m").Dim: {{0.04214011, "lb·ft²"}},
		unit.MustParse("N*m").Dim:    {{1.355818, "lbf·ft"}, {1e-3, "N·mm"}},
		unit.MustParse("N*s/m").Dim:  {{14.5939, "lbf·s/ft"}, {1e-3, "N·s/m, where N·s/mm is written"}},
		unit.None:                    {{0.01, "percent"}, {100, "shares of 1, where percent are written"}},
	}
})

// inUnit is another unit that a number may be in.
type inUnit struct {
	factor float64
	other  string
}

// slip asks about the likeliest slip behind a number that is out of its usual range: a diameter in a radius's place,
// a wrong sign, another unit, a decimal point, in this order; of several units the one that brings the number
// nearest to the middle of its range.
func slip(u Usual, f *Field, path string, x float64) string {
	hint, least := "", math.Inf(1)
	try := func(factor float64, ask string) {
		is := x * factor
		if is < u.Low || is > u.High {
			return
		}
		off := math.Abs(is - (u.Low+u.High)/2)
		if u.Low > 0 {
			off = math.Abs(math.Log(is / math.Sqrt(u.Low*u.High)))
		}
		if off < least {
			hint, least = fmt.Sprintf(ask, f.amountText(is)), off
		}
	}
	if strings.HasSuffix(path, "Radius") {
		if try(0.5, "is it a diameter? The radius would be %s"); hint != "" {
			return hint
		}
	}
	if x < 0 {
		if try(-1, "is the sign right? %s would be usual"); hint != "" {
			return hint
		}
	}
	for _, s := range slips()[f.Unit.Dim] {
		try(s.factor, "is it in "+s.other+"? That would be %s")
	}
	for _, factor := range [...]float64{0.1, 10, 0.01, 100, 0.001, 1000} {
		if hint == "" {
			try(factor, "is the decimal point in its place? %s would be usual")
		}
	}
	if hint == "" {
		return "is the unit right?"
	}
	return hint
}

// pointHint asks about the likeliest slip behind a point out of its box.
func pointHint(u Usual, p Point, si float64) string {
	in := func(q Point) bool { return u.outside(q, si) == "" }
	for _, s := range slips()[unit.Length] {
		if in(p.Scale(s.factor)) {
			return fmt.Sprintf("are its coordinates in %s?", s.other)
		}
	}
	if in(p.Scale(0.1)) {
		return "is the decimal point in its place?"
	}
	for _, c := range [...]struct {
		name    string
		flipped Point
	}{{"x", Point{X: -p.X, Y: p.Y, Z: p.Z}}, {"y", Point{X: p.X, Y: -p.Y, Z: p.Z}}, {"z", Point{X: p.X, Y: p.Y, Z: -p.Z}}} {
		if in(c.flipped) {
			return fmt.Sprintf("is the sign of %s right?", c.name)
		}
	}
	for _, q := range [...]Point{{X: p.Y, Y: p.X, Z: p.Z}, {X: p.X, Y: p.Z, Z: p.Y}, {X: p.Z, Y: p.Y, Z: p.X}} {
		if in(q) {
			return "are its coordinates in the order x forward, y left, z up?"
		}
	}
	return "are its digits right, and is it measured from the ground below the axle's middle?"
}

// scaled finds points of a corner that are all too large or too small by the same slip, and tells it once.
func (l *looker) scaled(side string) {
	c := &l.v.Front
	if side == "Right" {
		c = l.v.Right
	}
	at := c.named()
	for _, s := range append(slices.Clone(slips()[unit.Length]), inUnit{0.1, "tenths of a millimetre"}) {
		var fields []string
		wrong, given := 0, 0
		for _, name := range hardpointNames {
			path, u := side+"."+name, usual()["Corner."+name]
			if !l.given(path) || l.told[path] {
				continue
			}
			given++
			fields = append(fields, path)
			if u.outside(at[name], unit.MustParse("mm").SI) != "" && u.outside(at[name].Scale(s.factor), unit.MustParse("mm").SI) == "" {
				wrong++
			}
		}
		if wrong < 3 || wrong < (2*given+2)/3 {
			continue
		}
		l.add(Finding{
			Fields: fields,
			Says: fmt.Sprintf("the points of %s are those of a truck %s; usual is a wheel's centre %g to %g mm from the middle (%s)",
				side, sizeText(1/s.factor), usual()["Corner.WheelCentre"].From.Y, usual()["Corner.WheelCentre"].To.Y, usual()["Corner.WheelCentre"].Source),
			Hint: fmt.Sprintf("are they in %s?", s.other),
		})
		return
	}
}

func sizeText(times float64) string {
	if times < 1 {
		return fmt.Sprintf("%.3g times too small", 1/times)
	}
	return fmt.Sprintf("%.3g times too large", times)
}
