package figure

import (
	"math"
	"slices"

	"turnplate/sim/clearance"
	"turnplate/sim/geom"
)

// view is a direction to look from. The two axes of the drawing, to the right and up, are those that a
// person standing there sees.
type view struct {
	right, up geom.Point
	says      string // for the reader, with an arrow
	name      string
}

// viewOf reads the name of a view; an unknown one is a front view (the block language has refused it).
func viewOf(name string) view {
	switch name {
	case "side":
		return view{geom.Point{X: -1}, geom.Point{Z: 1}, "Seen from the left · ← front of the vehicle", "side"}
	case "top":
		return view{geom.Point{Y: -1}, geom.Point{X: 1}, "Seen from above · front of the vehicle ↑", "top"}
	case "oblique":
		return oblique
	}
	return view{geom.Point{Y: 1}, geom.Point{Z: 1}, "Seen from the front · outboard →", "front"}
}

// oblique looks from ahead, inboard and above, in parallel projection: 40° aside of straight ahead and 20° down.
var oblique = func() view {
	sinA, cosA := math.Sincos(-40 * math.Pi / 180)
	sinE, cosE := math.Sincos(20 * math.Pi / 180)
	return view{geom.Point{X: -sinA, Y: cosA}, geom.Point{X: -sinE * cosA, Y: -sinE * sinA, Z: cosE},
		"Seen obliquely · front of the vehicle ↙", "oblique"}
}()

// upright tells whether the ground is seen edge-on, as a line.
func (v view) upright() bool { return v.name == "front" || v.name == "side" }

// flat is a place in a view, in metres: x to the right, y up.
type flat struct{ x, y float64 }

func (v view) of(p geom.Point) flat { return flat{p.Dot(v.right), p.Dot(v.up)} }

// named is a point of a corner: as it is called, and as a notebook writes it if it is measured.
type named struct {
	name, field string
	at          geom.Point
}

// places are the named points of a corner, in the order a reader would measure them.
func (k Sketch) places() []named {
	return []named{
		{"Upper arm, front pivot", "UpperFront", k.UpperFront}, {"Upper arm, rear pivot", "UpperRear", k.UpperRear}, {"Upper ball joint", "UpperBall", k.UpperBall},
		{"Lower arm, front pivot", "LowerFront", k.LowerFront}, {"Lower arm, rear pivot", "LowerRear", k.LowerRear}, {"Lower ball joint", "LowerBall", k.LowerBall},
		{"Tie rod, inner joint", "TieInner", k.TieInner}, {"Tie rod, outer joint", "TieOuter", k.TieOuter},
		{"Wheel centre", "WheelCentre", k.WheelCentre}, {"Contact centre", "", k.Contact}, {"Steering axis at the ground", "", k.AxisGround},
	}
}

// measured are those of them that somebody measured.
func (k Sketch) measured() []named { return k.places()[:Measured] }

// arms are the outlines of the lower and the upper arm: from the front pivot over the ball joint to the rear one.
func (k Sketch) arms() [2][]geom.Point {
	return [2][]geom.Point{{k.LowerFront, k.LowerBall, k.LowerRear}, {k.UpperFront, k.UpperBall, k.UpperRear}}
}

// drawable tells a corner that stands somewhere from a combination that can't be.
func (k Sketch) drawable() bool {
	sum := k.Radius + k.Width + k.Spin.X + k.Spin.Y + k.Spin.Z
	for _, p := range k.places() {
		sum += math.Abs(p.at.X) + math.Abs(p.at.Y) + math.Abs(p.at.Z)
	}
	const vehicles = 1e3 // metres: nothing on a corner is so far away
	return math.Abs(sum) < vehicles && k.Spin.Norm() > 0 && k.Radius > 0
}

// foot is the point of the steering axis nearest to p.
func (k Sketch) foot(p geom.Point) geom.Point {
	along := k.UpperBall.Sub(k.LowerBall).Unit()
	return k.LowerBall.Add(along.Scale(p.Sub(k.LowerBall).Dot(along)))
}

// toe is the angle of the wheel's heading inward of the x axis, from its spin axis (positive: toe-in).
func (k Sketch) toe() float64 { return math.Atan2(k.Spin.X, k.Spin.Y) }

// tyre is the outline of the tyre in a view: the hull of the circles that its section sweeps round the
// wheel's axis. Seen from the front or the side, the ground cuts off what the load has flattened.
func (k Sketch) tyre(v view) []flat {
	outline := k.outline(v, clearance.Placed{Centre: k.WheelCentre, Axis: k.Spin})
	if !v.upright() {
		return outline
	}
	return above(outline, v.of(k.Contact).y) // level with the ground under this wheel, which a bump raises
}

// sides are the edges of both sidewalls, which tell the outer side from the inner one where neither is seen square.
func (k Sketch) sides() [2][]geom.Point {
	const turn = 48
	n := k.Spin.Unit()
	aside := n.Cross(geom.Point{Z: 1}).Unit()
	up := aside.Cross(n)
	var out [2][]geom.Point
	for i, half := range []float64{-k.Width / 2, k.Width / 2} {
		for j := range turn {
			sin, cos := math.Sincos(2 * math.Pi * float64(j) / turn)
			r := k.Radius - k.ShoulderRadius
			out[i] = append(out[i], k.WheelCentre.Add(n.Scale(half)).Add(aside.Scale(r*cos)).Add(up.Scale(r*sin)))
		}
	}
	return out
}

// outline is the tyre's outline in a view wherever its wheel is, not flattened by any load.
func (k Sketch) outline(v view, at clearance.Placed) []flat {
	n := at.Axis.Unit()
	aside := n.Cross(geom.Point{Z: 1})
	if aside.Norm() < 1e-9 { // a wheel lying flat
		aside = geom.Point{X: 1}
	}
	aside = aside.Unit()
	up := aside.Cross(n)

	// The section's edge from the middle of the tread to the sidewall.
	half := k.Width / 2
	round := min(max(k.ShoulderRadius, 0), half, k.Radius/2)
	const arc, turn = 5, 96
	points := make([]flat, 0, 2*(arc+1)*turn)
	var around [turn]struct{ sin, cos float64 }
	for j := range around {
		around[j].sin, around[j].cos = math.Sincos(2 * math.Pi * float64(j) / turn)
	}
	for i := 0; i <= arc; i++ {
		sin, cos := math.Sincos(float64(i) / arc * math.Pi / 2)
		out, radius := half-round+round*sin, k.Radius-round+round*cos
		for _, side := range []float64{-out, out} {
			for _, a := range around {
				p := at.Centre.Add(n.Scale(side)).Add(aside.Scale(radius * a.cos)).Add(up.Scale(radius * a.sin))
				points = append(points, v.of(p))
			}
		}
	}
	return hull(points)
}

// hull is the convex hull of points in metres, counter-clockwise (the monotone chain of Andrew, Information Processing
// Letters 9, 1979), to the micrometre. In whole micrometres products are exact: which of the points along a straight
// side are corners would else hang on rounding, and differ from one processor to another. Both coordinates of a point go into
// one number to be sorted by, so they must lie within two kilometres.
func hull(points []flat) []flat {
	const micro = 1e6
	sorted := make([]int64, len(points))
	for i, q := range points {
		sorted[i] = int64(math.Round(q.x*micro))<<32 + int64(math.Round(q.y*micro))
	}
	slices.Sort(sorted)
	sorted = slices.Compact(sorted)
	p := make([]flat, len(sorted))
	for i, both := range sorted {
		y := int64(int32(both))
		p[i] = flat{float64((both - y) >> 32), float64(y)}
	}
	var out []flat
	chain := func(next flat, least int) {
		for len(out) >= least+2 {
			a, b := out[len(out)-2], out[len(out)-1]
			if (b.x-a.x)*(next.y-a.y)-(b.y-a.y)*(next.x-a.x) > 0 {
				break
			}
			out = out[:len(out)-1]
		}
		out = append(out, next)
	}
	for _, q := range p {
		chain(q, 0)
	}
	lower := len(out) - 1
	for i := len(p) - 2; i >= 0; i-- {
		chain(p[i], lower)
	}
	if len(out) > 1 {
		out = out[:len(out)-1] // the first point again
	}
	for i, q := range out {
		out[i] = flat{q.x / micro, q.y / micro}
	}
	return out
}

// above keeps the part of a convex outline that lies above a level.
func above(outline []flat, level float64) (kept []flat) {
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if a.y >= level {
			kept = append(kept, a)
		}
		if (a.y < level) != (b.y < level) {
			t := (level - a.y) / (b.y - a.y)
			kept = append(kept, flat{a.x + t*(b.x-a.x), level})
		}
	}
	return kept
}
