package eval

import (
	"go/ast"
	"maps"
	"math"

	"turnplate/sim"
	"turnplate/sim/unit"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// fitting makes Fitting{Set, Bench: Bench{FrontLeg, RearLeg, LegPitch, Spacer}, Notes}: the page for whoever fits the
// upper arms that AlignTo has set.
func fitting(s *scope, a *arguments) figure.Figure {
	set := s.inReach(a, "nothing is fitted for what can't be set")
	if set == nil {
		return nil
	}
	bench, ok := s.bench(a)
	if !ok {
		return nil
	}
	sides := [2]*value.Record{set, set.Fields["Right"].(*value.Record)}
	if !anyUpper(sides) {
		s.fault(a.exprs["Set"], "let AlignTo use it: UseUpper: yes, with LegTravel or ShiftTravel", "this setting leaves the upper arm as it was measured, so there is nothing to fit")
		return nil
	}
	out := &figure.Fitting{Vehicle: nameOf(set)}
	car := set.Fields["Vehicle"].(*value.Record)
	out.Rows = s.benchRows(sides, bench)
	if out.Checks = s.fittingChecks(a, car); a.failed {
		return nil
	}
	m, _ := sim.Find("Alignment")
	aligned, ok := s.model(a.lit, m, &value.Record{Type: "Alignment", Fields: map[string]value.Value{"Vehicle": car}}).(*value.Record)
	if !ok {
		return nil
	}
	allow, _ := s.allowance(a)
	out.Angles = angles(averaged(aligned).(*value.Record), allow, nil)
	out.Checks = append(out.Checks, s.eyes(aligned))
	s.notesInto(a, &out.Notes)
	a.headInto(s, &out.Head)
	return out
}

// fixed sets the dials and refuses axes other than draws, so that a page has one setting with its uncertainty.
func (s *scope) fixed(a *arguments, set *value.Record) *value.Record {
	at := map[*value.Axis]int{}
	for _, x := range value.AxesOf(set) {
		switch x.Kind {
		case value.Dial:
			at[x] = s.dials.position(x)
		case value.Draws:
		default:
			s.fault(a.exprs["Set"], "pick one with .At", "Set varies over %s, and this page has room for one setting", x.Name)
			a.failed = true
			return nil
		}
	}
	return value.PickValue(set, at).(*value.Record)
}

// certain tells whether a yes or no is yes in every draw.
func certain(v value.Value) bool {
	a, ok := v.(*value.Array)
	return ok && value.Average(a.Num) == 1
}

// bench reads Bench: a caliper's readings on the arm as measured, the thread's length per turn, a spacer's
// thickness. What isn't given is 0: the page then tells the change alone.
func (s *scope) bench(a *arguments) (map[string]float64, bool) {
	out := map[string]float64{}
	good := s.piece(a, "Bench", "Bench", func(name string, e ast.Expr, n *value.Array) bool {
		x, perTurn := n.Num[0], unit.Length.Div(unit.Angle)
		if name == "LegPitch" && n.Dim == perTurn {
			x *= 2 * math.Pi
		} else if n.Dim != unit.Length {
			s.fault(e, "", "%s is a length; this is %s", name, value.Describe(n))
			return false
		}
		if !(x > 0) {
			s.fault(e, "", "%s is a length above zero", name)
			return false
		}
		out[name] = x
		return true
	})
	return out, good
}

// anyUpper tells whether either arm was changed.
func anyUpper(sides [2]*value.Record) bool {
	for _, side := range sides {
		for _, field := range []string{"UpperShift", "UpperFrontLeg", "UpperRearLeg"} {
			for _, x := range side.Fields[field].(*value.Array).Num {
				if math.Abs(x) > 1e-6 { // a thousandth of a millimetre
					return true
				}
			}
		}
	}
	return false
}

// benchRows are the legs' lengths and the spacers.
func (s *scope) benchRows(sides [2]*value.Record, bench map[string]float64) []figure.FittingRow {
	number := func(side *value.Record, field string) *value.Array { return side.Fields[field].(*value.Array) }
	both := func(print func(side *value.Record) figure.Span) (left, right figure.Span) {
		return print(sides[0]), print(sides[1])
	}
	mm := unit.MustParse("mm")
	var rows []figure.FittingRow
	for _, leg := range []struct{ name, field, bench string }{
		{"Front leg", "UpperFrontLeg", "FrontLeg"}, {"Rear leg", "UpperRearLeg", "RearLeg"},
	} {
		row := figure.FittingRow{What: leg.name + ", longer (+) or shorter (−) than measured"}
		row.Left, row.Right = both(func(side *value.Record) figure.Span { return s.span(number(side, leg.field), mm, 0.1) })
		if measured := bench[leg.bench]; measured > 0 {
			row.What = leg.name + ", caliper reading"
			row.Says = "as measured " + mm.Text(value.Digits(measured/mm.SI, 0.1))
			row.Left, row.Right = both(func(side *value.Record) figure.Span {
				return s.span(mapped(number(side, leg.field), func(x float64) float64 { return measured + x }), mm, 0.1)
			})
		}
		rows = append(rows, row)
		if pitch := bench["LegPitch"]; pitch > 0 {
			row := figure.FittingRow{What: leg.name + ", turns out (+) or in (−)", Says: "one turn is " + mm.Text(value.Digits(pitch/mm.SI, 0.01))}
			row.Left, row.Right = both(func(side *value.Record) figure.Span {
				turns := mapped(number(side, leg.field), func(x float64) float64 { return x / pitch })
				turns.Dim = unit.None
				return s.span(turns, unit.Unit{SI: 1}, 0.1)
			})
			rows = append(rows, row)
		}
	}
	row := figure.FittingRow{What: "Arm moved rearward (+) or forward (−)", Says: "the same at both pivots of a side"}
	row.Left, row.Right = both(func(side *value.Record) figure.Span { return s.span(number(side, "UpperShift"), mm, 0.1) })
	rows = append(rows, row)
	if thick := bench["Spacer"]; thick > 0 {
		rows = append(rows, spacers(thick, [2]float64{value.Average(number(sides[0], "UpperShift").Num), value.Average(number(sides[1], "UpperShift").Num)}))
	}
	return rows
}

// spacers are the whole numbers of spacers nearest to the shifts of both arms, and what that leaves over.
func spacers(thick float64, shifts [2]float64) figure.FittingRow {
	mm := unit.MustParse("mm")
	row := figure.FittingRow{What: "Spacers from behind each eye to ahead of it (−: the other way)", Says: "of " + mm.Text(value.Digits(thick/mm.SI, 0.01))}
	var over [2]string
	for i, shift := range shifts {
		count := math.Round(shift / thick)
		*[]*figure.Span{&row.Left, &row.Right}[i] = figure.Span{Text: figure.Plain(value.Digits(count, 1)), Value: true}
		over[i] = mm.Text(value.Digits((shift-count*thick)/mm.SI, 0.1))
	}
	switch none := mm.Text("0.0"); {
	case over[0] == none && over[1] == none:
	case over[0] == over[1]:
		row.Says += "; " + over[0] + " is left to the cams"
	default:
		row.Says += "; " + over[0] + " on the left and " + over[1] + " on the right are left to the cams"
	}
	return row
}

// mapped is an array with f applied to each number.
func mapped(a *value.Array, f func(float64) float64) *value.Array {
	out := *a
	out.Num = make([]float64, len(a.Num))
	for i, x := range a.Num {
		out.Num[i] = f(x)
	}
	return &out
}

// fittingChecks tell how far the rubber is twisted over the travel, when the bolts are tightened with the weight on
// the wheels and when they are tightened with the wheels hanging.
func (s *scope) fittingChecks(a *arguments, car *value.Record) []figure.FittingRow {
	mean := averaged(car).(*value.Record)
	travel := func(end string) (float64, bool) {
		most := below[*value.Array](mean, "Spring."+end)
		if most == nil || !(most.Num[0] > 0) {
			return 0, false
		}
		return most.Num[0], true
	}
	up, okUp := travel("BumpTravel")
	down, okDown := travel("DroopTravel")
	if !okUp || !okDown {
		return []figure.FittingRow{{What: "Twist of the rubber over the travel", Left: figure.Span{Text: figure.Plain("–")}, Right: figure.Span{Text: figure.Plain("–")},
			Says: "needs Spring.BumpTravel and Spring.DroopTravel"}}
	}
	lift := 0.0
	if l := below[*value.Array](mean, "Front.Lift"); l != nil {
		lift = l.Num[0]
	}
	limits := unlimited(mean)
	m, _ := sim.Find("Travel")
	ends := [2]*value.Record{}
	for i, bump := range []float64{lift - down, lift + up} {
		in := &value.Record{Type: "Travel", Fields: map[string]value.Value{"Vehicle": mean, "Bump": value.Num(bump, unit.Length)}}
		r, ok := s.model(a.lit, m, in).(*value.Record)
		if !ok {
			a.failed = true
			return nil
		}
		ends[i] = r
	}
	var rows []figure.FittingRow
	for _, arm := range []struct{ name, field string }{{"upper arm", "UpperArmTurn"}, {"lower arm", "LowerArmTurn"}} {
		turn := func(i int, right bool) float64 {
			if right {
				return below[*value.Array](ends[i], "Right."+arm.field).Num[0]
			}
			return below[*value.Array](ends[i], arm.field).Num[0]
		}
		rest := figure.FittingRow{What: "Twist of the " + arm.name + "'s rubber, tightened at rest", Says: "from full droop to full bump"}
		hang := figure.FittingRow{What: "Twist of the " + arm.name + "'s rubber, tightened hanging", Says: "at rest, and at full bump: why the weight is on the wheels when you tighten"}
		for _, right := range []bool{false, true} {
			low, high := turn(0, right), turn(1, right)
			at := &rest.Left
			hung := &hang.Left
			if right {
				at, hung = &rest.Right, &hang.Right
			}
			*at = figure.Span{Text: figure.Plain(wholeDegrees(low) + " to " + wholeDegrees(high)), Value: true}
			*hung = figure.Span{Text: figure.Plain(wholeDegrees(-low) + " and " + wholeDegrees(high-low)), Value: true}
		}
		rows = append(rows, rest, hang)
	}
	return append(rows, jointRow(ends[0], limits))
}

// unlimited takes the upper ball joints' limits out of a vehicle, so that its travel can be followed past them, and
// gives them: left and right, 0 where it isn't known.
func unlimited(car *value.Record) (limits [2]float64) {
	for i, name := range []string{"Front", "Right"} {
		corner, _ := car.Fields[name].(*value.Record)
		if corner == nil {
			limits[i] = limits[0] // the mirror of Front
			continue
		}
		if limit, _ := corner.Fields["JointLimit"].(*value.Array); limit != nil {
			limits[i] = limit.Num[0]
		}
		free := &value.Record{Type: corner.Type, Choice: corner.Choice, Fields: maps.Clone(corner.Fields)}
		delete(free.Fields, "JointLimit")
		car.Fields[name] = free
	}
	return limits
}

// jointRow holds the upper ball joint's lean at full droop against its limit.
func jointRow(droop *value.Record, limits [2]float64) figure.FittingRow {
	row := figure.FittingRow{What: "Upper ball joint’s lean at full droop", Says: "its limit isn't known: ask its maker"}
	lean := [2]float64{}
	for i, r := range []*value.Record{droop, droop.Fields["Right"].(*value.Record)} {
		lean[i] = r.Fields["UpperJointAngle"].(*value.Array).Num[0]
		*[]*figure.Span{&row.Left, &row.Right}[i] = figure.Span{Text: figure.Plain(wholeDegrees(lean[i])), Value: true}
	}
	switch {
	case limits[0] <= 0 || limits[1] <= 0:
	case lean[0] > limits[0] || lean[1] > limits[1]:
		row.Says = "past its limit of " + wholeDegrees(min(limits[0], limits[1])) + ": straps must end the droop before it binds"
	default:
		row.Says = "within its limit of " + wholeDegrees(min(limits[0], limits[1]))
	}
	return row
}

func wholeDegrees(rad float64) string {
	return unit.MustParse("deg").Text(value.Digits(rad*180/math.Pi, 1))
}

// eyes tells how far unequal legs lean the eyes from their bolts.
func (s *scope) eyes(aligned *value.Record) figure.FittingRow {
	row := figure.FittingRow{What: "Eyes lean from their bolts", Says: "more than a bush or a joint allows binds it: ask its maker"}
	tilt := func(r *value.Record) figure.Span {
		return s.span(r.Fields["UpperEyeTilt"].(*value.Array), unit.MustParse("deg"), 0.1)
	}
	row.Left, row.Right = tilt(aligned), tilt(aligned.Fields["Right"].(*value.Record))
	return row
}
