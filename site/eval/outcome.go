package eval

import (
	"math"

	"turnplate/sim"
	"turnplate/sim/unit"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// outcome makes Outcome{Set, Printed: r}: a table of what was asked of AlignTo, what it predicts and what the shop
// printed, by angle. A target that isn't reached is compared as well.
func outcome(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "Set", "Printed") {
		return nil
	}
	set := s.setting(a)
	printed, ok := s.printout(a, "Printed")
	if set == nil || !ok {
		return nil
	}
	m, _ := sim.Find("Alignment")
	aligned, ok := s.model(a.lit, m, &value.Record{Type: "Alignment", Fields: map[string]value.Value{"Vehicle": set.Fields["Nearest"]}}).(*value.Record)
	if !ok {
		return nil
	}
	t := &figure.Table{RowHead: "Angle", Columns: []figure.Column{{Head: figure.Plain("Asked")}, {Head: figure.Plain("Predicted")}, {Head: figure.Plain("Printed")}, {Head: figure.Plain("Printed less asked")}}}
	add := func(name, key string, predicted *value.Array, left float64) {
		asked := value.Average(predicted.Num) + left
		cells := [4]figure.Cell{s.angleCell(value.Num(asked, unit.Angle)), s.angleCell(predicted), absentCell, absentCell}
		if read, given := printed[key]; given {
			cells[2], cells[3] = s.angleCell(value.Num(read, unit.Angle)), s.angleCell(value.Num(read-asked, unit.Angle))
		} else {
			t.Absent += 2
		}
		t.Rows = append(t.Rows, figure.Plain(name))
		for i := range t.Columns {
			t.Columns[i].Cells = append(t.Columns[i].Cells, cells[i])
		}
	}
	number := func(r *value.Record, name string) *value.Array { return r.Fields[name].(*value.Array) }
	for _, name := range []string{"Caster", "Camber", "Toe"} {
		for _, side := range []string{"left", "right"} {
			wheel, given := set, aligned
			if side == "right" {
				wheel, given = set.Fields["Right"].(*value.Record), aligned.Fields["Right"].(*value.Record)
			}
			left := 0.0 // toe is always exact
			if name != "Toe" {
				left = value.Average(number(wheel, name+"Left").Num)
			}
			add(name+", "+side, name+" "+side, number(given, name), left)
		}
	}
	add("Total toe", "TotalToe left", number(aligned, "TotalToe"), 0)
	a.headInto(s, &t.Head)
	return t
}

var absentCell = figure.Cell{Text: figure.Plain("–"), Absent: true}

// angleCell prints an angle to a hundredth of a degree, with its uncertainty.
func (s *scope) angleCell(a *value.Array) figure.Cell {
	if a.AllAbsent() || math.IsNaN(value.Average(a.Num)) {
		return absentCell
	}
	return figure.Cell{Text: s.span(a, unit.MustParse("deg"), 0.01).Text, Number: true}
}
