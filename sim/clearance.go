package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"turnplate/sim/clearance"
	"turnplate/sim/wishbone"
)

func init() { register[Clearance, ClearanceResult]() }

// Clearance gives the smallest gap between a front tyre, with its rim, and each obstacle of Vehicle.Body: over all the
// steering and travel that Rack and Bump allow, with the place in that sweep; negative where tyre or rim would overlap
// the obstacle.
//
// The tyre is a body of revolution: a cylinder of Radius (free, all the way round: the flat under load and
// the growth with speed are left out) and Width, its shoulders rounded by ShoulderRadius, its middle moved
// inboard by OffsetChange. Its rim is a ring of RimDiameter and RimWidth, hollow inside a bore of RimDiameter less
// 30 mm (common practice, no source): what reaches into the wheel, as the end of an arm or a tie rod does, has its
// gap to that bore. The wheel's disc, spokes, brake and weights aren't modelled. An obstacle is a straight edge with a rounding of its own; it stays with the body
// or rides on the lower or upper arm, and is described for the left side: the right mirrors it. The distance
// between the two is exact. The sweep looks at 25 rack positions by 13 heights and goes downhill from the
// lowest of them, which finds the smallest gap to 0.01 mm unless it hides in a valley narrower than that
// grid. At each height the rack is moved with the arms held, as in Steer.
//
// A pose in the swept range that a joint can't reach is an error: narrow the range, or correct the travel. Rack and Bump
// ask for one position, so that a span of them draws the gap along the way. Left out, the range is the whole of
// Steering.RackLimit either way, and all of Spring.BumpTravel and DroopTravel. Bump counts from rest. Roll, tyre
// deflection and flexing parts aren't modelled: keep a margin (common practice, no source: a finger's breadth, and more
// where mud or chains go).
//
// Method: own working, described at package clearance. Axes and signs: ISO 8855:2011.
type Clearance struct {
	Vehicle  Vehicle
	Rack     *float64 `unit:"mm" us:"inch" default:"none"` // one rack position instead of a range; + left turn
	Bump     *float64 `unit:"mm" us:"inch" default:"none"` // one height of the wheels, from rest, instead of a range
	RackFrom *float64 `unit:"mm" us:"inch" default:"none"` // rack furthest to the right turn; left out: −RackLimit
	RackTo   *float64 `unit:"mm" us:"inch" default:"none"` // rack furthest to the left turn; left out: RackLimit
	BumpFrom *float64 `unit:"mm" us:"inch" default:"none"` // lowest wheel, from rest; left out: full droop
	BumpTo   *float64 `unit:"mm" us:"inch" default:"none"` // highest wheel, from rest; left out: full bump
}

// ClearanceResult is the gaps; plain outputs mean the left wheel.
type ClearanceResult struct {
	Obstacle []string // names of Vehicle.Body, in its order
	WheelClearance
	Right WheelClearance
}

// WheelClearance is one wheel's part of a ClearanceResult.
type WheelClearance struct {
	Gap   []float64 `unit:"mm" us:"inch"` // smallest, to each obstacle; negative: overlap
	Rack  []float64 `unit:"mm" us:"inch"` // where the rack then is; + left turn
	Bump  []float64 `unit:"mm" us:"inch"` // where the wheel centre then is, from rest
	Along []float64 `unit:"mm" us:"inch"` // nearest place on the obstacle, measured from its From

	SmallestGap float64 `unit:"mm" us:"inch"` // of all obstacles
	Nearest     string  // the obstacle that has it
	NearestRack float64 `unit:"mm" us:"inch"` // where the rack then is; + left turn
	NearestBump float64 `unit:"mm" us:"inch"` // where the wheel centre then is, from rest
}

const (
	clearanceRacks = 25
	clearanceBumps = 13
	// A valley of the grid this much, in m, above the lowest place could still hold the lowest between the
	// places.
	clearanceMargin = 10e-3
	// A step of the rack, in m, turns a wheel by some 8 rad/m, and so moves a tread 0.5 m away by four times
	// as much: this one by a few thousandths of a millimetre.
	clearanceStep = 1e-6
)

// Uses lists what the result depends on.
func (Clearance) Uses() []string {
	return slices.Concat(steeringFields(), []string{"Tyre.Radius", "Tyre.Width", "Tyre.ShoulderRadius", "Tyre.RimDiameter", "Tyre.RimWidth", "Body"})
}

// Optional lists what the model can do without.
func (Clearance) Optional() []string { return kinematicOptional }

// Run gives the gaps, or an error that names the joint that can't be reached, or the field that isn't given.
func (m Clearance) Run() (ClearanceResult, error) {
	if err := checkInputs(&m); err != nil {
		return ClearanceResult{}, err
	}
	if err := m.fix(); err != nil {
		return ClearanceResult{}, err
	}
	v := &m.Vehicle
	tyre := v.Tyre.shape()
	if err := m.check(&tyre); err != nil {
		return ClearanceResult{}, err
	}
	a, err := newAxle(v)
	if err != nil {
		return ClearanceResult{}, err
	}
	rack, err := m.racks()
	if err != nil {
		return ClearanceResult{}, err
	}
	var r ClearanceResult
	for i, o := range v.Body {
		name := o.Name
		if name == "" {
			name = fmt.Sprintf("obstacle %d", i+1)
		}
		r.Obstacle = append(r.Obstacle, name)
	}
	if r.WheelClearance, err = m.sweep(&a.left, &tyre, r.Obstacle, rack); err != nil {
		return ClearanceResult{}, err
	}
	if a.mirrored && rack.From == -rack.To {
		r.Right = r.WheelClearance
		r.Right.Rack = make([]float64, len(r.Rack))
		for i, x := range r.Rack {
			r.Right.Rack[i] = -x
		}
		r.Right.NearestRack = -r.NearestRack
		return r, nil
	}
	r.Right, err = m.sweep(&a.right, &tyre, r.Obstacle, rack)
	return r, err
}

// fix turns a single position into a range of none.
func (m *Clearance) fix() error {
	for _, at := range []struct {
		name     string
		one      *float64
		from, to **float64
	}{{"Rack", m.Rack, &m.RackFrom, &m.RackTo}, {"Bump", m.Bump, &m.BumpFrom, &m.BumpTo}} {
		switch {
		case at.one == nil:
		case *at.from != nil || *at.to != nil:
			return fmt.Errorf("give either %s or %sFrom and %sTo", at.name, at.name, at.name)
		default:
			*at.from, *at.to = at.one, at.one
		}
	}
	return nil
}

func (m *Clearance) check(tyre *clearance.Tyre) error {
	v := &m.Vehicle
	if len(v.Body) == 0 {
		return NotGiven{"Body"}
	}
	if tyre.Shoulder > math.Min(tyre.Width/2, tyre.Radius)*(1+rounding) {
		return fmt.Errorf("Tyre.ShoulderRadius of %.4g mm is more than half of Tyre.Width", tyre.Shoulder*1e3)
	}
	switch {
	case tyre.RimRadius <= clearance.RimWall:
		return fmt.Errorf("Tyre.RimDiameter of %.4g mm leaves no hollow: a rim's wall takes %.4g mm of it", v.Tyre.RimDiameter*1e3, 2e3*clearance.RimWall)
	case tyre.RimRadius >= tyre.Radius-tyre.Shoulder:
		return fmt.Errorf("Tyre.RimDiameter of %.4g mm leaves no room for a side wall under Tyre.Radius of %.4g mm and ShoulderRadius of %.4g mm", v.Tyre.RimDiameter*1e3, tyre.Radius*1e3, tyre.Shoulder*1e3)
	case tyre.RimWidth > tyre.Width*(1+rounding):
		return fmt.Errorf("Tyre.RimWidth of %.4g mm is more than Tyre.Width", tyre.RimWidth*1e3)
	}
	return nil
}

// racks gives the rack positions that are swept.
func (m *Clearance) racks() (clearance.Range, error) {
	limit := m.Vehicle.Steering.RackLimit
	if (m.RackFrom == nil || m.RackTo == nil) && !(limit > 0) {
		return clearance.Range{}, NotGiven{"Steering.RackLimit"}
	}
	r := clearance.Range{From: otherwise(m.RackFrom, -limit), To: otherwise(m.RackTo, limit)}
	switch {
	case !(r.From <= r.To):
		return r, errors.New("RackFrom must not be above RackTo")
	case limit > 0 && math.Max(-r.From, r.To) > limit*(1+rounding):
		return r, fmt.Errorf("RackFrom and RackTo must lie within Steering.RackLimit of %.4g mm", limit*1e3)
	}
	return r, nil
}

// bumps gives the heights of one wheel that are swept.
func (m *Clearance) bumps(k *corner) (clearance.Range, error) {
	switch {
	case m.BumpFrom == nil && !(k.travelDown > 0):
		return clearance.Range{}, NotGiven{"Spring.DroopTravel"}
	case m.BumpTo == nil && !(k.travelUp > 0):
		return clearance.Range{}, NotGiven{"Spring.BumpTravel"}
	}
	r := clearance.Range{From: otherwise(m.BumpFrom, k.lift-k.travelDown), To: otherwise(m.BumpTo, k.lift+k.travelUp)}
	if !(r.From <= r.To) {
		return r, errors.New("BumpFrom must not be above BumpTo")
	}
	return r, nil
}

// otherwise reads an optional input.
func otherwise(given *float64, left float64) float64 {
	if given != nil {
		return *given
	}
	return left
}

// sweep takes one wheel past the obstacles.
func (m *Clearance) sweep(k *corner, tyre *clearance.Tyre, names []string, rack clearance.Range) (WheelClearance, error) {
	bump, err := m.bumps(k)
	if err != nil {
		return WheelClearance{}, err
	}
	body := m.Vehicle.Body
	var tyreAt clearance.Placed
	var edges []clearance.Edge
	along := make([]float64, len(body)) // where each edge was nearest last
	heights := heights{corner: k, body: body}
	visit := func(rack, bump float64) error {
		ahead, err := heights.at(bump)
		if err != nil {
			return err
		}
		p := ahead.pose
		if err := k.steer(&p, rack); err != nil {
			return err
		}
		tyreAt, edges = k.tyreAt(&p), ahead.edges
		return nil
	}
	sweep := clearance.Sweep{X: rack, Y: bump, Columns: clearanceRacks, Rows: clearanceBumps, Margin: clearanceMargin, Step: clearanceStep}
	least, err := sweep.Least(len(body), visit,
		func(i int, enough float64) (gap float64) {
			gap, along[i] = tyre.Within(&tyreAt, &edges[i], enough, along[i])
			return gap
		})
	if err != nil {
		return WheelClearance{}, err
	}
	w := WheelClearance{SmallestGap: math.Inf(1)}
	for i, l := range least {
		if err := visit(l.X, l.Y); err != nil {
			return w, err
		}
		_, along := tyre.Gap(&tyreAt, &edges[i])
		w.Gap, w.Rack, w.Bump = append(w.Gap, l.Value), append(w.Rack, l.X), append(w.Bump, l.Y)
		w.Along = append(w.Along, along*body[i].To.Sub(body[i].From).Norm())
		if l.Value < w.SmallestGap {
			w.SmallestGap, w.Nearest, w.NearestRack, w.NearestBump = l.Value, names[i], l.X, l.Y
		}
	}
	return w, nil
}

// heights remembers a corner at the last few heights: the search downhill goes to and fro between three.
type heights struct {
	corner *corner
	body   []Obstacle
	last   [4]height
	n      int
}

// height is a corner at one height, its rack in the middle, with the obstacles where its arms carry them.
type height struct {
	bump  float64
	pose  wishbone.Pose
	edges []clearance.Edge
}

// at gives the corner at a height; it stays good until the next call.
func (h *heights) at(bump float64) (*height, error) {
	for i := range min(h.n, len(h.last)) {
		if h.last[i].bump == bump {
			return &h.last[i], nil
		}
	}
	p, err := h.corner.height(bump)
	if err != nil {
		return nil, err
	}
	at := &h.last[h.n%len(h.last)]
	at.bump, at.pose, at.edges = bump, p, at.edges[:0]
	for i := range h.body {
		from, to := h.corner.carried(&h.body[i], &p)
		at.edges = append(at.edges, clearance.Edge{From: from, To: to, Radius: h.body[i].Radius})
	}
	h.n++
	return at, nil
}

// shape gives the tyre and its rim as Clearance sees them.
func (t *Tyre) shape() clearance.Tyre {
	return clearance.Tyre{Radius: t.Radius, Width: t.Width, Shoulder: t.ShoulderRadius, RimRadius: t.RimDiameter / 2, RimWidth: t.RimWidth}
}

// tyreAt gives where the tyre is in a pose.
func (k *corner) tyreAt(p *wishbone.Pose) clearance.Placed {
	return clearance.Placed{Centre: p.Centre.Sub(p.Spin.Scale(k.wheel.OffsetChange)), Axis: p.Spin}
}

// carried gives where an obstacle's ends are in a pose.
func (k *corner) carried(o *Obstacle, p *wishbone.Pose) (from, to Point) {
	switch o.MovesWith {
	case "lower arm":
		return k.link.OnLowerArm(p, o.From), k.link.OnLowerArm(p, o.To)
	case "upper arm":
		return k.link.OnUpperArm(p, o.From), k.link.OnUpperArm(p, o.To)
	}
	return o.From, o.To
}
