package glossary

// Sketches of the corner seen from the left, and of the tyre alone.

var casterSketch = sketch{"Side view: the line through both ball joints leans back at the top by the caster angle.", func(p *pen) {
	s := p.side(140, 15)
	p.front()
	top := s.meets.polar(170, 90)
	p.line("centre", s.meets, top)
	p.knuckle(s.upper, s.lower, s.meets, 50)
	p.angle(s.meets, 158, 90, 75)
	p.name("start", point{206, 28}, "caster +")
}}

var trailSketch = sketch{"Side view: the steering axis meets the ground ahead of the middle of the tyre's contact, by the trail.", func(p *pen) {
	s := p.side(140, 15)
	p.front()
	p.knuckle(s.upper, s.lower, s.meets, 34)
	p.line("extend", s.meets, s.meets.polar(20, 270))
	p.line("extend", s.contact, s.contact.polar(20, 270))
	p.circle("meet", s.meets, 4)
	p.circle("contact", s.contact, 4)
	p.across(s.meets.polar(16, 270), s.contact.polar(16, 270))
	p.name("start", point{164, 192}, "trail +")
}}

var sweepSketch = sketch{"Seen from above: the wheel is turned 20° to one side and 20° to the other, and the camber is read at both.", func(p *pen) {
	at := point{140, 108}
	p.note("start", point{4, 14}, "↑ front")
	p.tread("tyre", at, 40, 130, 20)
	p.tread("tyre", at, 40, 130, -20)
	p.line("centre", at.polar(84, 90), at.polar(84, 270))
	p.line("extend", at, at.polar(84, 110))
	p.line("extend", at, at.polar(84, 70))
	p.swing(at, 78, 90, 110)
	p.swing(at, 78, 90, 70)
	p.name("end", point{100, 30}, "20°")
	p.name("start", point{180, 30}, "20°")
}}

var crossSketch = sketch{"Two side views: the left wheel's axis leans back more than the right one's.", func(p *pen) {
	for i, c := range []struct {
		name   string
		caster float64
	}{{"left", 18}, {"right", 8}} {
		x := 70 + 140*float64(i)
		at := point{x, 108}
		p.ground(x-62, x+62, 160)
		p.circle("tyre", at, 52)
		low := point{x - 9, 160}
		p.line("centre", low, low.polar(132, 90))
		p.line("steer", low, low.polar(134, 90-c.caster))
		p.path("measure", arc(low, 118, 90-c.caster, 90))
		p.note("middle", point{x, 190}, c.name)
	}
	p.front()
}}

var turnplateSketch = sketch{"Seen from above: a wheel stands on a round plate that turns freely, with degrees around its edge.", func(p *pen) {
	at := point{140, 100}
	p.circle("level", at, 92)
	p.circle("measure", at, 92)
	p.circle("measure", at, 68)
	for deg := -40; deg <= 40; deg += 5 {
		long := 6.0
		if deg%10 == 0 {
			long = 11
		}
		for _, from := range []float64{90, 270} {
			d := from + float64(deg)
			p.line("measure", at.polar(92, d), at.polar(92-long, d))
		}
	}
	p.tread("tyre", at, 38, 116, 20)
	p.line("steer", at.polar(66, 110), at.polar(66, 290))
	p.line("centre", at.polar(66, 90), at.polar(66, 270))
	p.swing(at, 62, 90, 110)
	p.tip(at.polar(81, 110), 110)
}}

// tyre draws a tyre standing on the ground, seen from the side.
func (p *pen) tyre() (centre, contact point) {
	s := p.side(140, 0)
	p.circle("centre", s.centre, 44)
	p.circle("hub", s.centre, 3.5)
	return s.centre, s.contact
}

var loadedSketch = sketch{"A standing tyre seen from the side: the loaded radius is the height of its centre above the ground, less than the free radius.", func(p *pen) {
	centre, contact := p.tyre()
	p.span(centre, contact)
	p.span(centre, centre.polar(76, 35))
	p.name("end", point{134, 140}, "loaded")
	p.name("end", point{134, 155}, "radius")
	p.note("start", point{214, 52}, "free")
	p.note("start", point{214, 67}, "radius")
}}

var rollingSketch = sketch{"A tyre that has rolled a quarter turn: the distance it went, divided by the angle it turned, is the rolling radius.", func(p *pen) {
	p.ground(14, 266, 158)
	for i, x := range []float64{84, 190} {
		at := point{x, 92}
		p.circle("tyre", at, 66)
		p.circle("hub", at, 3.5)
		p.line("steer", at, at.polar(66, []float64{90, 0}[i]))
	}
	p.swing(point{190, 92}, 40, 90, 0)
	p.note("middle", point{190, 20}, "a quarter turn")
	p.line("extend", point{84, 158}, point{84, 190})
	p.line("extend", point{190, 158}, point{190, 190})
	p.span(point{84, 182}, point{190, 182})
	p.name("start", point{198, 187}, "distance")
}}

var patchSketch = sketch{"A standing tyre from the side, flat where it meets the ground, and below it the patch it rests on, seen from above.", func(p *pen) {
	at := point{140, 62}
	p.path("tyre", arc(at, 66, -64, 244)+"Z")
	p.ground(40, 240, at.polar(66, -64).y)
	a, b := at.polar(66, 244), at.polar(66, -64)
	p.line("extend", a, point{a.x, 190})
	p.line("extend", b, point{b.x, 190})
	p.tread("reach", point{140, 162}, b.x-a.x, 46, 0)
	p.tread("measure", point{140, 162}, b.x-a.x, 46, 0)
	p.circle("contact", point{140, 162}, 4)
	p.note("start", point{176, 158}, "contact patch,")
	p.note("start", point{176, 174}, "from above")
}}

var offsetSketch = sketch{"A rim cut through, seen from the front: the offset is the distance from its middle to the face that bolts to the hub, positive when that face lies outboard.", func(p *pen) {
	const middle, inner, outer, top, bottom = 140.0, 72.0, 208.0, 54.0, 150.0
	const seat = 176.0
	p.line("armline", point{inner, top - 10}, point{inner + 6, top}, point{outer - 6, top}, point{outer, top - 10})
	p.line("armline", point{seat, top}, point{seat, bottom})
	p.line("centre", point{middle, 26}, point{middle, bottom + 22})
	p.line("extend", point{seat, bottom}, point{seat, bottom + 22})
	p.across(point{middle, bottom + 16}, point{seat, bottom + 16})
	p.name("start", point{200, 171}, "offset +")
	p.note("end", point{132, 108}, "middle")
	p.note("end", point{132, 124}, "of the rim")
	p.note("start", point{184, 108}, "face on")
	p.note("start", point{184, 124}, "the hub")
	p.note("start", point{4, 18}, "inboard")
	p.note("end", point{276, 18}, "outboard")
}}

var antiDiveSketch = sketch{"Side view under braking: the brake force at the ground, in line with the point that the arms swing about, partly holds the nose up.", func(p *pen) {
	p.front()
	const y = 166
	p.ground(6, 274, y)
	at := point{60, 112}
	p.circle("tyre", at, 54)
	contact, swing := point{60, y}, point{258, 108}
	upper, lower := point{64, 80}, point{58, 142}
	p.line("extend", upper, swing)
	p.line("extend", lower, swing)
	p.line("armline", upper, upper.toward(swing, 0.26))
	p.line("armline", lower, lower.toward(swing, 0.26))
	p.line("knuckle", upper, lower)
	p.line("steer", contact, swing)
	p.circle("ball", upper, 4.5)
	p.circle("ball", lower, 4.5)
	p.circle("meet", swing, 4)
	p.arrow(contact, contact.polar(62, 0))
	p.note("start", point{84, 186}, "brake force")
	p.path("measure", arc(contact, 150, 0, contact.direction(swing)))
	p.name("start", point{214, 150}, "angle")
	p.note("end", point{276, 66}, "here the arms")
	p.note("end", point{276, 82}, "swing about")
}}
