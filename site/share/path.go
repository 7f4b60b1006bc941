package share

import (
	"fmt"
	"math"
	"strconv"
)

type point struct{ x, y float64 }

// part is one line of a path, with its curves as short straight pieces.
type part struct {
	points []point
	closed bool
}

// parsePath reads path data (SVG 2, section 9.3): moves, lines and circular arcs.
func parsePath(d string) ([]part, error) {
	var parts []part
	var at, start point
	s := scanner{text: d}
	var command byte
	for {
		c, more := s.command()
		switch {
		case c != 0:
			command = c
		case !more:
			return parts, s.err
		case command == 'M':
			command = 'L' // further pairs after a move are lines
		case command == 'm':
			command = 'l'
		case command == 0 || command == 'z':
			return nil, fmt.Errorf("share: path data %q", d)
		}
		from := point{}
		if command >= 'a' {
			from = at
		}
		switch command {
		case 'M', 'm':
			at = point{from.x + s.number(), from.y + s.number()}
			start = at
			parts = append(parts, part{points: []point{at}})
			continue
		case 'Z', 'z':
			if len(parts) > 0 {
				parts[len(parts)-1].closed = true
			}
			at, command = start, 'z'
			continue
		}
		if len(parts) == 0 {
			return nil, fmt.Errorf("share: path data %q starts without a move", d)
		}
		if parts[len(parts)-1].closed { // a line goes on from where the last one closed
			parts = append(parts, part{points: []point{at}})
		}
		var to []point
		switch command {
		case 'L', 'l':
			to = []point{{from.x + s.number(), from.y + s.number()}}
		case 'H', 'h':
			to = []point{{from.x + s.number(), at.y}}
		case 'V', 'v':
			to = []point{{at.x, from.y + s.number()}}
		case 'A', 'a':
			r, ry, _, large, sweep := s.number(), s.number(), s.number(), s.number(), s.number()
			end := point{from.x + s.number(), from.y + s.number()}
			if r != ry || r <= 0 {
				return nil, fmt.Errorf("share: path data %q has an arc that is no circle's", d)
			}
			to = arc(at, end, r, large != 0, sweep != 0)
		default:
			return nil, fmt.Errorf("share: path data %q has the command %c, which can't be painted", d, command)
		}
		if s.err != nil {
			return nil, s.err
		}
		last := &parts[len(parts)-1]
		last.points = append(last.points, to...)
		at = to[len(to)-1]
	}
}

// arc gives points on a circle's arc, the end among them (SVG 2, appendix B.2.4, for equal radii).
func arc(from, to point, r float64, large, sweep bool) []point {
	dx, dy := to.x-from.x, to.y-from.y
	chord := math.Hypot(dx, dy)
	if chord == 0 {
		return []point{to}
	}
	r = math.Max(r, chord/2)
	off := math.Sqrt(math.Max(r*r-chord*chord/4, 0)) / chord
	if large == sweep {
		off = -off
	}
	centre := point{from.x + dx/2 - off*dy, from.y + dy/2 + off*dx}
	a := math.Atan2(from.y-centre.y, from.x-centre.x)
	turn := math.Atan2(to.y-centre.y, to.x-centre.x) - a
	switch {
	case sweep && turn < 0:
		turn += 2 * math.Pi
	case !sweep && turn > 0:
		turn -= 2 * math.Pi
	}
	const step = math.Pi / 16
	n := int(math.Ceil(math.Abs(turn) / step))
	var points []point
	for i := 1; i < n; i++ {
		s, c := math.Sincos(a + turn*float64(i)/float64(n))
		points = append(points, point{centre.x + r*c, centre.y + r*s})
	}
	return append(points, to)
}

// scanner cuts path data into commands and numbers.
type scanner struct {
	text string
	at   int
	err  error
}

// command gives the letter that comes next, or 0 where a number does.
func (s *scanner) command() (c byte, more bool) {
	s.blank()
	if s.err != nil || s.at >= len(s.text) {
		return 0, false
	}
	if c := s.text[s.at]; c >= 'A' && c <= 'z' {
		s.at++
		return c, true
	}
	return 0, true
}

func (s *scanner) blank() {
	for s.at < len(s.text) && (s.text[s.at] == ' ' || s.text[s.at] == ',' || s.text[s.at] == '\n') {
		s.at++
	}
}

func (s *scanner) number() float64 {
	s.blank()
	start, point := s.at, false
	for ; s.at < len(s.text); s.at++ {
		c := s.text[s.at]
		if c == '.' && !point {
			point = true
		} else if !(c >= '0' && c <= '9' || c == '-' && s.at == start) {
			break
		}
	}
	v, err := strconv.ParseFloat(s.text[start:s.at], 64)
	if err != nil && s.err == nil {
		s.err = fmt.Errorf("share: path data %q: %q is no number", s.text, s.text[start:s.at])
	}
	return v
}
