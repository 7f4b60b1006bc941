package eval

import (
	"go/ast"
	"math"
	"slices"

	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// zones makes Zones{Along, In, Rows: []Zone{{Strip, Head, From, Until, Is}}, Mark, MarkHead}.
func zones(s *scope, a *arguments) figure.Figure {
	if !a.need(s, "Along", "Rows") {
		return nil
	}
	items, ok := s.items(a.exprs["Rows"], "Zone")
	if !ok {
		a.failed = true
		return nil
	}
	if len(items) == 0 || len(items) > maxZones {
		s.fault(a.exprs["Rows"], "", "from 1 to %d zones stand in one figure; these are %d", maxZones, len(items))
		return nil
	}
	z := &figure.Zones{Mark: math.NaN()}
	var like *value.Array
	for _, item := range items {
		if like, ok = s.zone(a, item, like, z); !ok {
			a.failed = true
			return nil
		}
	}
	if z.Marks() == 0 {
		s.fault(a.exprs["Rows"], "", "none of these zones has a place")
		return nil
	}
	z.X = s.scale(like, a.unit(s, "In", like.Dim), "")
	if e := a.exprs["Mark"]; e != nil {
		mark, _, ok := s.zoneEnd(a, e, like)
		if !ok {
			a.failed = true
			return nil
		}
		z.Mark = mark.At
	}
	a.textInto(s, "Along", &z.Along)
	a.textInto(s, "MarkHead", &z.Called)
	a.headInto(s, &z.Head)
	return z
}

// maxZones is how many named parts a reader still takes in at one look.
const maxZones = 24

var standings = []string{string(figure.GoodZone), string(figure.FairZone), string(figure.PoorZone), string(figure.NoZone)}

// zone reads one part and adds it to its strip: to the last one, or to a new one where it names another. like is a value
// of the dimension that all ends have; nil for the first. On a reader's page a part that has no place is left out.
func (s *scope) zone(a *arguments, item *ast.CompositeLit, like *value.Array, z *figure.Zones) (*value.Array, bool) {
	fields, ok := s.fieldsOf(item, "Zone")
	if !ok {
		return nil, false
	}
	if !s.needed(item, fields, "a zone", `{Strip: "What it buys", Head: "enough", From: 4*deg, Until: 5*deg, Is: "good"}`, "Strip", "Head", "From", "Until", "Is") {
		return nil, false
	}
	is, ok := s.quoted(fields["Is"])
	if !ok {
		return nil, false
	}
	if !slices.Contains(standings, is.Text) {
		s.fault(fields["Is"], diag.DidYouMean(is.Text, standings), `Is is "good", "fair", "poor" or "out of reach"`)
		return nil, false
	}
	one := figure.Zone{Standing: figure.Standing(is.Text)}
	if one.From, like, ok = s.zoneEnd(a, fields["From"], like); !ok {
		return nil, false
	}
	if one.Until, like, ok = s.zoneEnd(a, fields["Until"], like); !ok {
		return nil, false
	}
	none := !(one.From.At <= one.Until.At)
	if none && !s.page.Visited { // else it is left out, and the figure says so
		s.fault(fields["Until"], "", "this zone ends before it begins")
		return nil, false
	}
	strip, ok := s.quoted(fields["Strip"])
	if !ok {
		return nil, false
	}
	head, ok := s.quoted(fields["Head"])
	if !ok {
		return nil, false
	}
	last := len(z.Strips) - 1
	if last < 0 || z.Strips[last].Written != strip.Text {
		z.Strips = append(z.Strips, figure.ZoneStrip{Written: strip.Text})
		last++
		s.board.later = append(s.board.later, func() { z.Strips[last].Name = s.words(strip) })
	}
	if none {
		z.Left++
		return like, true
	}
	z.Strips[last].Zones = append(z.Strips[last].Zones, one)
	i := len(z.Strips[last].Zones) - 1
	s.board.later = append(s.board.later, func() { z.Strips[last].Zones[i].Name = s.words(head) })
	return like, true
}

// zoneEnd evaluates a place on the scale, which may be uncertain, and gives a value of its dimension back. What has no value
// with a reader's own is NaN.
func (s *scope) zoneEnd(a *arguments, e ast.Expr, like *value.Array) (figure.Edge, *value.Array, bool) {
	before := len(s.page.Faults)
	v, ok := s.followedNumber(a, e)
	none := figure.Edge{At: math.NaN()}
	if !ok {
		return none, like, s.without(before)
	}
	if like != nil && v.Dim != like.Dim {
		s.fault(e, "", "this is %s, but the ends before it are %s", value.Describe(v), value.Describe(like))
		return figure.Edge{}, like, false
	}
	if left := leftover(v); len(left) > 0 {
		s.fault(e, pickHint(left), "this varies over %s, and a zone ends at one place", value.Names(left))
		return figure.Edge{}, like, false
	}
	if v.AllAbsent() && s.page.Visited {
		return none, v, true
	}
	if v.AllAbsent() {
		s.fault(e, "", "this has no value: %s", v.Reason())
		return figure.Edge{}, like, false
	}
	mean, low, high := mean95(v)
	return figure.Edge{At: mean, Low: low, High: high}, v, true
}
