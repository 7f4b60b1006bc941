package sim

import (
	"turnplate/sim/clearance"
)

// Swept is the left front tyre and the obstacles near it as a drawing needs them, in the axes of Sketch.
type Swept struct {
	Names     []string         // of the obstacles
	Obstacles []clearance.Edge // at rest
	Gaps      []float64        // smallest over the whole sweep, as Clearance gives them

	Locks []clearance.Placed // tyre with the rack at its limits, right turn and left, at the height of rest
	Ends  []clearance.Placed // at the ends of the travel, droop and bump, the rack in its middle

	Nearest        int              // index of the obstacle with the smallest gap
	Rack, Bump     float64          // where the rack and the wheel then are, as Clearance gives them
	Tyre           clearance.Placed // and the tyre
	Edge           clearance.Edge   // and the obstacle: away from where it rests if it rides on an arm
	OnTyre, OnEdge Point            // ends of the gap, on both surfaces
}

// SweptOf gives what Clearance finds for the left wheel over the whole of its steering and travel, for a drawing.
func SweptOf(v Vehicle) (Swept, error) {
	r, err := Clearance{Vehicle: v}.Run()
	if err != nil {
		return Swept{}, err
	}
	a, err := newAxle(&v)
	if err != nil {
		return Swept{}, err
	}
	k, rest := &a.left, a.atRest().left
	standing := func(p Point) Point { return k.standing(&rest, p) }
	edge := func(from, to Point, radius float64) clearance.Edge {
		return clearance.Edge{From: standing(from), To: standing(to), Radius: radius}
	}
	s := Swept{Names: r.Obstacle, Gaps: r.Gap, Rack: r.NearestRack, Bump: r.NearestBump}
	for i := range v.Body {
		from, to := k.carried(&v.Body[i], &rest.pose)
		s.Obstacles = append(s.Obstacles, edge(from, to, v.Body[i].Radius))
		if r.Gap[i] < r.Gap[s.Nearest] {
			s.Nearest = i
		}
	}
	limit := v.Steering.RackLimit
	for _, at := range []struct {
		rack, bump float64
		to         *[]clearance.Placed
	}{
		{-limit, 0, &s.Locks}, {limit, 0, &s.Locks},
		{0, k.lift - k.travelDown, &s.Ends}, {0, k.lift + k.travelUp, &s.Ends},
		{s.Rack, s.Bump, nil},
	} {
		p, err := k.height(at.bump)
		if err == nil {
			p, err = k.steered(&p, at.rack)
		}
		if err != nil {
			return Swept{}, err
		}
		body := k.tyreAt(&p)
		placed := clearance.Placed{Centre: standing(body.Centre), Axis: k.level(body.Axis)}
		if at.to != nil {
			*at.to = append(*at.to, placed)
			continue
		}
		from, to := k.carried(&v.Body[s.Nearest], &p)
		s.Tyre, s.Edge = placed, edge(from, to, v.Body[s.Nearest].Radius)
	}
	tyre := v.Tyre.shape()
	s.OnTyre, s.OnEdge = tyre.Between(&s.Tyre, &s.Edge)
	return s, nil
}
