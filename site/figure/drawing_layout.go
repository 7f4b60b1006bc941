package figure

import "math"

// sheet is how scenes are laid out.
type sheet struct {
	layout
	scenes []*scene
	named  bool // parts carry their names; else a legend tells them apart
	points bool // points carry theirs, beside the corner or, where listed, below it
	listed bool
	times  float64 // how many times too large ellipses are drawn; 0: there are none
	height float64
	ground *inset  // under a lone corner, or nil
	labels []both  // of the scenes, in lines
	head   float64 // room above a corner for its label and more
}

func (d *Drawing) layOut(l layout, v view, scenes []*prospect, others [][]*prospect) *sheet {
	points := d.Points && len(scenes) > 0
	single := l.name == wide.name && len(scenes) == 1
	sh := &sheet{layout: l, named: single && !points, points: points, listed: points && !single}
	columns, height := 1, 300.0
	if l.name == wide.name {
		columns = min(max(len(scenes), 1), 3)
		if v.name == "top" || points { // a value stands beside each, or a list below
			columns = min(columns, 2)
		}
		height = []float64{390, 340, 290}[columns-1]
	}
	const gap = 20
	width := (l.width - gap*float64(columns-1)) / float64(columns)
	left, right := 18.0, 18.0
	switch {
	case sh.named:
		left, right = 150, 150
	case points && single:
		left, right = 175, 175
	case points:
	case v.name == "top": // the trail's value stands outside the tyre
		left = 26 + arrowTail + textWidth("Trail 100 mm", l.small())*boldness
	}

	// One scale for all: the one that the largest corner needs.
	regions := make([]region, len(scenes))
	scale := math.Inf(1)
	titles := 0
	for i, c := range scenes {
		regions[i] = c.region
		for _, other := range others[i] {
			regions[i] = regions[i].and(other.region)
		}
		scale = min(scale, regions[i].scale(width-left-right, height))
		lines, _ := wrapBoth(c.Label.clean(), l.letter*boldness, width-8, 2)
		sh.labels = append(sh.labels, lines)
		titles = max(titles, lines.count())
	}
	// Above a corner stand its name, the steering axis's end where that is higher, and a value.
	rise := 0.0
	if v.upright() {
		for i, c := range scenes {
			for _, k := range append([]*prospect{c}, others[i]...) {
				rise = max(rise, axisReach-(regions[i].y.hi-v.of(k.UpperBall).y)*scale)
			}
		}
	}
	const wheelEnd = 15 // of the wheel's centre line above the tyre
	head := float64(titles)*l.line() + max(rise+1.6*l.letter, wheelEnd+1.5*l.small()) + 8
	foot := 26 + arrowLong + 2.2*l.letter // a dimension line and its value
	switch {
	case sh.listed:
		foot = l.line() + listRows*1.25*l.small() + 2*l.letter
	case points: // labels reach a little past the corner
		foot = max(foot, 60)
	case v.name == "oblique":
		foot = 0 // it has neither
	}
	top := 1.6 * l.line() // where one looks from
	tall := 0.0
	for i, c := range scenes {
		w, h := regions[i].x.size()*scale, regions[i].y.size()*scale
		if i%columns == 0 {
			if i > 0 {
				top += tall + head + foot
			}
			tall = 0
			for k := i; k < min(i+columns, len(scenes)); k++ {
				tall = max(tall, regions[k].y.size()*scale)
			}
		}
		x := float64(i%columns)*(width+gap) + left + (width-left-right-w)/2
		sh.scenes = append(sh.scenes, &scene{
			prospect: c, scale: scale, corner: regions[i].low(), middle: float64(i%columns)*(width+gap) + width/2, share: width,
			area: box{x, top + head + tall - h, w, h}, others: others[i],
		})
	}
	sh.height = top + 1.6*l.line() // and the scale bar
	if len(scenes) > 0 {
		sh.height += head + tall + foot
	}
	if len(scenes) == 1 && !points {
		if sh.ground = newInset(l, sh.scenes[0]); sh.ground != nil {
			sh.height = max(sh.height, sh.ground.bottom()+2.2*l.line())
		}
	}
	sh.head = head
	sh.times = sh.magnified()
	return sh
}

// rowTop is the height at which the tallest corner of a row begins.
func (sh *sheet) rowTop(c *scene) float64 {
	top := c.area.y
	for _, other := range sh.scenes {
		if other.area.bottom() == c.area.bottom() {
			top = min(top, other.area.y)
		}
	}
	return top
}
