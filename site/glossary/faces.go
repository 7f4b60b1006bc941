package glossary

// Sketches of the corner seen from the front, and of parts of it.

var camberSketch = sketch{"Seen from the front: the wheel leans outward at the top, which is positive camber.", func(p *pen) {
	f := p.face(12, "tyre")
	p.line("centre", f.contact, f.contact.polar(164, 90))
	p.line("steer", f.contact, f.contact.polar(164, 78))
	p.angle(f.contact, 152, 90, 78)
	p.corner(f)
	p.name("end", point{187, 26}, "camber +")
}}

var inclinationSketch = sketch{"Seen from the front: the steering axis leans inward at the top.", func(p *pen) {
	f := p.face(0, "tyre")
	p.corner(f)
	top := f.meets.polar(160, 90)
	p.line("centre", f.meets, top)
	p.line("steer", f.meets, f.upper.polar(46, 90+f.lean))
	p.angle(f.meets, 146, 90, 90+f.lean)
	p.name("end", point{131, 22}, "steering-axis")
	p.name("end", point{131, 38}, "inclination +")
}}

var scrubSketch = sketch{"Seen from the front: the scrub radius is the distance from where the steering axis meets the ground to the middle of the tyre's contact.", func(p *pen) {
	f := p.face(0, "tyre")
	p.corner(f)
	p.line("steer", f.meets, f.upper.polar(40, 90+f.lean))
	p.line("extend", f.meets, f.meets.polar(20, 270))
	p.line("extend", f.contact, f.contact.polar(20, 270))
	p.circle("meet", f.meets, 4)
	p.circle("contact", f.contact, 4)
	p.across(f.meets.polar(15, 270), f.contact.polar(15, 270))
	p.name("end", point{158, 196}, "scrub radius +")
}}

var spindleSketch = sketch{"Seen from the front: the spindle length is the distance of the wheel's centre from the steering axis.", func(p *pen) {
	f := p.face(0, "tyre")
	p.corner(f)
	p.line("steer", f.meets, f.upper.polar(40, 90+f.lean))
	near := foot(f.centre, f.upper, f.lower)
	p.circle("hub", f.centre, 4)
	out := near.direction(f.centre) + 90
	p.line("extend", f.centre, f.centre.polar(86, out))
	p.line("extend", near, near.polar(86, out))
	p.across(near.polar(82, out), f.centre.polar(82, out))
	p.name("end", point{136, 32}, "spindle length")
}}

var axisSketch = sketch{"Seen from the front: the steering axis is the line through the upper and the lower ball joint.", func(p *pen) {
	f := p.face(0, "tyre")
	p.corner(f)
	p.line("steer", f.meets, f.upper.polar(46, 90+f.lean))
	p.circle("meet", f.meets, 4)
	p.name("end", point{148, 26}, "steering axis")
}}

var armsSketch = sketch{"Seen from above: an arm has two pivots on the frame and one ball joint at the knuckle.", func(p *pen) {
	p.note("start", point{4, 14}, "↑ front")
	fore, rear, ball := point{70, 44}, point{70, 164}, point{196, 96}
	p.line("ground", point{44, 16}, point{44, 190})
	p.line("lead", point{44, fore.y}, fore)
	p.line("lead", point{44, rear.y}, rear)
	p.shape("arm", fore, ball, rear)
	p.circle("pivot", fore, 6)
	p.circle("pivot", rear, 6)
	p.circle("ball", ball, 6)
	p.line("centre", point{70, 22}, point{70, 188})
	p.note("start", point{82, 36}, "front pivot")
	p.note("start", point{84, 184}, "rear pivot")
	p.note("start", point{208, 92}, "ball")
	p.note("start", point{208, 108}, "joint")
}}

var ballSketch = sketch{"A ball joint cut through: a ball on a tapered stud turns and tilts in its socket.", func(p *pen) {
	at := point{120, 116}
	p.path("arm", arc(at, 44, 52, -232)+"Z")
	p.circle("ball", at, 34)
	p.line("axis", at.polar(34, 70), point{146, 44}, point{148, 20}, point{128, 16}, point{124, 42}, at.polar(34, 98))
	p.line("steer", at, at.polar(112, 83))
	p.line("steer", at.polar(38, 263), at.polar(62, 263))
	p.swing(at, 84, 83, 60)
	p.swing(at, 84, 83, 112)
	p.note("start", point{158, 26}, "stud")
	p.note("start", point{170, 130}, "socket")
	p.note("start", point{178, 68}, "tilts")
}}

var knuckleSketch = sketch{"Seen from the front: the knuckle joins both ball joints, the hub and the tie rod.", func(p *pen) {
	f := p.face(0, "tyre")
	p.line("armline", f.upperPivot, f.upper)
	p.line("armline", f.lowerPivot, f.lower)
	hub := foot(f.centre, f.upper, f.lower)
	p.shape("arm", f.upper.polar(8, 180), f.upper.polar(8, 0), hub.polar(16, 48), f.centre.polar(9, 90), f.centre.polar(9, 270), hub.polar(16, 318), f.lower.polar(8, 0), f.lower.polar(8, 180))
	p.circle("ball", f.upper, 4.5)
	p.circle("ball", f.lower, 4.5)
	p.line("lead", point{96, 104}, hub.polar(6, 180))
	p.name("end", point{92, 109}, "knuckle")
}}

var camSketch = sketch{"A bolt with an eccentric washer: turning the bolt moves the arm's pivot sideways in its slot.", func(p *pen) {
	at := point{120, 100}
	p.tread("level", at, 150, 40, 0)
	p.tread("measure", at, 150, 40, 0)
	pivot := at.polar(24, 0)
	p.circle("arm", at, 62)
	p.circle("pivot", pivot, 11)
	p.circle("hub", at, 3)
	p.line("centre", at, at.polar(82, 0))
	p.swing(at, 72, 100, 30)
	p.span(at.polar(90, 180), at.polar(66, 180))
	p.note("start", point{196, 60}, "turn")
	p.note("start", point{204, 96}, "pivot")
	p.note("start", point{204, 112}, "moves")
	p.note("middle", point{120, 190}, "cam, seen along the bolt")
}}

var rollCentreSketch = sketch{"Seen from the front: lines along the arms meet at a point; the line from there to the tyre's contact crosses the vehicle's middle at the roll centre.", func(p *pen) {
	const middle, y = 150.0, 178.0
	p.ground(96, 274, y)
	contact := point{232, y}
	p.tread("tyre", point{232, 122}, 34, 112, 0)
	upperPivot, upper := point{176, 92}, point{212, 86}
	lowerPivot, lower := point{168, 138}, point{214, 150}
	meet := crossing(upperPivot, upper, lowerPivot, lower)
	p.line("extend", meet, upper)
	p.line("extend", meet, lower)
	p.line("steer", meet, contact)
	p.line("armline", upperPivot, upper)
	p.line("armline", lowerPivot, lower)
	p.line("knuckle", upper, lower)
	p.circle("pivot", upperPivot, 4)
	p.circle("pivot", lowerPivot, 4)
	p.circle("ball", upper, 4)
	p.circle("ball", lower, 4)
	p.line("centre", point{middle, 40}, point{middle, 196})
	p.circle("contact", contact, 4)
	roll := crossing(meet, contact, point{middle, 0}, point{middle, 1})
	p.circle("meet", meet, 4)
	p.circle("meet", roll, 5)
	p.name("end", point{roll.x - 10, roll.y + 18}, "roll centre")
	p.note("middle", point{middle, 30}, "middle of the vehicle")
}}

var travelSketch = sketch{"Seen from the front: the wheel moves up in bump and down in droop.", func(p *pen) {
	p.ground(30, 270, road)
	f := face{upperPivot: point{86, 74}, lowerPivot: point{62, 142}}
	for i, up := range []float64{24, -22, 0} {
		class := "extend"
		if i == 2 {
			class = "tyre"
		}
		p.tread(class, point{206, 106 - up}, 46, 132, up*0.12)
	}
	p.line("armline", f.upperPivot, point{160, 70})
	p.line("armline", f.lowerPivot, point{172, 140})
	p.line("knuckle", point{160, 70}, point{172, 140})
	p.line("knuckle", point{166, 106}, point{206, 106})
	p.circle("pivot", f.upperPivot, 4.5)
	p.circle("pivot", f.lowerPivot, 4.5)
	p.circle("ball", point{160, 70}, 4.5)
	p.circle("ball", point{172, 140}, 4.5)
	p.arrow(point{254, 100}, point{254, 62})
	p.arrow(point{254, 112}, point{254, 150})
	p.name("middle", point{254, 52}, "bump")
	p.name("middle", point{254, 168}, "droop")
}}

var motionSketch = sketch{"Seen from the front: the coil stands part of the way along the lower arm, so it moves less than the wheel.", func(p *pen) {
	f := p.face(0, "tyre")
	seat := f.lowerPivot.toward(f.lower, 0.6)
	p.spring(seat, point{118, 40})
	p.line("ground", point{96, 40}, point{140, 40})
	p.corner(f)
	p.arrow(point{254, 132}, point{254, 84})
	p.arrow(point{98, 132}, point{98, 104})
	p.note("end", point{92, 112}, "coil")
	p.note("end", point{278, 74}, "wheel")
}}

var unsprungSketch = sketch{"Seen from the front: wheel, tyre, brake and knuckle move with the road; half of the arms counts with them.", func(p *pen) {
	f := p.face(0, "tyre")
	p.tread("band s2", f.centre, 46, 136, 0)
	p.line("armline", f.upperPivot, f.upper)
	p.line("armline", f.lowerPivot, f.lower)
	hub := foot(f.centre, f.upper, f.lower)
	p.line("knuckle", f.upper, f.lower)
	p.line("knuckle", hub, f.centre)
	p.circle("pivot", f.upperPivot, 4.5)
	p.circle("pivot", f.lowerPivot, 4.5)
	p.circle("ball", f.upper, 4.5)
	p.circle("ball", f.lower, 4.5)
	p.note("start", point{6, 24}, "moves with the road:")
	p.note("start", point{6, 40}, "unsprung")
	p.line("lead", point{72, 36}, point{190, 60})
}}

var bushingSketch = sketch{"A pivot cut through: an outer sleeve in the arm, rubber, an inner sleeve on the bolt.", func(p *pen) {
	at := point{110, 104}
	p.circle("arm", at, 62)
	p.circle("tyre", at, 54)
	p.circle("pivot", at, 24)
	p.circle("hub", at, 13)
	p.line("lead", at.polar(58, 40), point{192, 54})
	p.line("lead", at.polar(39, 0), point{192, 104})
	p.line("lead", at.polar(10, -40), point{192, 154})
	p.note("start", point{196, 58}, "arm")
	p.note("start", point{196, 108}, "rubber")
	p.note("start", point{196, 158}, "bolt")
	p.swing(at, 74, 80, 105)
	p.swing(at, 74, 105, 75)
}}

var hopSketch = sketch{"A wheel between two springs: the coil above it and the tyre below it, on which it bounces.", func(p *pen) {
	p.ground(60, 220, 184)
	body := []point{{90, 24}, {190, 24}, {190, 52}, {90, 52}}
	p.shape("level", body...)
	p.shape("measure", body...)
	p.spring(point{140, 52}, point{140, 104})
	wheel := []point{{106, 104}, {174, 104}, {174, 132}, {106, 132}}
	p.shape("band s2", wheel...)
	p.shape("measure", wheel...)
	p.spring(point{140, 132}, point{140, 184})
	p.span(point{190, 100}, point{190, 136})
	p.note("start", point{200, 42}, "body")
	p.name("start", point{200, 122}, "wheel")
	p.note("end", point{122, 84}, "coil")
	p.note("end", point{122, 164}, "tyre")
}}

var jackingSketch = sketch{"Seen from the front: as the wheels are steered about their leaning axes, the body rises or sinks.", func(p *pen) {
	f := p.face(0, "tyre")
	p.corner(f)
	p.line("steer", f.meets, f.upper.polar(40, 90+f.lean))
	p.shape("extend", point{30, 96}, point{30, 50}, point{118, 50}, point{118, 96})
	p.arrow(point{74, 96}, point{74, 58})
	p.name("middle", point{74, 44}, "body rises")
	p.path("measure", "M186 38A 16 7 0 1 1 156 38")
	p.tip(point{156, 38}, 60)
}}
