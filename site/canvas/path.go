package canvas

import (
	"math"
	"strconv"

	"gonum.org/v1/plot/vg"
)

// pathWriter writes path data (SVG 2, section 9.3), in steps from place to place, which are shorter than places.
// Each is the difference of rounded places, so that rounding doesn't add up.
type pathWriter struct {
	d      []byte
	x, y   float64 // where the pen stands, in tenths
	fx, fy float64 // where the line that it draws began
	last   byte    // the command before
}

// take gives what was written, and starts anew.
func (w *pathWriter) take() string {
	d := string(w.d)
	*w = pathWriter{d: w.d[:0]}
	return d
}

// add appends a path, whose points place puts on the page.
func (w *pathWriter) add(p vg.Path, place func(vg.Point) (x, y float64)) {
	for i, c := range p {
		switch c.Type {
		case vg.MoveComp:
			w.move(place(c.Pos))
			if i == len(p)-1 || p[i+1].Type == vg.MoveComp {
				w.line(place(c.Pos)) // a line without length
			}
		case vg.LineComp:
			w.line(place(c.Pos))
		case vg.ArcComp:
			w.arc(c, i == 0, place)
		case vg.CurveComp:
			command := byte('q')
			if len(c.Control) == 2 {
				command = 'c'
			}
			var steps []float64
			for _, at := range append(c.Control[:len(c.Control):len(c.Control)], c.Pos) {
				x, y := place(at)
				steps = append(steps, tenths(x)-w.x, tenths(y)-w.y)
			}
			w.command(command, steps...)
			w.x, w.y = w.x+steps[len(steps)-2], w.y+steps[len(steps)-1]
		case vg.CloseComp:
			w.d, w.last = append(w.d, 'Z'), 'Z'
			w.x, w.y = w.fx, w.fy
		}
	}
}

func (w *pathWriter) move(x, y float64) {
	x, y = tenths(x), tenths(y)
	if len(w.d) == 0 {
		w.command('M', x, y)
	} else {
		w.command('m', x-w.x, y-w.y)
	}
	w.x, w.y, w.fx, w.fy = x, y, x, y
}

func (w *pathWriter) line(x, y float64) {
	x, y = tenths(x), tenths(y)
	switch dx, dy := x-w.x, y-w.y; {
	case dx == 0 && dy == 0 && w.last != 'M' && w.last != 'm': // too short to see
		return
	case dy == 0:
		w.command('h', dx)
	case dx == 0:
		w.command('v', dy)
	default:
		w.command('l', dx, dy)
	}
	w.x, w.y = x, y
}

// arc writes a part of a circle. SVG draws nothing from a place to itself, so a whole one stops a tenth of a pixel
// beside its start; where that isn't level with the middle, it is drawn in two halves.
func (w *pathWriter) arc(c vg.PathComp, first bool, place func(vg.Point) (x, y float64)) {
	on := func(angle float64) (x, y float64) {
		sin, cos := math.Sincos(angle)
		return place(vg.Point{X: c.Pos.X + c.Radius*vg.Length(cos), Y: c.Pos.Y + c.Radius*vg.Length(sin)})
	}
	fromX, fromY := on(c.Start)
	middleX, middleY := place(c.Pos)
	whole := math.Abs(c.Angle) > 2*math.Pi-1e-9
	if whole && (tenths(fromY) != tenths(middleY) || fromX < middleX) {
		half := c
		half.Angle = math.Copysign(math.Pi, c.Angle)
		w.arc(half, first, place)
		half.Start += half.Angle
		w.arc(half, false, place)
		return
	}
	switch {
	case first:
		w.move(fromX, fromY)
	case tenths(fromX) != w.x || tenths(fromY) != w.y:
		w.line(fromX, fromY)
	}
	x, y := on(c.Start + c.Angle)
	aheadX, aheadY := on(c.Start + c.Angle/100)
	large, clockwise := 0.0, 0.0 // flags, in tenths
	if math.Abs(c.Angle) > math.Pi {
		large = 10
	}
	if (fromX-middleX)*(aheadY-middleY) > (fromY-middleY)*(aheadX-middleX) {
		clockwise = 10
	}
	x, y = tenths(x), tenths(y)
	if whole {
		large, x, y = 10, w.x, w.y+1-clockwise/5
	}
	r := tenths(math.Hypot(fromX-middleX, fromY-middleY))
	w.command('a', r, r, 0, large, clockwise, x-w.x, y-w.y)
	w.x, w.y = x, y
}

// command writes numbers, in tenths, after a letter where the one before doesn't hold on.
func (w *pathWriter) command(letter byte, numbers ...float64) {
	// After a step of a move, pairs are steps of lines.
	goesOn := letter == w.last && letter != 'm' || letter == 'l' && w.last == 'm'
	if !goesOn {
		w.d = append(w.d, letter)
	}
	for i, n := range numbers {
		if (i > 0 || goesOn) && n >= 0 {
			w.d = append(w.d, ' ')
		}
		w.d = appendTenths(w.d, n)
	}
	w.last = letter
}

// tenths rounds a coordinate. One that is no number is a mistake of whoever draws, because limits and values are
// checked before that.
func tenths(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		panic("canvas: a coordinate is not finite")
	}
	return math.Round(v*10) + 0 // no minus zero
}

// px prints a coordinate to a tenth.
func px(v float64) string { return string(appendTenths(nil, tenths(v))) }

func appendTenths(out []byte, t float64) []byte {
	const exact = 1 << 50
	if math.Abs(t) > exact {
		return strconv.AppendFloat(out, t/10, 'f', -1, 64)
	}
	n := int64(t)
	if n < 0 {
		out, n = append(out, '-'), -n
	}
	if n >= 10 || n%10 == 0 {
		out = strconv.AppendInt(out, n/10, 10)
	}
	if n%10 != 0 {
		out = append(out, '.', byte('0'+n%10))
	}
	return out
}
