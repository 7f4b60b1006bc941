package sim

import (
	"cmp"
	"math"
	"slices"

	"turnplate/sim/tyre"
	"turnplate/sim/unit"
)

func init() { register[TyreLoad, TyreLoadResult]() }

// TyreLoad gives the load on each of the four tyres against what it may carry at its pressure, and the pressure that would
// carry it.
//
//	capacity   LoadCapacity·(Pressure/LoadPressure)^0.7, at most LoadCapacity
//	load       FrontShare and LeftShare of Mass, and a tyre and rim at each corner, LeftShare of an axle's on its left wheel
//
// The exponent is that of load tables for light-truck tyres, whose rows fit 0.65 to 0.70 (seen; see tyre.Capacity). LoadCapacity
// is the smaller of the load moulded on the tyre's side and its load index's. A passenger tyre on a truck carries its load
// divided by 1.10 (49 CFR 571.110, from memory): tyreSize does that for a designation that starts with P, else the
// reader has to.
//
// A side force per degree of slip is estimated for a tyre that nobody has measured: 0.15 of its load, from 0.11 to 0.19 (radial
// tyres; quoted from Gillespie, Fundamentals of Vehicle Dynamics). It isn't used anywhere by itself; carry it as an uncertain
// value.
//
// Valid for a vehicle that stands or runs straight, the load as it is now. What the tyre's and the vehicle's makers ask for
// counts before it, and so does the placard. Tables begin at about 0.38 of LoadPressure: below that, Tabled says no, and the
// figures are the formula's alone.
type TyreLoad struct {
	Vehicle Vehicle
}

// TyreLoadResult is all four tyres; the plain fields are the left front one's.
type TyreLoadResult struct {
	LoadedTyre
	Right     LoadedTyre // the right front tyre
	Rear      LoadedTyre // the left rear tyre
	RearRight LoadedTyre // the right rear tyre

	Capacity       float64 `unit:"kg" us:"lb"`                                                  // of each tyre, at its pressure
	MostUsed       float64 `unit:"percent"`                                                     // the largest of the four's Use
	PressureForAll float64 `unit:"kPa" us:"psi" absent:"a tyre carries more than LoadCapacity"` // that would carry the most loaded tyre
	Tabled         bool    // Tyre.Pressure lies where published load tables have rows
}

// LoadedTyre is one tyre.
type LoadedTyre struct {
	Load           float64 `unit:"kg" us:"lb"`                                           // on it, with its own weight and the rim's
	Use            float64 `unit:"percent"`                                              // Load over Capacity; above 100 % it carries more than it may
	PressureNeeded float64 `unit:"kPa" us:"psi" absent:"Load is more than LoadCapacity"` // at which it may just carry Load
	Cornering      float64 `unit:"N/deg" us:"lbf/deg"`                                   // estimated stiffness at this load: 0.15 of it for a degree
	CorneringLeast float64 `unit:"N/deg" us:"lbf/deg"`                                   // the low end of that estimate: 0.11
	CorneringMost  float64 `unit:"N/deg" us:"lbf/deg"`                                   // the high end: 0.19
}

// leastTabled is the share of the rated pressure at which load tables begin: 25 of 65 psi.
const leastTabled = 25.0 / 65

// Uses lists what the result depends on.
func (TyreLoad) Uses() []string {
	return slices.Concat(loadFields, []string{"Tyre.LoadCapacity", "Tyre.LoadPressure", "Tyre.Pressure"})
}

// Run gives the loads.
func (m TyreLoad) Run() (TyreLoadResult, error) {
	if err := checkInputs(&m); err != nil {
		return TyreLoadResult{}, err
	}
	v := &m.Vehicle
	t := &v.Tyre
	w := newWeight(v)
	capacity := tyre.Capacity(t.LoadCapacity, t.LoadPressure, t.Pressure)
	on := func(force float64) LoadedTyre {
		kilograms := force / unit.StandardGravity
		perDegree := force * 180 / math.Pi
		return LoadedTyre{
			Load: kilograms, Use: kilograms / capacity, PressureNeeded: tyre.PressureFor(kilograms, t.LoadCapacity, t.LoadPressure),
			Cornering:      tyre.CorneringShare * perDegree,
			CorneringLeast: tyre.LeastCorneringShare * perDegree, CorneringMost: tyre.MostCorneringShare * perDegree,
		}
	}
	r := TyreLoadResult{
		LoadedTyre: on(w.left), Right: on(w.right), Rear: on(w.rear * v.LeftShare), RearRight: on(w.rear * (1 - v.LeftShare)),
		Capacity: capacity, Tabled: t.Pressure >= leastTabled*t.LoadPressure*(1-rounding),
	}
	all := []LoadedTyre{r.LoadedTyre, r.Right, r.Rear, r.RearRight}
	most := slices.MaxFunc(all, func(a, b LoadedTyre) int { return cmp.Compare(a.Load, b.Load) })
	r.MostUsed, r.PressureForAll = most.Use, most.PressureNeeded
	return r, nil
}
