package eval

import (
	"fmt"
	"go/ast"
	"maps"
	"slices"
	"strings"

	"turnplate/sim"
	"turnplate/site/diag"
	"turnplate/site/model"
	"turnplate/site/value"
)

// doubts keeps track of what a notebook writes about vehicles, so that they can be looked over when it is done.
type doubts struct {
	step   int             // the statement at hand, from 1
	named  ast.Expr        // what it gives to a name or field
	depth  int             // literals of a vehicle or a part of one around the one at hand
	loose  []*value.Record // literals that no name keeps, such as a model's input
	seen   map[*value.Record]bool
	copies map[string]bool     // messages, without the side that they name
	rough  map[value.Mark]bool // where a survey's Start was written: it only says roughly where things are
}

// inside notes that a literal is being evaluated; the function it gives is called when that is done.
func (d *doubts) inside(e *ast.CompositeLit, r *value.Record) func() {
	if model.Whole(r) == nil {
		return func() {}
	}
	if d.depth == 0 && ast.Expr(e) != d.named {
		d.loose = append(d.loose, r)
	}
	d.depth++
	return func() { d.depth-- }
}

// mark is the place of a node, as one where a field is written.
func (s *scope) mark(n ast.Node) value.Mark {
	pos, length := s.text.Place(n)
	return value.Mark{File: s.nb.Path, Step: s.doubts.step, Line: pos.Line, Col: pos.Col, Length: length}
}

// excuse ends all doubt in the points of a survey's Start, which are rough on purpose. Its other fields stay in doubt:
// they are often those of the real truck.
func (d *doubts) excuse(start *value.Record) {
	if d.rough == nil {
		d.rough = map[value.Mark]bool{}
	}
	corner := model.Literals()["Corner"]
	for field, trail := range model.Trails(start) {
		side, name, _ := strings.Cut(field, ".")
		if f := corner.Field(name); (side == "Front" || side == "Right") && f != nil && model.IsPoint(f.Type) {
			d.rough[trail[len(trail)-1]] = true
		}
	}
}

// written lists each vehicle, and each part of one, that this notebook writes something of; in a hurry only the one that
// has a reader's values.
func (s *scope) written() (all []*value.Record) {
	if s.ev.options.Hurry > 0 {
		if o := s.page.Offered; o != nil && o.Now != nil {
			all = append(all, o.Now)
		}
		return all
	}
	for _, name := range slices.Sorted(maps.Keys(s.names.entries)) {
		all = append(all, vehicles(s.names.entries[name].value)...)
	}
	return append(all, s.doubts.loose...)
}

// lookOver tells what can't be, or hardly ever is, in the vehicles that this notebook writes.
func (s *scope) lookOver() {
	for _, r := range s.written() {
		if s.ctx.Err() != nil {
			return
		}
		for _, l := range s.look(r) {
			s.tell(l)
		}
	}
}

// vehicles gives the vehicle or part that a value is, or those in a list.
func vehicles(v value.Value) (all []*value.Record) {
	if list, ok := v.(*value.List); ok {
		for _, item := range list.Items {
			all = append(all, vehicles(item)...)
		}
	} else if model.Whole(v) != nil {
		all = append(all, v.(*value.Record))
	}
	return all
}

// cannotBe looks over the vehicles among a model's inputs. It reports those that are impossible, and tells whether
// there was one.
func (s *scope) cannotBe(in *value.Record) bool {
	reported := false
	for _, name := range value.SortedNames(in.Fields) {
		car := model.Whole(in.Fields[name])
		if car == nil {
			continue
		}
		delete(s.doubts.seen, car) // it may be written to again
		for _, l := range s.look(car) {
			if l.Impossible {
				s.tell(l)
				reported = true
			}
		}
		delete(s.doubts.seen, car)
	}
	return reported
}

// look is what was found, with the place to tell it at.
type look struct {
	sim.Finding
	at  value.Mark
	car *sim.Vehicle // nil where the finding isn't about a field's value
}

// mostAlternatives is how many alternatives of one vehicle are looked over, each by itself.
const mostAlternatives = 64

// look looks over a vehicle or a part of one, and gives what is to be told on this page.
func (s *scope) look(r *value.Record) (found []look) {
	if s.doubts.seen[r] {
		return nil
	}
	if s.doubts.seen == nil {
		s.doubts.seen = map[*value.Record]bool{}
	}
	s.doubts.seen[r] = true
	car := model.Whole(r)
	trails := model.Trails(car)
	here := func(m value.Mark) bool { return m.File == s.nb.Path }
	own := false
	for _, trail := range trails {
		own = own || slices.ContainsFunc(trail, here)
	}
	if !own {
		return nil // it is taken over as it is
	}
	found = s.measured(car, trails)
	for _, alternative := range alternatives(car) {
		v := model.Settled(alternative)
		findings := sim.LookOver(&v, func(field string) bool { return trails[field] != nil })
		for _, f := range append(findings, s.oneSided(&v, trails)...) {
			l := look{f, s.lastOf(f.Fields, trails), &v}
			if here(l.at) && (f.Impossible || !s.doubts.rough[l.at] && !s.settled(car, f.Fields, l.at, trails)) && !(f.Together && !together(f.Fields, trails)) {
				found = append(found, l)
			}
		}
	}
	return found
}

// alternatives picks each of a vehicle's labelled alternatives by itself.
func alternatives(car *value.Record) (all []*value.Record) {
	for _, a := range value.AxesOf(car) {
		if a.Kind != value.Choice {
			continue
		}
		for i := range min(a.Length, mostAlternatives-len(all)) {
			all = append(all, value.PickValue(car, map[*value.Axis]int{a: i}).(*value.Record))
		}
	}
	if all == nil {
		return []*value.Record{car}
	}
	return all
}

// lastOf is where the last of some fields was written: of a finding within a part, what matters is where the part's
// fields were, not where the whole part was put into a vehicle.
func (s *scope) lastOf(fields []string, trails map[string][]value.Mark) value.Mark {
	shared := len(trails[fields[0]]) - 1
	for _, f := range fields[1:] {
		shared = min(shared, sharedParts(fields[0], f))
	}
	var last value.Mark
	for _, f := range fields {
		for _, m := range trails[f][shared:] {
			if last.File == "" || s.later(m, last) {
				last = m
			}
		}
	}
	return last
}

// sharedParts counts the leading names that two dotted paths have in common.
func sharedParts(a, b string) int {
	as, bs := strings.Split(a, "."), strings.Split(b, ".")
	n := 0
	for n < min(len(as), len(bs)) && as[n] == bs[n] {
		n++
	}
	return n
}

// later tells whether a was written after b. What another notebook wrote came before all that this one does.
func (s *scope) later(a, b value.Mark) bool {
	switch {
	case a.File != b.File:
		return a.File == s.nb.Path
	case a.Step != b.Step:
		return a.Step > b.Step
	case a.Line != b.Line:
		return a.Line > b.Line
	}
	return a.Col > b.Col
}

// together tells whether one statement wrote all of the fields.
func together(fields []string, trails map[string][]value.Mark) bool {
	own := func(f string) value.Mark { return trails[f][len(trails[f])-1] }
	first := own(fields[0])
	return !slices.ContainsFunc(fields, func(f string) bool { return own(f).File != first.File || own(f).Step != first.Step })
}

// settled tells whether the vehicle's Measured settles a doubt at a place: it names one of the fields that were
// written there, and stands in the same statement or a later one.
func (s *scope) settled(car *value.Record, fields []string, at value.Mark, trails map[string][]value.Mark) bool {
	list, _ := car.Fields["Measured"].(*value.List)
	said := car.Written["Measured"]
	if list == nil || said.File == at.File && said.Step < at.Step || said.File != at.File && at.File == s.nb.Path {
		return false
	}
	return slices.ContainsFunc(list.Items, func(item value.Value) bool {
		name := item.(*value.Array).Words[0]
		return slices.ContainsFunc(fields, func(f string) bool {
			return slices.Contains(trails[f], at) && (f == name || strings.HasPrefix(f, name+".") || strings.HasPrefix(f, name+"["))
		})
	})
}

// measured finds names in Measured that aren't fields.
func (s *scope) measured(car *value.Record, trails map[string][]value.Mark) (found []look) {
	list, _ := car.Fields["Measured"].(*value.List)
	if list == nil || trails["Measured"] == nil {
		return nil
	}
	for _, item := range list.Items {
		path := item.(*value.Array).Words[0]
		if unknown, among := model.FieldAt(path); unknown != "" {
			found = append(found, look{sim.Finding{
				Says: fmt.Sprintf("Measured names %q, and there is no field %s", path, unknown), Hint: diag.DidYouMean(unknown, among), Impossible: true,
			}, car.Written["Measured"], nil})
		}
	}
	return found
}

// cornerSettings are what is set on a corner, as against measured.
var cornerSettings = []string{"Lift", "Adjust.CamFront", "Adjust.CamRear", "Adjust.UpperShift", "Adjust.UpperFrontLeg", "Adjust.UpperRearLeg", "Adjust.TieRod"}

// oneSided finds what this notebook sets on one side alone, where both sides were measured.
func (s *scope) oneSided(v *sim.Vehicle, trails map[string][]value.Mark) (found []sim.Finding) {
	if v.Right == nil || v.SamePoints() {
		return nil
	}
	here := func(field string) bool {
		return slices.ContainsFunc(trails[field], func(m value.Mark) bool { return m.File == s.nb.Path })
	}
	for _, f := range cornerSettings {
		for _, side := range [...][2]string{{"Front.", "Right."}, {"Right.", "Front."}} {
			if here(side[0]+f) && !here(side[1]+f) {
				found = append(found, sim.Finding{
					Fields: []string{side[0] + f},
					Says:   fmt.Sprintf("%s is written for one side, and Right was measured for itself; usually both sides are set (%s)", side[0]+f, sim.CommonPractice),
					Hint:   fmt.Sprintf("Both.%s writes both sides", f),
				})
			}
		}
	}
	return found
}

// tell reports something found, once for each place.
func (s *scope) tell(l look) {
	file, source := s.where(l.at)
	d := diag.New(file, source, diag.Pos{Line: l.at.Line, Col: l.at.Col}, l.at.Length, l.Hint, l.Says)
	key := fmt.Sprint(d.Pos, strings.ReplaceAll(d.Message, "Right", "Front"))
	if s.doubts.copies[key] {
		return
	}
	if s.doubts.copies == nil {
		s.doubts.copies = map[string]bool{}
	}
	s.doubts.copies[key] = true
	if l.car != nil {
		s.suspect(l)
	}
	switch list := &s.page.Doubts; {
	case l.Impossible && len(s.page.Faults) < diag.Most:
		s.page.Faults = append(s.page.Faults, d)
	case !l.Impossible && len(*list) < diag.Most:
		*list = append(*list, d)
	}
}
