package eval

import (
	"fmt"
	"go/ast"
	"math"
	"strings"

	"turnplate/sim"
	"turnplate/sim/unit"
	"turnplate/site/figure"
	"turnplate/site/value"
	"turnplate/site/vocabulary"
)

// allowed are the tolerances of a sheet that gives none, in degrees: within what shops work to (common
// practice, no source).
var allowed = map[string]float64{"Camber": 0.25, "Caster": 0.5, "Toe": 0.05}

// sheet makes Sheet{Set, Allow: Allowance{Camber, Caster, Toe}, Before: r, Notes: []string{}}. Set is what
// AlignTo gave; a target that isn't reached is refused, because a shop can't set it either.
func sheet(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "Set") {
		return nil
	}
	s.page.Cautions = true
	v, ok := a.value(s, "Set")
	if !ok {
		return nil
	}
	set, ok := v.(*value.Record)
	if !ok || set.Type != "AlignTo result" {
		s.fault(a.exprs["Set"], "give it the result of AlignTo", "Set takes an AlignTo result; this is %s", value.Describe(v))
		return nil
	}
	set = s.standing(a, set)
	if a.failed {
		return nil
	}
	if reached := set.Fields["Reached"].(*value.Array); value.Average(reached.Num) != 1 {
		s.fault(a.exprs["Set"], "ask for a target in reach", "a sheet hands out only what can be set, and %s", missed(set))
		return nil
	}
	m, _ := sim.Find("Alignment")
	aligned, ok := s.model(a.lit, m, &value.Record{Type: "Alignment", Fields: map[string]value.Value{"Vehicle": set.Fields["Vehicle"]}}).(*value.Record)
	if !ok {
		return nil
	}
	out := &figure.Sheet{}
	if car := set.Fields["Vehicle"].(*value.Record); car.Fields["Name"] != nil {
		out.Vehicle = car.Fields["Name"].(*value.Array).Words[0]
	}
	allow, ok := s.allowance(a)
	before, okBefore := s.before(a)
	if !ok || !okBefore {
		return nil
	}
	out.Angles = angles(aligned, allow, before)
	out.Settings = settings(set)
	s.notesInto(a, &out.Notes)
	a.headInto(s, &out.Head)
	return out
}

// missed says by how much a setting misses its target and what is in reach: why there is no vehicle set to it.
func missed(set *value.Record) string {
	front := set.Fields["Vehicle"].(*value.Record).Fields["Front"].(*value.Record)
	return front.Fields["Adjust"].(*value.Record).Fields["CamFront"].(*value.Array).Reason()
}

// standing fixes the dials and refuses other axes; of uncertain settings the means are handed out.
func (s *scope) standing(a *arguments, set *value.Record) *value.Record {
	at := map[*value.Axis]int{}
	for _, x := range value.AxesOf(set) {
		switch x.Kind {
		case value.Dial:
			at[x] = s.dials.position(x)
		case value.Draws:
		default:
			s.fault(a.exprs["Set"], "pick one with .At", "Set varies over %s, and a sheet has room for one setting", x.Name)
			a.failed = true
			return nil
		}
	}
	return averaged(value.PickValue(set, at)).(*value.Record)
}

// averaged replaces draws by their mean throughout.
func averaged(v value.Value) value.Value {
	switch v := v.(type) {
	case *value.Array:
		if v.Kind == value.Words {
			return v
		}
		return value.Reduce(v, value.IsDraws, value.Average)
	case *value.Record:
		out := &value.Record{Type: v.Type, Choice: v.Choice, Fields: map[string]value.Value{}}
		for name, f := range v.Fields {
			out.Fields[name] = averaged(f)
		}
		return out
	}
	return v
}

// allowance reads Allow: Allowance{Camber, Caster, Toe}.
func (s *scope) allowance(a *arguments) (map[string]float64, bool) {
	out := map[string]float64{}
	for name, degrees := range allowed {
		out[name] = degrees * math.Pi / 180
	}
	e := a.exprs["Allow"]
	if e == nil {
		return out, true
	}
	lit, ok := e.(*ast.CompositeLit)
	if ok {
		t, isIdent := lit.Type.(*ast.Ident)
		ok = isIdent && t.Name == "Allowance"
	}
	if !ok {
		s.fault(e, "", "Allowance{Camber: …, Caster: …, Toe: …} was expected here")
		return nil, false
	}
	good := s.eachField(lit, "Allowance", vocabulary.FieldsOf("Allowance"), func(name string, _ ast.Node, e ast.Expr) bool {
		v := s.expr(e)
		if isBroken(v) {
			return false
		}
		n, ok := s.scalar(e, v)
		if !ok {
			return false
		}
		if n.Dim != unit.Angle || n.Num[0] <= 0 {
			s.fault(e, "", "a tolerance is an angle above zero, such as 0.25*deg")
			return false
		}
		out[name] = n.Num[0]
		return true
	})
	return out, good
}

// before reads an earlier printout: readings with rows labelled Left and Right and columns of angles.
func (s *scope) before(a *arguments) (map[string]float64, bool) {
	v, given := a.value(s, "Before")
	if !given {
		return nil, !a.failed
	}
	r, ok := v.(*value.Record)
	if !ok || !strings.HasPrefix(r.Type, "readings ") {
		s.fault(a.exprs["Before"], "", `Before takes readings("file.csv") with rows Left and Right; this is %s`, value.Describe(v))
		return nil, false
	}
	out := map[string]float64{}
	for _, name := range []string{"Caster", "Camber", "Toe", "TotalToe"} {
		column, ok := r.Fields[name].(*value.Array)
		if !ok || column.Dim != unit.Angle {
			continue
		}
		for i, label := range column.Axes[0].Labels {
			if !column.Absent(i) {
				out[name+" "+strings.ToLower(label)] = column.Num[i]
			}
		}
	}
	if len(out) == 0 {
		s.fault(a.exprs["Before"], "", "these readings have no column Caster, Camber or Toe in degrees")
		return nil, false
	}
	left, okLeft := out["Toe left"]
	right, okRight := out["Toe right"]
	if _, given := out["TotalToe left"]; !given && okLeft && okRight {
		out["TotalToe left"] = left + right
	}
	return out, true
}

func degrees(rad float64) string { return value.Digits(rad*180/math.Pi, 0.01) + "°" }

// minutes prints an angle as shops' older gauges show it, to the minute.
func minutes(rad float64) string {
	total := int(math.Round(math.Abs(rad) * 180 / math.Pi * 60))
	sign := ""
	if rad < 0 && total > 0 {
		sign = "−"
	}
	return fmt.Sprintf("%s%d° %02d′", sign, total/60, total%60)
}

func angles(aligned *value.Record, allow, before map[string]float64) []figure.SheetAngle {
	var list []figure.SheetAngle
	add := func(name, key string, target, within float64) {
		line := figure.SheetAngle{Name: name, Target: degrees(target), Minutes: minutes(target), From: degrees(target - within), To: degrees(target + within)}
		if was, given := before[key]; given {
			line.Before = degrees(was)
		}
		list = append(list, line)
	}
	right := aligned.Fields["Right"].(*value.Record)
	number := func(r *value.Record, name string) float64 { return r.Fields[name].(*value.Array).Num[0] }
	for _, name := range []string{"Caster", "Camber", "Toe"} {
		add(name+", left", name+" left", number(aligned, name), allow[name])
		add(name+", right", name+" right", number(right, name), allow[name])
	}
	add("Total toe", "TotalToe left", number(aligned, "TotalToe"), 2*allow["Toe"])
	return list
}

// settings lists where each adjuster that may be set starts. The upper arm's own lengths are none where AlignTo
// had to leave them alone: the shop can't change a welded arm.
func settings(set *value.Record) []figure.SheetSetting {
	right := set.Fields["Right"].(*value.Record)
	free := value.Average(set.Fields["UpperFree"].(*value.Array).Num) == 1
	var list []figure.SheetSetting
	for _, row := range []struct {
		name, field string
		step        float64
	}{
		{"Front cam of the lower arm, pivot out (+) or in (−)", "CamFront", 1}, {"Rear cam of the lower arm, pivot out (+) or in (−)", "CamRear", 1},
		{"Tie rod, longer (+) or shorter (−)", "TieRodTurns", 0.1},
		{"Upper arm, rearward (+) or forward (−)", "UpperShift", 0.5},
		{"Upper arm's front leg, longer (+) or shorter (−)", "UpperFrontLeg", 0.5}, {"Upper arm's rear leg, longer (+) or shorter (−)", "UpperRearLeg", 0.5},
	} {
		l, r := set.Fields[row.field].(*value.Array), right.Fields[row.field].(*value.Array)
		if strings.HasPrefix(row.field, "Upper") && (!free || l.Num[0] == 0 && r.Num[0] == 0) {
			continue // an arm that stays as it is needs no line
		}
		list = append(list, figure.SheetSetting{Name: row.name, Left: setting(l, row.step), Right: setting(r, row.step)})
	}
	return list
}

func setting(a *value.Array, step float64) figure.Cell {
	if a.AllAbsent() {
		return figure.Cell{Text: "–", Absent: true}
	}
	u := value.Display(a.Show, a.Dim, false)
	us := u.Counterpart(true)
	out := figure.Cell{Text: value.Print(a.Num[0], u, step), Number: true}
	if us != u {
		out.US = value.Print(a.Num[0], us, converted(step, u, us))
	}
	return out
}

// notesInto evaluates Notes: []string{"…"} once every block has run.
func (s *scope) notesInto(a *arguments, out *[]figure.Text) {
	e := a.exprs["Notes"]
	if e == nil {
		return
	}
	lit, ok := e.(*ast.CompositeLit)
	if ok {
		t, isList := lit.Type.(*ast.ArrayType)
		if isList {
			elt, isIdent := t.Elt.(*ast.Ident)
			ok = isIdent && elt.Name == "string"
		} else {
			ok = false
		}
	}
	if !ok {
		s.fault(e, "", `[]string{"…", "…"} was expected here`)
		a.failed = true
		return
	}
	for i, item := range lit.Elts {
		snippet, ok := s.quoted(item)
		if !ok {
			a.failed = true
			return
		}
		*out = append(*out, nil)
		s.board.later = append(s.board.later, func() { (*out)[i] = s.words(snippet) })
	}
}
