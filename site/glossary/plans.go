package glossary

import "math"

// Sketches seen from above, with the front of the vehicle at the top, and small graphs.

func (p *pen) ahead() { p.note("start", point{4, 14}, "↑ front") }

var toeSketch = sketch{"Seen from above: both front wheels point a little inward, which is toe-in. Together the two angles are the total toe.", func(p *pen) {
	p.ahead()
	left, right := point{62, 112}, point{218, 112}
	p.line("knuckle", left, right)
	const toe = 9
	for _, w := range []struct {
		at   point
		turn float64
	}{{left, -toe}, {right, toe}} {
		p.line("centre", w.at.polar(84, 90), w.at.polar(74, 270))
		p.tread("tyre", w.at, 38, 122, w.turn)
		p.line("steer", w.at.polar(70, 270+w.turn), w.at.polar(90, 90+w.turn))
		p.angle(w.at, 80, 90, 90+w.turn)
	}
	p.name("middle", point{140, 44}, "toe +")
	p.name("middle", point{140, 60}, "each side")
}}

var ackermannSketch = sketch{"Seen from above in a left turn: the lines across all wheels meet in the turn's centre, so the inner front wheel is steered further.", func(p *pen) {
	centre := point{22, 160}
	for _, w := range []point{{128, 52}, {214, 52}} {
		p.line("extend", centre, w)
		p.tread("tyre", w, 18, 46, centre.direction(w))
	}
	for _, w := range []point{{128, 160}, {214, 160}} {
		p.tread("tyre", w, 18, 46, 0)
	}
	p.line("extend", centre, point{214, 160})
	p.line("knuckle", point{128, 52}, point{214, 52})
	p.line("knuckle", point{128, 160}, point{214, 160})
	p.line("knuckle", point{171, 52}, point{171, 160})
	p.circle("meet", centre, 4)
	p.note("start", point{4, 186}, "centre of the turn")
	p.note("end", point{112, 30}, "inner")
	p.note("start", point{238, 48}, "outer")
}}

var thrustSketch = sketch{"Seen from above: the rear axle stands askew, so the vehicle is pushed along a line that is not its own middle.", func(p *pen) {
	p.ahead()
	rear := point{140, 158}
	const askew = 8.0
	p.line("centre", point{140, 22}, point{140, 190})
	for _, x := range []float64{96, 184} {
		p.tread("tyre", point{x, 54}, 18, 46, 0)
		p.tread("tyre", rear.polar(x-140, -askew), 18, 46, -askew)
	}
	p.line("knuckle", point{96, 54}, point{184, 54})
	p.line("knuckle", rear.polar(44, 180-askew), rear.polar(44, -askew))
	p.line("steer", rear, rear.polar(136, 90-askew))
	p.angle(rear, 122, 90, 90-askew)
	p.name("start", point{184, 26}, "thrust angle")
}}

var slipSketch = sketch{"Seen from above: the tyre points one way and travels another; the angle between is the slip angle.", func(p *pen) {
	at := point{120, 122}
	p.tread("tyre", at, 40, 118, 0)
	p.line("steer", at.polar(70, 270), at.polar(112, 90))
	p.arrow(at, at.polar(112, 68))
	p.swing(at, 96, 90, 68)
	p.name("start", point{170, 24}, "slip angle")
	p.note("end", point{112, 18}, "heading")
	p.note("start", point{170, 44}, "travel")
}}

// patch draws a tyre's contact from above with the side force behind its middle.
func (p *pen) patch() (middle, force point) {
	middle = point{140, 96}
	force = middle.polar(26, 270)
	p.ahead()
	p.tread("tyre", middle, 84, 150, 0)
	p.tread("reach", middle, 62, 104, 0)
	p.tread("measure", middle, 62, 104, 0)
	p.line("centre", point{140, 10}, point{140, 190})
	p.circle("contact", middle, 4)
	p.arrow(force.polar(92, 0), force.polar(4, 0))
	p.note("start", point{206, 142}, "side force")
	return middle, force
}

var pneumaticSketch = sketch{"The contact patch from above: in a bend the road's side force acts behind the middle of the patch, by the pneumatic trail.", func(p *pen) {
	middle, force := p.patch()
	p.line("extend", middle, point{84, middle.y})
	p.line("extend", force, point{84, force.y})
	p.across(point{88, middle.y}, point{88, force.y})
	p.name("end", point{78, 106}, "pneumatic")
	p.name("end", point{78, 121}, "trail")
}}

var aligningSketch = sketch{"The contact patch from above: the side force behind the middle turns the tyre back towards the way it travels.", func(p *pen) {
	middle, _ := p.patch()
	p.swing(middle, 68, 205, 128)
	p.name("end", point{68, 84}, "aligning")
	p.name("end", point{68, 99}, "torque")
}}

var corneringSketch = sketch{"A graph: side force grows with the slip angle, steeply at first and then less; the slope at the start is the cornering stiffness.", func(p *pen) {
	at := p.plot("slip angle", "side force")
	p.curve("line s1", at, func(x float64) float64 { // the brush tyre's own curve, see sim/tyre
		s := math.Min(x/0.85, 1)
		return 0.8 * (3*s - 3*s*s + s*s*s)
	})
	p.line("steer", at(0, 0), at(0.34, 0.96))
	p.line("lead", at(0.22, 0.22/0.34*0.96-0.04), at(0.4, 0.42))
	p.name("start", at(0.34, 0.34), "slope: cornering")
	p.name("start", at(0.34, 0.23), "stiffness")
}}

var relaxationSketch = sketch{"A graph: after a sudden steer the side force builds up as the tyre rolls; at one relaxation length it has reached 63 per cent.", func(p *pen) {
	at := p.plot("distance rolled", "side force")
	p.curve("line s1", at, func(x float64) float64 { return 0.9 * (1 - math.Exp(-x/0.28)) })
	p.line("extend", at(0.28, 0), at(0.28, 0.9*0.632))
	p.line("extend", at(0, 0.9*0.632), at(0.28, 0.9*0.632))
	p.span(at(0, 0.12), at(0.28, 0.12))
	p.name("start", at(0.32, 0.2), "relaxation length")
	p.note("start", at(0.02, 0.66), "63 %")
}}

var tieRodSketch = sketch{"Seen from above: the rack pushes a tie rod on each side, which turns the knuckle about the steering axis.", func(p *pen) {
	p.ahead()
	axis, arm, inner := point{206, 84}, point{196, 134}, point{168, 140}
	for _, side := range []float64{1, -1} {
		at := func(q point) point { return point{140 + side*(q.x-140), q.y} }
		p.tread("tyre", at(point{236, 84}), 34, 112, 0)
		p.line("knuckle", at(point{236, 84}), at(axis), at(arm))
		p.line("rod", at(arm), at(inner))
		p.line("lead", at(point{160, 112}), at(point{180, 132}))
		p.circle("ball", at(arm), 4.5)
		p.circle("ball", at(inner), 4.5)
		p.circle("meet", at(axis), 4)
	}
	p.line("ground", point{112, 140}, point{168, 140})
	p.span(point{124, 158}, point{156, 158})
	p.note("middle", point{140, 178}, "rack")
	p.name("middle", point{140, 106}, "tie rods")
}}

var coverageSketch = sketch{"A bell-shaped curve: between the two marks lie 95 per cent of what the value may be.", func(p *pen) {
	const left, bottom, w, h = 20.0, 154.0, 240.0, 120.0
	bell := func(x float64) point { // x in standard deviations
		return point{left + w/2 + x*w/6.4, bottom - h*math.Exp(-x*x/2)}
	}
	low, high := bell(-1.96), bell(1.96)
	inside, whole := []point{{low.x, bottom}, low}, []point{}
	for i := range 65 {
		x := float64(i)/10 - 3.2
		whole = append(whole, bell(x))
		if math.Abs(x) < 1.96 {
			inside = append(inside, bell(x))
		}
	}
	p.shape("band s1", append(inside, high, point{high.x, bottom})...)
	p.line("line s1", whole...)
	p.line("axis", point{left, bottom}, point{left + w, bottom})
	p.line("centre", point{left + w/2, 26}, point{left + w/2, bottom})
	p.span(point{low.x, bottom + 14}, point{high.x, bottom + 14})
	p.name("middle", point{left + w/2, bottom + 34}, "95 %")
	p.note("middle", point{left + w/2, 18}, "best estimate")
}}

var bumpSteerSketch = sketch{"A graph: the toe of a wheel changes as it moves up and down.", func(p *pen) {
	const middle, left, bottom = 96.0, 40.0, 166.0
	p.line("axis", point{left, 30}, point{left, bottom})
	p.line("axis", point{left, middle}, point{262, middle})
	p.note("start", point{4, 18}, "toe")
	p.note("start", point{46, 186}, "droop")
	p.note("end", point{262, 186}, "bump")
	var points []point
	for i := range 41 {
		x := float64(i)/20 - 1
		points = append(points, point{151 + 104*x, middle - 34*x + 26*x*x})
	}
	p.line("line s1", points...)
	p.line("centre", point{151, 40}, point{151, bottom})
	p.note("middle", point{151, 32}, "ride height")
}}
