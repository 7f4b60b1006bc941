package glossary

import "math"

// Size of every sketch.
const width, height = 280, 200

// A sketch draws what a term means, and says it in words.
type sketch struct {
	words string
	draw  func(p *pen)
}

func (s sketch) svg() string {
	p := &pen{width: width, height: height}
	s.draw(p)
	return p.svg(s.words)
}

// The left front corner seen from the left: the front of the vehicle is at the left of the sketch. Angles
// are drawn larger than they are on any vehicle, so that they can be seen.
type side struct {
	centre, contact point
	caster          float64
	upper, lower    point // ball joints
	meets           point // of the steering axis and the ground
}

func (p *pen) side(x, caster float64) side {
	const radius, loaded, y = 76, 72, 172
	s := side{centre: point{x, y - loaded}, contact: point{x, y}, caster: caster}
	p.ground(x-100, x+100, y)
	half := math.Acos(float64(loaded)/radius) * 180 / math.Pi
	p.path("tyre", arc(s.centre, radius, -90+half, 270-half)+"Z")
	// The axis passes a little behind the wheel's centre.
	pivot := point{x + 3, s.centre.y}
	s.upper, s.lower = pivot.polar(42, 90-caster), pivot.polar(36, 270-caster)
	s.meets = crossing(s.upper, s.lower, point{0, y}, point{1, y})
	return s
}

// knuckle draws the part between the ball joints, and the axis through them.
func (p *pen) knuckle(upper, lower, end point, beyond float64) {
	p.line("knuckle", upper, lower)
	p.line("steer", end, upper.polar(beyond, lower.direction(upper)))
	p.circle("ball", upper, 4.5)
	p.circle("ball", lower, 4.5)
}

func (p *pen) front() { p.note("start", point{4, 14}, "← front") }

// The left front corner seen from the front: the middle of the vehicle is at the left of the sketch.
type face struct {
	centre, contact        point
	upper, lower           point // ball joints
	upperPivot, lowerPivot point
	meets                  point // of the steering axis and the ground
	lean                   float64
}

const road = 176 // where the ground lies in a view from the front

func (p *pen) face(camber float64, wheel string) face {
	f := face{contact: point{216, road}, upperPivot: point{92, 74}, lowerPivot: point{66, 142}}
	f.centre = f.contact.polar(68, 90-camber)
	f.upper, f.lower = point{166, 66}, point{179, 140}
	f.lean = f.lower.direction(f.upper) - 90
	f.meets = crossing(f.upper, f.lower, point{0, road}, point{1, road})
	p.ground(30, 274, road)
	p.tread(wheel, f.centre, 46, 136, -camber)
	return f
}

// corner draws the arms and the knuckle of a view from the front.
func (p *pen) corner(f face) {
	p.line("armline", f.upperPivot, f.upper)
	p.line("armline", f.lowerPivot, f.lower)
	spindle := foot(f.centre, f.upper, f.lower)
	p.line("knuckle", spindle, f.centre)
	p.line("knuckle", f.upper, f.lower)
	p.circle("pivot", f.upperPivot, 4.5)
	p.circle("pivot", f.lowerPivot, 4.5)
	p.circle("ball", f.upper, 4.5)
	p.circle("ball", f.lower, 4.5)
}

// plot is a small graph with its axes' names.
func (p *pen) plot(x, y string) (at func(x, y float64) point) {
	const left, bottom, w, h = 40.0, 166.0, 220.0, 140.0
	p.line("axis", point{left, bottom - h}, point{left, bottom}, point{left + w, bottom})
	p.note("start", point{left - 34, 16}, y)
	p.note("end", point{left + w, bottom + 20}, x)
	return func(x, y float64) point { return point{left + x*w, bottom - y*h} }
}

// curve draws a function of 0 to 1.
func (p *pen) curve(class string, at func(x, y float64) point, f func(x float64) float64) {
	var points []point
	for i := range 41 {
		x := float64(i) / 40
		points = append(points, at(x, f(x)))
	}
	p.line(class, points...)
}
