package sim

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"turnplate/sim/survey"
)

// surveyPoint is one point of a survey, of a corner or a mark.
type surveyPoint struct {
	name string // as a reading writes it
	side string // "Front", "Right" or "" for a mark
	of   string // the corner's field; "" for a mark
	uses [3]bool
}

func (p *surveyPoint) corner() bool { return p.of != "" }

// flat tells whether only some of the point's coordinates are of interest: a mark that was never taped.
func (p *surveyPoint) flat() bool { return !(p.uses[0] && p.uses[1] && p.uses[2]) }

// surveyNet is a survey's readings as a network.
type surveyNet struct {
	survey.Network
	survey *Survey
	points []surveyPoint // as in Network.Points
	start  []float64     // of the unknowns; NaN where nothing is known
	rows   []string
	right  bool // the right corner is read
}

const wheelCentre = "WheelCentre"

// network lays out the readings, their points and their unknowns: corners' points first, then the marks as they come.
func (m *Survey) network() (*surveyNet, error) {
	n := &surveyNet{survey: m}
	n.Loosest = looseAbove
	names, needed := SurveyPoints()
	n.layCorners(names, needed)
	place := map[string]int{}
	for i := range n.points {
		place[n.points[i].name] = i
	}
	var labels []string
	for i := range m.Readings {
		labels = append(labels, n.take(&m.Readings[i], place))
	}
	n.rows = distinctRows(labels)
	n.layOut()
	return n, n.idleMark(names)
}

// layCorners lists the corners' points that are read or needed, in the order of Corner.
func (n *surveyNet) layCorners(names []string, needed []bool) {
	m, read := n.survey, map[string]bool{}
	for i := range m.Readings {
		for _, name := range []string{m.Readings[i].From, m.Readings[i].To} {
			read[name] = true
			if of, is := strings.CutPrefix(name, "Right."); is && of != wheelCentre {
				n.right = true
			}
		}
	}
	for i, name := range names {
		if needed[i] || read[name] {
			n.points = append(n.points, surveyPoint{name: name, side: "Front", of: name, uses: [3]bool{true, true, true}})
		}
	}
	for i, of := range names {
		if name := "Right." + of; n.right && needed[i] || read[name] {
			n.points = append(n.points, surveyPoint{name: name, side: "Right", of: of, uses: [3]bool{true, true, n.right || m.needsHeight(name)}})
		}
	}
}

// take adds a reading and gives its label. A mark is added to the points, which are found by their place.
func (n *surveyNet) take(r *SurveyReading, place map[string]int) (label string) {
	read := survey.Reading{Kind: survey.Kind(slices.Index(surveyKinds, r.Kind)), Value: r.Reading, Deviation: r.Deviation}
	if r.Deviation == 0 {
		read.Deviation = n.survey.usual(read.Kind)
	}
	read.From = n.pointNamed(r.From, place)
	if read.Kind.Pair() {
		read.To = n.pointNamed(r.To, place)
		n.points[read.To].use(read.Kind)
	}
	n.points[read.From].use(read.Kind)
	n.Readings = append(n.Readings, read)
	return n.label(read)
}

// looseAbove is the standard deviation from which a point counts as not tied down: a guess by eye is as good.
const looseAbove = 0.05 // m

// check gives the mistake in one reading, if there is one.
func (m *Survey) check(i int, names []string) error {
	r := &m.Readings[i]
	wrong := func(column, word string, known []string, format string, args ...any) error {
		return ReadingError{Row: i, Column: column, Word: word, Known: known, Message: fmt.Sprintf(format, args...)}
	}
	kind := slices.Index(surveyKinds, r.Kind)
	if kind < 0 {
		return wrong("Kind", r.Kind, surveyKinds, "a reading's kind is %s, not %q", listedOr(surveyKinds), r.Kind)
	}
	k := survey.Kind(kind)
	for _, p := range []struct{ column, name string }{{"From", r.From}, {"To", r.To}} {
		of, isRight := strings.CutPrefix(p.name, "Right.")
		switch {
		case p.column == "To" && !k.Pair():
			if p.name != "" {
				return wrong("To", "", nil, "%s reads one point alone, so nothing can stand under To", r.Kind)
			}
		case strings.TrimSpace(p.name) == "":
			return wrong(p.column, "", nil, "a point's name is missing")
		case isRight && !slices.Contains(names, of):
			return wrong(p.column, p.name, withRight(names), "%q isn't a point of a corner", p.name)
		case !isRight && strings.Contains(p.name, "."):
			return wrong(p.column, p.name, append(slices.Clone(names), withRight(names)...), "%q isn't a point: the left corner's are written without anything before them, the right one's with \"Right.\", and a mark's name has no full stop", p.name)
		}
	}
	switch {
	case k.Pair() && r.From == r.To:
		return wrong("To", "", nil, "a distance from a point to itself")
	case k == survey.Along && strings.TrimPrefix(r.From, "Right.") == wheelCentre:
		return wrong("From", "", nil, "along is read from the line through the wheel centres' plumb marks, so a wheel centre's is 0 and says nothing")
	case math.IsNaN(r.Reading):
		return wrong("Reading", "", nil, "the reading is missing: fill it in, or delete the row")
	case !finite(r.Reading) || math.Abs(r.Reading) > farthest:
		return wrong("Reading", "", nil, "a reading of %.4g m is more than a vehicle has", r.Reading)
	case k.Pair() && r.Reading <= 0:
		return wrong("Reading", "", nil, "a distance must be above zero")
	case k == survey.Height && r.Reading < 0:
		return wrong("Reading", "", nil, "a height above the floor can't be below zero")
	case !(r.Deviation == 0 || r.Deviation >= finest && r.Deviation <= farthest):
		return wrong("Deviation", "", nil, "a reading's standard deviation must be at least %g mm", finest*1e3)
	}
	return nil
}

const (
	farthest = 100.0 // m: longer than any vehicle
	finest   = 1e-6  // m: finer than any rule
)

func withRight(names []string) (list []string) {
	for _, n := range names {
		list = append(list, "Right."+n)
	}
	return list
}

// needsHeight tells whether a reading of a point asks for its height.
func (m *Survey) needsHeight(name string) bool {
	return slices.ContainsFunc(m.Readings, func(r SurveyReading) bool {
		return (r.From == name || r.To == name) && (r.Kind == "tape" || r.Kind == "height")
	})
}

// pointNamed finds a point, or adds a mark.
func (n *surveyNet) pointNamed(name string, place map[string]int) int {
	if i, known := place[name]; known {
		return i
	}
	place[name] = len(n.points)
	n.points = append(n.points, surveyPoint{name: name})
	return place[name]
}

// use notes the coordinates that a kind of reading asks for.
func (p *surveyPoint) use(k survey.Kind) {
	switch k {
	case survey.Tape:
		p.uses = [3]bool{true, true, true}
	case survey.Floor:
		p.uses[0], p.uses[1] = true, true
	case survey.Along:
		p.uses[0] = true
	case survey.Across:
		p.uses[1] = true
	case survey.Height:
		p.uses[2] = true
	}
}

// layOut gives every coordinate that is asked for its unknown and its start. The wheel centres lie on the y axis,
// equally far from the origin.
func (n *surveyNet) layOut() {
	halfTrack := -1
	n.Points = make([]survey.Place, len(n.points))
	for i := range n.points {
		p := &n.points[i]
		at, known := n.startOf(p)
		for axis := range 3 {
			wheel := p.of == wheelCentre
			if !p.uses[axis] || wheel && axis == 0 {
				continue
			}
			c := survey.Coordinate{Unknown: len(n.start), Sign: 1}
			if wheel && axis == 1 {
				c.Sign = sideSign(p.side)
				if halfTrack >= 0 {
					c.Unknown = halfTrack
					n.Points[i][axis] = c
					continue
				}
				halfTrack = c.Unknown
			}
			from := math.NaN()
			if known {
				from = c.Sign * [3]float64{at.X, at.Y, at.Z}[axis]
			}
			n.start = append(n.start, from)
			n.Points[i][axis] = c
		}
	}
}

func sideSign(side string) float64 {
	if side == "Right" {
		return -1
	}
	return 1
}

// startOf is where Start has a point, in the vehicle's axes.
func (n *surveyNet) startOf(p *surveyPoint) (at Point, known bool) {
	if !p.corner() {
		return at, false
	}
	c := &n.survey.Start.Front
	if p.side == "Right" && n.survey.Start.Right != nil {
		c = n.survey.Start.Right
	}
	at = *c.Place(p.of)
	known = at != Point{}
	at.Y *= sideSign(p.side)
	return at, known
}

// Place is one of a corner's points by the name of its field.
func (c *Corner) Place(name string) *Point {
	return reflect.ValueOf(c).Elem().FieldByName(name).Addr().Interface().(*Point)
}

// idleMark refuses a mark with no more readings than it has coordinates: it helps nothing, and is likely a point's
// name written wrong.
func (n *surveyNet) idleMark(names []string) error {
	for i := range n.points {
		p := &n.points[i]
		if p.corner() {
			continue
		}
		count, row, column := 0, -1, "From"
		for k, r := range n.Readings {
			from, to := r.From == i, r.Kind.Pair() && r.To == i
			if !from && !to {
				continue
			}
			count++
			if row < 0 {
				if row = k; to {
					column = "To"
				}
			}
		}
		coordinates := 0
		for _, u := range p.uses {
			if u {
				coordinates++
			}
		}
		if count <= coordinates {
			return ReadingError{Row: row, Column: column, Word: p.name, Known: append(slices.Clone(names), withRight(names)...),
				Message: fmt.Sprintf("%q isn't a point of a corner, so it is a mark; it stands in %s only, and a mark helps from %d on", p.name, counted(count, "reading"), coordinates+1)}
		}
	}
	return nil
}

// corners gives the corners for values of the unknowns, each described as a left one.
func (n *surveyNet) corners(x []float64) (front, right Corner) {
	front = n.survey.Start.Front
	n.put(&front, "Front", x)
	front.Lift = 0
	if !n.right {
		return front, front
	}
	right = n.survey.Start.Front
	if n.survey.Start.Right != nil {
		right = *n.survey.Start.Right
	}
	n.put(&right, "Right", x)
	right.Lift = 0
	return front, right
}

// cornerPoint is what corners has for one of the points.
func (n *surveyNet) cornerPoint(i int, x []float64) Point {
	p := &n.points[i]
	if p.side == "Right" && !n.right { // the left one's mirror
		return n.cornerPoint(slices.IndexFunc(n.points, func(q surveyPoint) bool { return q.side == "Front" && q.of == p.of }), x)
	}
	at := n.At(i, x)
	at.Y *= sideSign(p.side)
	return at
}

func (n *surveyNet) put(c *Corner, side string, x []float64) {
	for i := range n.points {
		if p := &n.points[i]; p.side == side {
			*c.Place(p.of) = n.cornerPoint(i, x)
		}
	}
}
