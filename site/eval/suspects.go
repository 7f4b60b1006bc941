package eval

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"turnplate/sim"
	"turnplate/site/figure"
	"turnplate/site/model"
	"turnplate/site/value"
)

// mostSuspects is how many corners with points in doubt a page shows.
const mostSuspects = 6

// suspect draws a vehicle up as it was typed, with the points marked that a finding is about.
func (s *scope) suspect(l look) {
	for _, side := range [...]string{"Front", "Right"} {
		var named, all []string
		for _, field := range figure.PointFields() {
			if !slices.ContainsFunc(l.Fields, func(f string) bool {
				return f == side+"."+field || strings.HasPrefix(f, side+"."+field+".")
			}) {
				continue
			}
			all = append(all, field)
			if strings.Contains(l.Hint, field) {
				named = append(named, field)
			}
		}
		if named == nil { // else the hint says which of them to look at
			named = all
		}
		s.markSuspects(l.car, side, l.Impossible, named)
	}
}

// markSuspects marks points of one corner.
func (s *scope) markSuspects(v *sim.Vehicle, side string, refused bool, points []string) {
	corner := &v.Front
	if side == "Right" {
		corner = v.Right
	}
	if len(points) == 0 || corner == nil {
		return
	}
	for _, known := range s.page.Suspects {
		if known.Corner == typedCorner(corner) && known.Side == sides[side] && known.Refused == refused {
			for _, p := range points {
				if !slices.Contains(known.Points, p) {
					known.Points = append(known.Points, p)
				}
			}
			return
		}
	}
	drawn := &figure.Suspects{
		ID:      fmt.Sprintf("suspects-%s-%d", strings.NewReplacer("/", "-", " ", "-").Replace(s.nb.Path), len(s.page.Suspects)+1),
		Vehicle: v.Name, Side: sides[side], Refused: refused, Corner: typedCorner(corner), Points: points,
	}
	if drawn.Drawable() && len(s.page.Suspects) < mostSuspects {
		s.page.Suspects = append(s.page.Suspects, drawn)
	}
}

var sides = map[string]string{"Front": "left front", "Right": "right front"}

// typedCorner is a corner as its points were typed; a point that isn't given keeps it from being drawn.
func typedCorner(c *sim.Corner) figure.Sketch {
	k := figure.Sketch{
		UpperFront: c.UpperFront, UpperRear: c.UpperRear, UpperBall: c.UpperBall,
		LowerFront: c.LowerFront, LowerRear: c.LowerRear, LowerBall: c.LowerBall,
		TieInner: c.TieInner, TieOuter: c.TieOuter, WheelCentre: c.WheelCentre,
	}
	if points := k.MeasuredPoints(); slices.Contains(points[:], sim.Point{}) {
		return figure.Sketch{}
	}
	usualWheel(&k)
	return k
}

// jointFields are the points of the joints that an axle can't reach.
var jointFields = map[string]string{
	"upper ball joint": "UpperBall", "lower ball joint": "LowerBall", "outer tie-rod joint": "TieOuter", "wheel height": "WheelCentre",
}

// suspectJoint draws a vehicle up that can't stand at rest, with the joint marked that isn't reached.
func (s *scope) suspectJoint(car *value.Record) {
	v := model.Settled(car)
	_, err := sim.SketchOf(v, 0, 0)
	var no sim.Unreachable
	if !errors.As(err, &no) {
		return
	}
	for name, side := range sides {
		if side == no.Side {
			s.markSuspects(&v, name, true, []string{jointFields[no.Joint]})
		}
	}
}
