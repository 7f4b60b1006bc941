package sim

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
)

func init() { register[Sensitivity, SensitivityResult]() }

// Sensitivity says which measured coordinate matters most: how much caster, camber, toe, trail and scrub
// radius change when one coordinate of one hardpoint is off by PointDeviation, the others as they are; and what
// all of them together make uncertain. So it names the point to measure again before a result is believed.
//
// The change is PointDeviation times the derivative, by central differences over a hundredth of a millimetre;
// together they are √(Σ change²), for errors that have nothing to do with each other (JCGM 100:2008, the GUM,
// §5.1.2, from memory).
//
// The wheel stands Bump above rest, as set and lifted. Corner.Camber and Toe are readings of their own, taken
// where the points were measured: there, without lift, Bump or a setting changed since, no point can be wrong
// about camber and toe, and only the two ball joints can about caster. What counts is where the wheel has
// gone since.
//
// Valid as far as every joint can be reached with the coordinate changed.
type Sensitivity struct {
	Vehicle        Vehicle
	PointDeviation float64 `unit:"mm" us:"inch" default:"3" must:">0"` // standard deviation of a coordinate: a careful job with a tape (common practice, no source)
	Bump           float64 `unit:"mm" us:"inch" default:"0"`           // wheel centre's rise from rest
}

// SensitivityResult is the ranking; plain outputs mean the left wheel.
type SensitivityResult struct {
	Coordinate []string // "UpperFront.X" and so on, in the order of Corner
	WheelSensitivity
	Right WheelSensitivity
}

// WheelSensitivity is one wheel's part of a SensitivityResult: for each Coordinate the change when it is
// larger by PointDeviation, then for each angle and length what all make together and the coordinates that make
// most of it, the largest first, each with its own part.
type WheelSensitivity struct {
	Caster      []float64 `unit:"deg"`          // change for each Coordinate off by PointDeviation
	Camber      []float64 `unit:"deg"`          // change for each Coordinate off by PointDeviation
	Toe         []float64 `unit:"deg"`          // change for each Coordinate off by PointDeviation
	Trail       []float64 `unit:"mm" us:"inch"` // change for each Coordinate off by PointDeviation
	ScrubRadius []float64 `unit:"mm" us:"inch"` // change for each Coordinate off by PointDeviation

	CasterDeviation      float64 `unit:"deg"`          // standard deviation that all of them together make
	CamberDeviation      float64 `unit:"deg"`          // standard deviation that all of them together make
	ToeDeviation         float64 `unit:"deg"`          // standard deviation that all of them together make
	TrailDeviation       float64 `unit:"mm" us:"inch"` // standard deviation that all of them together make
	ScrubRadiusDeviation float64 `unit:"mm" us:"inch"` // standard deviation that all of them together make

	CasterRanking string // the coordinates that matter for caster, with their changes, the largest first
	CamberRanking string // the same for camber
	ToeRanking    string // the same for toe

	CasterPoint string // the point to measure again for caster: the one whose three coordinates make most of CasterDeviation
	CamberPoint string // the same for camber
	ToePoint    string // the same for toe
}

// sensitivityStep, in m, is small against any bend of the geometry and leaves 1e-7 of a derivative to rounding.
const sensitivityStep = 1e-5

// Uses lists what the result depends on.
func (Sensitivity) Uses() []string { return kinematicFields() }

// Optional lists what the model can do without.
func (Sensitivity) Optional() []string { return kinematicOptional }

// Run gives the ranking, or an error that names the joint that can't be reached.
func (m Sensitivity) Run() (SensitivityResult, error) {
	if err := checkInputs(&m); err != nil {
		return SensitivityResult{}, err
	}
	left, err := m.side(sideLeft)
	if err != nil {
		return SensitivityResult{}, err
	}
	r := SensitivityResult{Coordinate: coordinateNames(), WheelSensitivity: left, Right: left}
	if m.Vehicle.Right != nil {
		r.Right, err = m.side(sideRight)
	}
	return r, err
}

func (m *Sensitivity) side(of side) (WheelSensitivity, error) {
	v := m.Vehicle.oneSided(of == sideRight)
	stand := func() (WheelAlignment, error) {
		a, err := newAxle(&v)
		if err != nil {
			return WheelAlignment{}, err
		}
		w, err := a.at(m.Bump)
		return a.left.alignment(&w.left), err
	}
	var w WheelSensitivity
	for _, c := range v.Front.coordinates() {
		measured := *c
		*c = measured + sensitivityStep
		up, err := stand()
		if err != nil {
			return w, of.rename(err)
		}
		*c = measured - sensitivityStep
		down, err := stand()
		if err != nil {
			return w, of.rename(err)
		}
		*c = measured
		of := func(up, down float64) float64 { return (up - down) / (2 * sensitivityStep) * m.PointDeviation }
		w.Caster = append(w.Caster, of(up.Caster, down.Caster))
		w.Camber = append(w.Camber, of(up.Camber, down.Camber))
		w.Toe = append(w.Toe, of(up.Toe, down.Toe))
		w.Trail = append(w.Trail, of(up.Trail, down.Trail))
		w.ScrubRadius = append(w.ScrubRadius, of(up.ScrubRadius, down.ScrubRadius))
	}
	w.CasterDeviation, w.CasterRanking, w.CasterPoint = ranked(w.Caster)
	w.CamberDeviation, w.CamberRanking, w.CamberPoint = ranked(w.Camber)
	w.ToeDeviation, w.ToeRanking, w.ToePoint = ranked(w.Toe)
	w.TrailDeviation, _, _ = ranked(w.Trail)
	w.ScrubRadiusDeviation, _, _ = ranked(w.ScrubRadius)
	return w, nil
}

// ranked gives what changes of an angle make together, the coordinates that make at least a hundredth of its
// square, the largest first, and the point that makes most.
func ranked(changes []float64) (together float64, ranking, point string) {
	// Below this, in rad or m, a change is the differences' rounding.
	const nothing = 1e-9
	order := make([]int, len(changes))
	perPoint := make([]float64, len(hardpointNames))
	for i, c := range changes {
		order[i] = i
		together += c * c
		perPoint[i/3] += c * c
	}
	together = math.Sqrt(together)
	if together < nothing {
		return 0, "none", "none"
	}
	sort.SliceStable(order, func(i, j int) bool { return math.Abs(changes[order[i]]) > math.Abs(changes[order[j]]) })
	var parts []string
	for _, i := range order {
		if c := changes[i]; c*c > 0.01*together*together {
			parts = append(parts, fmt.Sprintf("%s %s°", coordinateWords()[i], strconv.FormatFloat(degrees(math.Abs(c)), 'f', 2, 64)))
		}
	}
	most := 0
	for i := range perPoint {
		if perPoint[i] > perPoint[most] {
			most = i
		}
	}
	return together, strings.Join(parts, ", "), hardpointNames[most]
}
