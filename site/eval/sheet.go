package eval

import (
	"fmt"
	"go/ast"
	"math"
	"slices"
	"strings"

	"turnplate/sim"
	"turnplate/sim/unit"
	"turnplate/site/figure"
	"turnplate/site/model"
	"turnplate/site/value"
	"turnplate/site/vocabulary"
)

// allowed are the tolerances of a sheet that gives none, in degrees: within what shops work to (common
// practice, no source).
var allowed = map[string]float64{"Camber": 0.25, "Caster": 0.5, "Toe": 0.05}

// sheet makes Sheet{Set, Allow: Allowance{Camber, Caster, Toe}, Before: r, Pressures: Pressures{Front, Rear},
// RideHeight, Load, Notes: []string{}}. Set is what AlignTo gave; a target that isn't reached is refused, because a shop can't set it either.
func sheet(s *scope, a *arguments) figure.Figure {
	set := s.inReach(a, "a sheet hands out only what can be set")
	if set == nil {
		return nil
	}
	m, _ := sim.Find("Alignment")
	aligned, ok := s.model(a.lit, m, &value.Record{Type: "Alignment", Fields: map[string]value.Value{"Vehicle": set.Fields["Vehicle"]}}).(*value.Record)
	if !ok {
		return nil
	}
	drawn := set
	set, aligned = averaged(set).(*value.Record), averaged(aligned).(*value.Record)
	out := &figure.Sheet{Vehicle: nameOf(set)}
	allow, ok := s.allowance(a)
	before, okBefore := s.printout(a, "Before")
	if !ok || !okBefore {
		return nil
	}
	out.Angles = angles(aligned, allow, before)
	s.atRim(out, set.Fields["Vehicle"].(*value.Record), aligned)
	out.Settings = s.settings(drawn)
	out.Cams = [2]figure.SheetCams{cams(set, set, "Front"), cams(set, set.Fields["Right"].(*value.Record), "Right")}
	if !s.stands(a, out, set.Fields["Vehicle"].(*value.Record)) {
		return nil
	}
	s.notesInto(a, &out.Notes)
	a.headInto(s, &out.Head)
	return out
}

// inReach reads Set for a page that is handed out, with its cautions; nil after a fault. A target that isn't reached is
// one: refusal says why.
func (s *scope) inReach(a *arguments, refusal string) *value.Record {
	if !a.need(s, "Set") {
		return nil
	}
	set := s.setting(a)
	if set != nil && !certain(set.Fields["Reached"]) {
		s.fault(a.exprs["Set"], "ask for a target in reach", "%s, and %s", refusal, missed(set))
		return nil
	}
	return set
}

// setting reads Set, which takes what AlignTo gave, with its dials fixed; nil after a fault.
func (s *scope) setting(a *arguments) *value.Record {
	v, ok := a.value(s, "Set")
	if !ok {
		return nil
	}
	set, ok := v.(*value.Record)
	if !ok || set.Type != "AlignTo result" {
		s.fault(a.exprs["Set"], "give it the result of AlignTo", "Set takes an AlignTo result; this is %s", value.Describe(v))
		return nil
	}
	return s.fixed(a, set)
}

// below gives what stands at a dotted path below a record; nil where there is nothing of that kind.
func below[T value.Value](r *value.Record, path string) (found T) {
	var v value.Value = r
	for name := range strings.SplitSeq(path, ".") {
		of, ok := v.(*value.Record)
		if !ok || of == nil {
			return found
		}
		v = of.Fields[name]
	}
	found, _ = v.(T)
	return found
}

// missed says by how much a setting misses its target and what is in reach: why there is no vehicle set to it.
func missed(set *value.Record) string {
	return below[*value.Array](set, "Vehicle.Front.Adjust.CamFront").Reason()
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
	good := s.piece(a, "Allow", "Allowance", func(name string, e ast.Expr, n *value.Array) bool {
		if n.Dim != unit.Angle || n.Num[0] <= 0 {
			s.fault(e, "", "a tolerance is an angle above zero, such as 0.25*deg")
			return false
		}
		out[name] = n.Num[0]
		return true
	})
	return out, good
}

// piece reads a field of a figure that holds a few single numbers by name, such as Allow: Allowance{Camber: …}.
// take is called for each that is given. A field left out is good.
func (s *scope) piece(a *arguments, field, name string, take func(name string, e ast.Expr, n *value.Array) bool) bool {
	e := a.exprs[field]
	if e == nil {
		return true
	}
	lit, ok := e.(*ast.CompositeLit)
	if !ok || !isNamed(lit.Type, name) {
		s.fault(e, "", "%s{%s: …} was expected here", name, strings.Join(vocabulary.FieldsOf(name), ": …, "))
		return false
	}
	return s.eachField(lit, name, vocabulary.FieldsOf(name), func(field string, _ ast.Node, e ast.Expr) bool {
		v := s.expr(e)
		if isBroken(v) {
			return false
		}
		n, ok := s.scalar(e, v)
		return ok && take(field, e, n)
	})
}

// nameOf is what the vehicle of a setting is called, or "".
func nameOf(set *value.Record) string {
	if name := below[*value.Array](set, "Vehicle.Name"); name != nil {
		return name.Words[0]
	}
	return ""
}

// printout reads a shop's printout: readings with rows labelled Left and Right and columns of angles.
func (s *scope) printout(a *arguments, field string) (map[string]float64, bool) {
	v, given := a.value(s, field)
	if !given {
		return nil, !a.failed
	}
	r, ok := v.(*value.Record)
	if !ok || !strings.HasPrefix(r.Type, "readings ") {
		s.fault(a.exprs[field], "", `%s takes readings("file.csv") with rows Left and Right; this is %s`, field, value.Describe(v))
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
		s.fault(a.exprs[field], "", "these readings have no column Caster, Camber or Toe in degrees")
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
func (s *scope) settings(set *value.Record) []figure.SheetSetting {
	right := set.Fields["Right"].(*value.Record)
	free := value.Average(set.Fields["UpperFree"].(*value.Array).Num) == 1
	var list []figure.SheetSetting
	for _, row := range []struct {
		name, field, limit string
		step               float64
	}{
		{"Front cam of the lower arm, pivot out (+) or in (−)", "CamFront", "front cam", 1}, {"Rear cam of the lower arm, pivot out (+) or in (−)", "CamRear", "rear cam", 1},
		{"Tie rod, longer (+) or shorter (−)", "TieRodTurns", "", 0.1},
		{"Upper arm, rearward (+) or forward (−)", "UpperShift", "upper arm's shift", 0.5},
		{"Upper arm's front leg, longer (+) or shorter (−)", "UpperFrontLeg", "upper front leg", 0.5}, {"Upper arm's rear leg, longer (+) or shorter (−)", "UpperRearLeg", "upper rear leg", 0.5},
	} {
		l, r := set.Fields[row.field].(*value.Array), right.Fields[row.field].(*value.Array)
		if strings.HasPrefix(row.field, "Upper") && (!free || unmoved(l) && unmoved(r)) {
			continue // an arm that stays as it is needs no line
		}
		line := figure.SheetSetting{Name: row.name, Left: s.starts(l, row.step), Right: s.starts(r, row.step)}
		if row.limit != "" {
			line.Limit = limits(atLimit(set, row.limit), atLimit(right, row.limit))
		}
		list = append(list, line)
	}
	return list
}

func unmoved(a *value.Array) bool {
	return !slices.ContainsFunc(a.Num, func(x float64) bool { return x != 0 })
}

// starts prints a setting with its uncertainty.
func (s *scope) starts(a *value.Array, step float64) figure.Span {
	if a.AllAbsent() {
		return figure.Span{Text: figure.Plain("–")}
	}
	if value.Uncertain(a) && step < 0.5 {
		step /= 10 // or the interval would print as "0.4 to 0.4"
	}
	return s.span(a, value.Display(a.Show, a.Dim, false), step)
}

// atLimit is in what share of draws an adjuster of a wheel stands at an end of its range.
func atLimit(wheel *value.Record, name string) float64 {
	words := wheel.Fields["AtLimit"].(*value.Array).Words
	n := 0
	for _, w := range words {
		if slices.Contains(strings.Split(w, " and "), name) {
			n++
		}
	}
	return float64(n) / float64(len(words))
}

// limits says which sides stand at a limit, or may.
func limits(left, right float64) string {
	say := func(share float64) string {
		switch {
		case share > 0.5:
			return "at the limit"
		case share > 0:
			return "perhaps at the limit"
		}
		return ""
	}
	l, r := say(left), say(right)
	switch {
	case l == r && l != "":
		return "both sides " + l
	case l != "" && r != "":
		return "left " + l + ", right " + r
	case l != "":
		return "left " + l
	case r != "":
		return "right " + r
	}
	return ""
}

// cams are one side's, for the sketch: wheel is how it is set, corner the field that describes it.
func cams(set, wheel *value.Record, corner string) figure.SheetCams {
	if below[*value.Record](set, "Vehicle."+corner) == nil {
		corner = "Front" // which it mirrors
	}
	adjust := below[*value.Record](set, "Vehicle."+corner+".Adjust")
	if adjust == nil {
		return figure.SheetCams{}
	}
	number := func(field string) float64 {
		a := below[*value.Array](adjust, field)
		if a == nil {
			return 0
		}
		return a.Num[0]
	}
	out := figure.SheetCams{Given: number("CamOffset") > 0 && number("CamLimit") > 0}
	for cam, to := range map[string]*figure.SheetCam{"CamFront": &out.Front, "CamRear": &out.Rear} {
		angle := wheel.Fields[cam].(*value.Array).Num[0]
		to.Turn = angle
		to.Text = value.Digits(angle*180/math.Pi, 1) + "°"
		to.Out = number("CamOffset") * (math.Sin(angle) - math.Sin(number(cam+"Measured")))
	}
	return out
}

// atRim tells toe as the difference of the distances between the rims' edges behind and ahead of the axle.
func (s *scope) atRim(out *figure.Sheet, car, aligned *value.Record) {
	tyre, _ := car.Fields["Tyre"].(*value.Record)
	if tyre == nil {
		return
	}
	diameter, ok := tyre.Fields["RimDiameter"].(*value.Array)
	if !ok {
		if diameter, ok = model.Fill(tyre, "RimDiameter").(*value.Array); !ok {
			return
		}
	}
	inch := unit.MustParse("inch")
	out.Rim = figure.Span{Text: figure.Plain(value.Print(diameter.Num[0], inch, 1)), Value: true}
	toe := func(r *value.Record) float64 {
		return diameter.Num[0] * math.Sin(r.Fields["Toe"].(*value.Array).Num[0])
	}
	left, right := toe(aligned), toe(aligned.Fields["Right"].(*value.Record))
	for i := range out.Angles {
		length, ok := map[string]float64{"Toe, left": left, "Toe, right": right, "Total toe": left + right}[out.Angles[i].Name]
		if ok {
			out.Angles[i].AtRim = s.span(value.Num(length, unit.Length), unit.MustParse("mm"), 0.1)
		}
	}
}

// stands says how the vehicle is to stand while it is measured.
func (s *scope) stands(a *arguments, out *figure.Sheet, car *value.Record) bool {
	kPa, mm := unit.MustParse("kPa"), unit.MustParse("mm")
	pressures, ok := s.pressures(a)
	if !ok {
		return false
	}
	if pressures == nil {
		if p := below[*value.Array](car, "Tyre.Pressure"); p != nil && len(p.Axes) == 0 {
			pressures = map[string]*value.Array{"Front": p, "Rear": p}
		}
	}
	for _, axle := range [...]string{"Front", "Rear"} {
		line := figure.SheetStand{What: axle + " tyres, cold"}
		if p := pressures[axle]; p != nil {
			line.Value = s.span(p, kPa, 1)
		}
		out.Stands = append(out.Stands, line)
	}
	height := figure.SheetStand{What: "Hub to arch"}
	if v, given := a.value(s, "RideHeight"); given {
		h, ok := s.scalar(a.exprs["RideHeight"], v)
		if !ok {
			return false
		}
		if h.Dim != unit.Length || !(h.Num[0] > 0) {
			s.fault(a.exprs["RideHeight"], "", "RideHeight takes a length above zero, such as 520*mm; this is %s", value.Describe(h))
			return false
		}
		height.Value = s.span(h, mm, 1)
	}
	load := figure.SheetStand{What: "Load", Value: figure.Span{Text: figure.Plain("as it stands")}}
	if v, given := a.value(s, "Load"); given {
		words, ok := textOf(v)
		if !ok {
			s.fault(a.exprs["Load"], "", "Load takes text in quotes; this is %s", value.Describe(v))
			return false
		}
		load.Value.Text = figure.Plain(words)
	}
	out.Stands = append(out.Stands, height, load)
	return !a.failed
}

// pressures reads Pressures: Pressures{Front, Rear}; nil where it isn't given.
func (s *scope) pressures(a *arguments) (map[string]*value.Array, bool) {
	var out map[string]*value.Array
	kPa := unit.MustParse("kPa")
	good := s.piece(a, "Pressures", "Pressures", func(name string, e ast.Expr, n *value.Array) bool {
		if n.Dim != kPa.Dim || !(n.Num[0] > 0) {
			s.fault(e, "", "a pressure above zero was expected here, such as 230*kPa; this is %s", value.Describe(n))
			return false
		}
		if out == nil {
			out = map[string]*value.Array{}
		}
		out[name] = n
		return true
	})
	return out, good
}

// notesInto evaluates Notes: []string{"…"} once every block has run.
func (s *scope) notesInto(a *arguments, out *[]figure.Text) {
	e := a.exprs["Notes"]
	if e == nil {
		return
	}
	lit, ok := e.(*ast.CompositeLit)
	if !ok || !isListOf(lit.Type, "string") {
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
