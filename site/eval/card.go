package eval

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"turnplate/sim"
	"turnplate/sim/survey"
	"turnplate/sim/unit"
	"turnplate/site/figure"
	"turnplate/site/model"
	"turnplate/site/value"
)

// cardPoints are the points that a card numbers, in the order of the work, and where exactly each is.
var cardPoints = []struct{ field, name, where string }{
	{"WheelCentre", "Wheel centre", "height of the hub’s middle; to the side, midway between the plumb marks of the tyre’s two walls"},
	{"LowerFront", "Lower arm, front pivot", "on the bolt’s axis, midway along its bush"},
	{"LowerRear", "Lower arm, rear pivot", "as in front"},
	{"LowerBall", "Lower ball joint", "the ball’s centre"},
	{"TieInner", "Tie rod, inner joint", "the ball’s centre, felt through the boot"},
	{"TieOuter", "Tie rod, outer joint", "the ball’s centre"},
	{"UpperFront", "Upper arm, front pivot", "on the bolt’s axis, midway along its bush"},
	{"UpperRear", "Upper arm, rear pivot", "as in front"},
	{"UpperBall", "Upper ball joint", "the ball’s centre"},
}

// card makes Card{Vehicle, Survey}: either alone will do.
func card(s *scope, a *arguments) figure.Figure {
	car, okCar := s.cardInput(a, "Vehicle", "Vehicle", "a vehicle")
	found, okFound := s.cardInput(a, "Survey", "Survey result", "the result of Survey")
	if !okCar || !okFound {
		return nil
	}
	from, what := found, "Survey"
	if found == nil {
		from, what = car, "Vehicle"
	}
	if from == nil {
		s.fault(a.lit, "", "a card needs Vehicle, Survey or both")
		return nil
	}
	c := &figure.Card{Surveyed: found != nil, Unit: figure.Cell{Text: figure.Plain("mm")}}
	if car != nil {
		if name, ok := car.Fields["Name"].(*value.Array); ok {
			c.Vehicle = name.Words[0]
		}
	}
	sketch, missing := cardSketch(from)
	if missing != "" {
		s.fault(a.exprs[what], "a rough place will do", "a card sketches the corner, and %s isn't given", missing)
		return nil
	}
	c.Corner = sketch
	read := readOf(found)
	if c.Right = !c.Surveyed || slices.ContainsFunc(read.rows, ofTheRight); c.Surveyed {
		c.Unit.Text.US = "inch"
	}
	fillCard(c, read)
	a.headInto(s, &c.Head)
	return c
}

// cardInput reads a field that holds a record of a type, at the dials' start and the mean of draws; nil where it isn't
// given.
func (s *scope) cardInput(a *arguments, field, of, what string) (*value.Record, bool) {
	v, given := a.value(s, field)
	if !given {
		return nil, !a.failed
	}
	r, ok := v.(*value.Record)
	if !ok || r.Type != of {
		s.fault(a.exprs[field], "", "%s takes %s; this is %s", field, what, value.Describe(v))
		return nil, false
	}
	if of == "Vehicle" { // only the corner's points are drawn, so it doesn't matter what else varies
		r = &value.Record{Type: of, Fields: map[string]value.Value{"Name": r.Fields["Name"], "Front": r.Fields["Front"]}}
	}
	at := map[*value.Axis]int{}
	for _, x := range value.AxesOf(r) {
		switch {
		case x.Kind == value.Dial:
			at[x] = s.dials.position(x)
		case x.Kind == value.Draws || x.Name == "Row":
		default:
			s.fault(a.exprs[field], "pick one with .At", "%s varies over %s, and a card has room for one vehicle", field, x.Name)
			return nil, false
		}
	}
	return averaged(value.PickValue(r, at)).(*value.Record), true
}

// cardSketch is a corner as a card draws it, with a wheel as high as its centre stands; or which point is missing.
func cardSketch(r *value.Record) (k figure.Sketch, missing string) {
	car := model.Settled(&value.Record{Type: "Vehicle", Fields: map[string]value.Value{"Front": r.Fields["Front"]}})
	for _, p := range cardPoints {
		if at := *car.Front.Place(p.field); at == (sim.Point{}) || math.IsNaN(at.Norm()) {
			return k, "Front." + p.field
		}
	}
	return typedCorner(&car.Front), ""
}

// usualWheel gives a corner of which only points are known a wheel of usual proportions, as large as its centre's
// height asks.
func usualWheel(k *figure.Sketch) {
	const loaded, wide, round = 0.955, 0.7, 0.1 // a tyre's usual proportions
	k.LoadedRadius = max(k.WheelCentre.Z, 0.1)
	k.Radius, k.Spin = k.LoadedRadius/loaded, sim.Point{Y: 1}
	k.Width, k.ShoulderRadius = wide*k.Radius, round*k.Radius
	k.Contact = sim.Point{X: k.WheelCentre.X, Y: k.WheelCentre.Y, Z: k.WheelCentre.Z - k.LoadedRadius}
	k.AxisGround = k.Contact
}

// cardRead is what a survey says of one reading.
type cardRead struct {
	figure.CardRead
	label                         string
	value, residual, standardised float64
}

// cardReadings are a survey's, by their labels, and the labels in order.
type cardReadings struct {
	rows  []string
	of    map[string]cardRead
	taken map[string]bool // by the card
	next  string
}

// readOf takes a survey's result apart; nil gives none.
func readOf(found *value.Record) *cardReadings {
	out := &cardReadings{of: map[string]cardRead{}, taken: map[string]bool{}}
	if found == nil {
		return out
	}
	out.rows = found.Fields["Row"].(*value.Array).Words
	out.next = found.Fields["Next"].(*value.Array).Words[0]
	column := func(name string) *value.Array { return found.Fields[name].(*value.Array) }
	for i, row := range out.rows {
		r := cardRead{label: row, value: column("Reading").Num[i], residual: column("Residual").Num[i], standardised: column("Standardised").Num[i]}
		r.Value, r.Off = bareLength(r.value, 1, ""), bareLength(r.residual, 0.1, "+")
		r.Noticed = math.Abs(r.standardised) > survey.Noticed
		out.of[row] = r
	}
	return out
}

// bareLength prints a length without its unit, which a table's head names; plus goes before one above zero.
func bareLength(m, step float64, plus string) figure.Cell {
	mm, _ := unit.Lookup("mm")
	inch := mm.Counterpart(true)
	say := func(u unit.Unit, to float64) string {
		text := value.Digits(m/u.SI, to)
		if m > 0 && strings.Trim(text, "0.") != "" {
			text = plus + text
		}
		return text
	}
	return figure.Cell{Text: figure.Either(say(mm, step), say(inch, converted(step, mm, inch))), Number: true}
}

// take gives the readings of one place of the card, and marks them as shown.
func (c *cardReadings) take(r sim.SurveyReading) (list []cardRead) {
	label := r.Kind + " " + r.From
	if r.To != "" {
		label += " to " + r.To
	}
	for n := 1; ; n++ {
		key := label
		if n > 1 {
			key += " (" + strconv.Itoa(n) + ")"
		}
		read, ok := c.of[key]
		if !ok {
			return list
		}
		c.taken[key] = true
		list = append(list, read)
	}
}

// fillCard lays out what the card asks for, with what was read.
func fillCard(c *figure.Card, read *cardReadings) {
	number := map[string]int{}
	for i, p := range cardPoints {
		number[p.field] = i + 1
		c.Points = append(c.Points, figure.CardPoint{Number: i + 1, Name: p.name, Field: p.field, Where: p.where})
	}
	var files [2][][]string // the left corner's, the right one's
	for _, asked := range sim.CardReadings() {
		var tape *figure.CardTape
		if asked.To != "" {
			c.Tapes = append(c.Tapes, figure.CardTape{Kind: asked.Kind, From: number[asked.From], To: number[strings.TrimPrefix(asked.To, "Right.")]})
			tape = &c.Tapes[len(c.Tapes)-1]
			tape.Name = tapeName(asked)
			if asked.Both() {
				tape.From = 0
			}
		}
		for side := range 2 {
			rows := asked.Side(side)
			if len(rows) == 0 || side == 1 && !c.Right {
				continue
			}
			reads := figure.CardReads{Blanks: len(rows)}
			taken := read.take(rows[0])
			for _, r := range taken {
				reads.Read = append(reads.Read, r.CardRead)
			}
			for i := range max(len(rows), len(taken)) {
				files[side] = append(files[side], cardRow(rows[0], i, taken))
			}
			if tape != nil {
				tape.Reads[side] = reads
				continue
			}
			axis := map[string]int{"along": 0, "across": 1, "height": 2}[asked.Kind]
			c.Points[number[asked.From]-1].Reads[axis][side] = reads
		}
	}
	c.File = append(files[0], files[1]...)
	read.others(c)
}

func tapeName(r sim.CardReading) string {
	name := func(field string) string {
		for _, p := range cardPoints {
			if p.field == field {
				return strings.ToLower(p.name[:1]) + p.name[1:]
			}
		}
		return field
	}
	if r.Both() {
		return "Wheel centre to wheel centre, between their marks on the floor"
	}
	return "From " + name(r.From) + " to " + name(r.To)
}

// cardRow is one row of the file.
func cardRow(r sim.SurveyReading, i int, taken []cardRead) []string {
	row := []string{r.Kind, r.From, r.To, "", ""}
	switch {
	case i >= len(taken):
		if i > 0 {
			row[4] = "again, afresh"
		}
	default:
		row[3] = millimetres(taken[i].value)
		if taken[i].Noticed {
			row[4] = "read again"
		}
	}
	return row
}

// others adds the readings that the card doesn't ask for, and says which to take again.
func (c *cardReadings) others(card *figure.Card) {
	var again []cardRead
	for _, row := range c.rows {
		r := c.of[row]
		if r.Noticed {
			again = append(again, r)
		}
		if taken, _ := sim.TakenApart(row); !c.taken[row] {
			card.Others = append(card.Others, figure.CardOther{Name: sim.ReadingWords(r.label), Read: r.CardRead})
			card.File = append(card.File, cardRow(taken, 0, []cardRead{r}))
		}
	}
	slices.SortStableFunc(again, func(a, b cardRead) int {
		return cmp.Compare(math.Abs(b.standardised), math.Abs(a.standardised))
	})
	for _, r := range again {
		card.Again = append(card.Again, figure.CardAgain{Name: sim.ReadingWords(r.label), Read: r.CardRead, Deviations: value.Digits(math.Abs(r.standardised), 0.1)})
	}
	card.Next = sim.ReadingWords(c.next)
}

// ofTheRight says whether a reading's row is of the right corner.
func ofTheRight(row string) bool {
	r, _ := sim.TakenApart(row)
	return strings.HasPrefix(r.From, "Right.")
}

// millimetres prints a length as it was typed.
func millimetres(m float64) string { return strconv.FormatFloat(math.Round(m*1e7)/1e4, 'f', -1, 64) }
