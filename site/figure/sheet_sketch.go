package figure

import (
	"math"
	"strings"

	"turnplate/site/canvas"
)

// Draw sketches both lower arms from above, with the way each cam takes its pivot. A sheet without cams has none.
func (sh *Sheet) Draw(system System) Picture {
	if !sh.Cams[0].Given && !sh.Cams[1].Given {
		return Picture{}
	}
	alternative := sh.inWords(func(System) string {
		words := "The lower arms from above, front up."
		for i, side := range [...]string{"left", "right"} {
			if c := sh.Cams[i]; c.Given {
				words += " On the " + side + " the front cam stands at " + clean(c.Front.Text) + " and its pivot " + c.Front.way() + "; the rear cam stands at " + clean(c.Rear.Text) + " and its pivot " + c.Rear.way() + "."
			}
		}
		return words
	})
	return Picture{Wide: sh.sketch(wide, system, alternative), Narrow: sh.sketch(narrow, system, alternative)}
}

// still is the most, in m, that a pivot may move and still be drawn in its place.
const still = 0.05e-3

// way says where a cam takes its pivot.
func (c SheetCam) way() string {
	switch {
	case c.Out > still:
		return "goes out"
	case c.Out < -still:
		return "goes in"
	}
	return "stays"
}

func (sh *Sheet) sketch(l layout, system System, alternative Words) Plate {
	const tall = 276.0
	top := 1.6 * l.line()
	return l.plate(sh.Head, top+tall, system, alternative, func(to *pen) {
		middle := l.width / 2
		to.text(canvas.Lettering{Ink: canvas.Soft, Size: l.small(), Anchor: canvas.Middle}, point{middle, l.small()}, "From above, front up: where each cam takes its pivot")
		for i, c := range sh.Cams {
			if c.Given {
				sh.sketchSide(to, l, middle, top, 2*float64(i)-1, c)
			}
		}
		shaftedArrow(to, point{middle, top + 155}, point{middle, top + 110}, canvas.Soft)
		to.text(canvas.Lettering{Ink: canvas.Soft, Size: l.small(), Anchor: canvas.Middle}, point{middle, top + 155 + l.line()}, "front")
		to.text(canvas.Lettering{Ink: canvas.Soft, Size: l.small(), Anchor: canvas.Middle}, point{middle, top + tall - 0.4*l.small()}, "Discs, from behind: the turn, thick side up at 0°")
	})
}

// sketchSide draws one lower arm; outward is −1 for the left side, which is on the left when seen from above.
func (sh *Sheet) sketchSide(to *pen, l layout, middle, top, outward float64, c SheetCams) {
	inner, outer := middle+outward*0.2*l.width, middle+outward*0.4*l.width
	front, rear, ball := point{inner, top + 82}, point{inner, top + 172}, point{outer, top + 127}
	arm := stroke(canvas.Black, 1.5)
	to.line(arm, front, ball)
	to.line(arm, rear, ball)
	to.bar(canvas.Rule, point{outer + outward*0.05*l.width, top + 77}, point{outer + outward*0.05*l.width, top + 177}, 14)
	to.dots(canvas.Black, noLine, 4, ball)
	for _, cam := range [...]struct {
		SheetCam
		at         point
		text, disc float64
	}{{c.Front, front, -19, -55}, {c.Rear, rear, 19 + 0.75*l.letter, 62}} {
		sketchDisc(to, point{cam.at.x, cam.at.y + cam.disc}, outward*cam.Turn)
		to.dots(canvas.Paper, stroke(canvas.Black, 1.5), 6, cam.at)
		to.text(canvas.Lettering{Ink: canvas.Black, Size: l.letter, Bold: true, Anchor: canvas.Middle}, point{cam.at.x, cam.at.y + cam.text}, cam.Text+", "+strings.TrimPrefix(cam.way(), "goes "))
		if math.Abs(cam.Out) > still {
			tip := outward * math.Copysign(34, cam.Out)
			shaftedArrow(to, point{cam.at.x + math.Copysign(8, tip), cam.at.y}, point{cam.at.x + tip, cam.at.y}, canvas.Black)
		}
	}
}

// sketchDisc draws a cam as its bolt turns it: from behind, its thick side up where it stands in the middle. Clockwise is
// above zero, which takes the right wheel's pivot outboard.
func sketchDisc(to *pen, at point, turn float64) {
	const round = 15.0
	thick := func(angle float64) point { return point{at.x + round*math.Sin(angle), at.y - round*math.Cos(angle)} }
	to.dots(canvas.Paper, stroke(canvas.Soft, 1), round, at)
	to.line(stroke(canvas.Rule, 1), at, thick(0))
	const least = 0.12 // radians; less is hidden by the line itself
	if math.Abs(turn) > least {
		var arc []point
		for i := range 13 {
			p := thick(turn * float64(i) / 12)
			arc = append(arc, point{at.x + 0.6*(p.x-at.x), at.y + 0.6*(p.y-at.y)})
		}
		to.stroke(stroke(canvas.Soft, 1), arc)
	}
	to.line(stroke(canvas.Black, 2), at, thick(turn))
	to.dots(canvas.Black, noLine, 3.5, thick(turn))
}

// shaftedArrow is a line with a head at its end.
func shaftedArrow(to *pen, from, tip point, ink canvas.Ink) {
	line := stroke(ink, 2)
	to.line(line, from, tip)
	long := math.Hypot(tip.x-from.x, tip.y-from.y)
	to.area(ink, noLine, arrow(tip, (tip.x-from.x)/long, (tip.y-from.y)/long))
}
