package figure

import (
	"math"

	"turnplate/site/canvas"
)

// Limit is what a Curves is held against. It is drawn in neutral ink, so that it is taken for none of the lines.
type Limit struct {
	Line
	Better string // "more" or "less", of Y: the good side; "" where neither is
	Beyond string // what lies on the other side, written into it: "too close"; or ""
}

var (
	limitLine = stroke(canvas.Black, 1.5, 7, 4)
	limitFill = canvas.Soft.Faint(0.13)
)

// drawRegions shades the bad sides, under everything else.
func (r *curves) drawRegions(to *pen, f frame) {
	q := to.plot(f)
	for _, limit := range r.Limits {
		if limit.Better == "" {
			continue
		}
		edge := f.y.lo
		if limit.Better == "less" {
			edge = f.y.hi
		}
		for _, run := range unbroken(limit.Line) {
			if last := len(run) - 1; last > 0 {
				q.fill(limitFill, noLine, append(run, pair{X: run[last].X, Y: edge}, pair{X: run[0].X, Y: edge}))
			}
		}
	}
}

// drawLimits draws the lines, and writes the names of the limits at them and of what lies beyond into it, where they
// meet no other line.
func (r *curves) drawLimits(to *pen, f frame, l layout, p Panel) {
	if len(r.Limits) == 0 {
		return
	}
	q := to.plot(f)
	place := placer{within: f.area}
	place.avoidLines(f, p.Lines)
	for _, limit := range r.Limits {
		for _, run := range unbroken(limit.Line) {
			q.line(limitLine, f.thinned(run))
			place.avoidLine(f.on(run))
		}
	}
	for _, limit := range r.Limits {
		bad := 1.0 // down the drawing
		if limit.Better == "less" {
			bad = -1
		}
		place.along(to, l.label(), limit.Label.clean(), f, limit.Line, -bad)
		if limit.Beyond != "" {
			how := l.label()
			how.Ink, how.Halo = canvas.Soft, false
			place.along(to, how, Plain(clean(limit.Beyond)), f, limit.Line, bad)
		}
	}
}

// along writes a label on one side of a line (-1: over it) as near as it is free, or on the other side; over everything at
// the line's end if there is room nowhere.
func (p *placer) along(to *pen, how canvas.Lettering, text Words, f frame, line Line, side float64) {
	w, h := text.width(how.Size), 1.2*how.Size
	runs := unbroken(line)
	if text.Metric == "" || len(runs) == 0 {
		return
	}
	last := box{}
	for _, side := range []float64{side, -side} {
		for away := 0.0; away < 4; away++ {
			for share := 0.98; share > 0; share -= 0.08 {
				x := f.area.x + share*(f.area.w-w)
				top, bottom := math.Inf(1), math.Inf(-1)
				for _, run := range runs {
					for _, at := range f.on(run) {
						if at.x >= x-w && at.x <= x+2*w || len(run) == 2 {
							top, bottom = min(top, at.y), max(bottom, at.y)
						}
					}
				}
				b := box{x, bottom + 3 + away*h, w, h}
				if side < 0 {
					b.y = top - 3 - (1+away)*h
				}
				if last == (box{}) {
					last = b
				}
				if finite(b.y) && p.free(b) {
					p.avoid(b)
					text.write(to, how, b.baseline(how))
					return
				}
			}
		}
	}
	text.write(to, how, last.baseline(how))
}
