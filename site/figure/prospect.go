package figure

// region is a box in a view, in metres.
type region struct{ x, y extent }

var noRegion = region{nothing, nothing}

func (r region) with(places ...flat) region {
	for _, f := range places {
		r = region{r.x.with(f.x), r.y.with(f.y)}
	}
	return r
}

// and is the box of both.
func (r region) and(other region) region { return r.with(other.low(), other.high()) }

func (r region) low() flat  { return flat{r.x.lo, r.y.lo} }
func (r region) high() flat { return flat{r.x.hi, r.y.hi} }

// scale is how many pixels a metre may have where the region has so much room.
func (r region) scale(width, height float64) float64 {
	const least = 1e-3 // metres
	return min(width/max(r.x.size(), least), height/max(r.y.size(), least))
}

// seen is a corner in a view.
type seen struct {
	Sketch
	outline []flat // of the tyre
	region  region // of the tyre and the points
}

func (k Sketch) look(v view) *seen {
	s := &seen{Sketch: k, outline: k.tyre(v)}
	s.region = noRegion.with(s.outline...)
	for _, p := range k.places() {
		s.region = s.region.with(v.of(p.at))
	}
	return s
}

// prospect is a scene in a view. It is worked out once for both layouts, and for the figures at the other positions of the
// dials.
type prospect struct {
	Scene
	view
	outline []flat  // of the tyre
	ghosts  []*seen // drawn faint behind: the ends of a pose, and the vehicle that this one is held against
	other   *seen
	sweep   sweep  // if Swept isn't nil
	region  region // of all of it
}

func (c Scene) look(v view) *prospect {
	here := c.Sketch.look(v)
	p := &prospect{Scene: c, view: v, outline: here.outline, region: here.region}
	for _, end := range c.Ends {
		if end.drawable() {
			p.ghosts = append(p.ghosts, end.look(v))
		}
	}
	for _, ghost := range p.ghosts {
		p.region = p.region.and(ghost.region)
	}
	if c.Other != nil {
		p.other = c.Other.look(v)
		p.region = p.region.and(p.other.region)
	}
	if c.Swept != nil {
		p.sweep = c.sweepIn(v)
		p.region = p.region.and(p.sweep.region())
	}
	return p
}

// look gives the drawing's corners in its view, nil for those that can't be.
func (d *Drawing) look() []*prospect {
	list := make([]*prospect, len(d.Scenes))
	for i, c := range d.Scenes {
		if !c.drawable() {
			continue
		}
		if d.Ghost != nil {
			c.Ends = append(c.Ends[:len(c.Ends):len(c.Ends)], *d.Ghost)
		}
		list[i] = c.look(viewOf(d.View))
	}
	return list
}
