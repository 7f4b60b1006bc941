package sim

import (
	"fmt"
	"math"
	"strconv"

	"turnplate/sim/reconcile"
)

func init() { register[Reconcile, ReconcileResult]() }

// Reconcile takes an alignment printout and the measured hardpoints, each with its uncertainty, and gives the
// most likely true points: those for which the sum of squares of all corrections, each in its own standard
// deviations, is least. It says how far each point had to move for that, and whether the printout can be
// explained at all.
//
// The vehicle stands as it stood on the alignment rack: as set and lifted. What can be read off it:
//
//	Camber, Caster, Toe      straight ahead; a caster that the shop's machine found by sweeping counts as one, near enough
//	SweepLeft, SweepRight    camber with the wheel's turnplate at Sweep to the left and to the right
//	Travel                   camber or toe of the left wheel against its height
//
// What is left out isn't used. Corner.Camber and Toe were readings too, taken where the points were measured,
// and may be corrected like the points, within CamberDeviation and ToeDeviation. Where both sides are described by
// one corner and the printout is alike for both, it is one corner with one set of readings; otherwise each
// side has points of its own.
//
// Most points move little: three angles can't tell 27 coordinates apart, and the correction goes where it
// costs least. The corrected vehicle agrees with the printout, and so predicts better; its points are a
// likely explanation, not a measurement.
//
// The least sum of squares is chi-square with as many degrees of freedom as there are readings, if the errors
// are normal, independent and as large as stated. Probability is that chance alone gives one as large; below
// 1 % the printout can't be explained by them: a reading or a point is wrong, or something is bent or worn.
//
// Weighted least squares: Mikhail and Ackermann, Observations and Least Squares, Harper & Row 1976, from
// memory; the method is at package reconcile.
type Reconcile struct {
	Vehicle        Vehicle
	PointDeviation float64 `unit:"mm" us:"inch" default:"3" must:">0"` // standard deviation of a coordinate: a careful job with a tape (common practice, no source)

	Camber *Sides `unit:"deg" default:"none" must:">=-45 <=45"` // as read; + top outward
	Caster *Sides `unit:"deg" default:"none" must:">=-45 <=45"` // as read; + leans back at the top
	Toe    *Sides `unit:"deg" default:"none" must:">=-45 <=45"` // as read, one wheel's; + toe-in

	Sweep      float64 `unit:"deg" default:"20" must:">0 <=45"`      // turnplate angle of the sweep
	SweepLeft  *Sides  `unit:"deg" default:"none" must:">=-45 <=45"` // camber with this wheel turned left by Sweep
	SweepRight *Sides  `unit:"deg" default:"none" must:">=-45 <=45"` // camber with this wheel turned right by Sweep

	Travel []TravelReading `default:"none"` // readings of the left wheel against its height

	CamberDeviation float64 `unit:"deg" default:"0.1" must:">0"`  // standard deviation of a camber reading, the sweep's too (common practice, no source)
	CasterDeviation float64 `unit:"deg" default:"0.25" must:">0"` // of a caster reading (common practice, no source)
	ToeDeviation    float64 `unit:"deg" default:"0.05" must:">0"` // of one wheel's toe reading (common practice, no source)
}

// TravelReading is what was read with the left wheel raised or lowered.
type TravelReading struct {
	Bump   float64  `unit:"mm" us:"inch"`                         // wheel centre's rise from rest
	Camber *float64 `unit:"deg" default:"none" must:">=-45 <=45"` // as read; + top outward
	Toe    *float64 `unit:"deg" default:"none" must:">=-45 <=45"` // as read, one wheel's; + toe-in
}

// ReconcileResult is the most likely points; plain outputs mean the left wheel.
type ReconcileResult struct {
	Coordinate []string // "UpperFront.X" and so on, in the order of Corner
	WheelReconciled
	Right   WheelReconciled
	Vehicle *Vehicle // with its points, and Corner.Camber and Toe, as corrected

	ChiSquare   float64 `unit:"1"`       // sum of squares of all corrections, in standard deviations
	Freedom     float64 `unit:"1"`       // how many readings it is judged by
	Probability float64 `unit:"percent"` // that chance alone gives a sum as large
	Explained   bool    // Probability is 1 % or more
	Warning     string  // what to look at when it isn't, or "none"
}

// WheelReconciled is one wheel's part of a ReconcileResult.
type WheelReconciled struct {
	Moved           []float64 `unit:"mm" us:"inch"` // each Coordinate: corrected less measured
	MovedDeviations []float64 `unit:"1"`            // the same in standard deviations
	MostMoved       string    // the coordinate that moved furthest
	CamberMoved     float64   `unit:"deg"` // Corner.Camber: corrected less given
	ToeMoved        float64   `unit:"deg"` // Corner.Toe: corrected less given

	CamberBefore float64 `unit:"deg" absent:"there is no such reading"` // reading less what the measured points predict; absent without a reading
	CasterBefore float64 `unit:"deg" absent:"there is no such reading"` // the same for caster
	ToeBefore    float64 `unit:"deg" absent:"there is no such reading"` // the same for toe
	CamberAfter  float64 `unit:"deg" absent:"there is no such reading"` // reading less what the corrected points predict
	CasterAfter  float64 `unit:"deg" absent:"there is no such reading"` // the same for caster
	ToeAfter     float64 `unit:"deg" absent:"there is no such reading"` // the same for toe
}

// leastProbable is the probability below which a printout counts as not explained: one in a hundred, as
// statistics is used to.
const leastProbable = 0.01

// Uses lists what the result depends on.
func (Reconcile) Uses() []string { return steeringFields() }

// Optional lists what the model can do without.
func (Reconcile) Optional() []string { return kinematicOptional }

// Run gives the most likely points, or an error that names the field or joint which keeps them from being found.
func (m Reconcile) Run() (ReconcileResult, error) {
	if err := checkInputs(&m); err != nil {
		return ReconcileResult{}, err
	}
	v := &m.Vehicle
	left, err := m.side(sideLeft)
	if err != nil {
		return ReconcileResult{}, err
	}
	set := *v
	set.Front = left.corner
	r := ReconcileResult{Coordinate: coordinateNames(), WheelReconciled: left.WheelReconciled, Right: left.WheelReconciled, Vehicle: &set}
	found := []reconciled{left}
	if v.Right != nil || sidesDiffer(m.Camber, m.Caster, m.Toe) || m.sweepsDiffer() {
		right, err := m.side(sideRight)
		if err != nil {
			return ReconcileResult{}, err
		}
		r.Right = right.WheelReconciled
		set.Right = &right.corner
		found = append(found, right)
	}
	for _, s := range found {
		r.ChiSquare += s.fit.ChiSquare
		r.Freedom += float64(len(s.readings))
	}
	r.Probability = reconcile.Chance(r.ChiSquare, r.Freedom)
	r.Explained, r.Warning = r.Probability >= leastProbable, "none"
	if !r.Explained {
		r.Warning = warning(&r, found)
	}
	return r, nil
}

// sweepsDiffer tells whether a sweep's readings aren't each other's mirror image.
func (m *Reconcile) sweepsDiffer() bool {
	switch l, r := m.SweepLeft, m.SweepRight; {
	case l == nil && r == nil:
		return false
	case l == nil || r == nil:
		return true // one wheel turned out, the other in
	default:
		return l.Left != r.Right || l.Right != r.Left
	}
}

// reading is one number of the printout, and how to predict it.
type reading struct {
	name      string
	value     float64
	deviation float64
	predict   func(*axle) (float64, error)
}

// reconciled is one side's result.
type reconciled struct {
	WheelReconciled
	corner   Corner
	readings []reading
	fit      reconcile.Fitted
	side     side
}

// side reconciles one wheel, described as a left one.
func (m *Reconcile) side(of side) (reconciled, error) {
	v := m.Vehicle.oneSided(of == sideRight)
	out := reconciled{side: of, readings: m.readings(of), corner: v.Front}
	if len(out.readings) == 0 {
		return out, NotGiven{"Camber, Caster, Toe, SweepLeft, SweepRight or Travel"}
	}
	// The unknowns: the coordinates, and camber and toe as read when they were measured.
	at := append(v.Front.coordinates(), &v.Front.Camber, &v.Front.Toe)
	var measured []reconcile.Measured
	for i, c := range at {
		deviation := m.PointDeviation
		switch i - len(coordinateNames()) {
		case 0:
			deviation = m.CamberDeviation
		case 1:
			deviation = m.ToeDeviation
		}
		measured = append(measured, reconcile.Measured{Value: *c, Deviation: deviation})
	}
	var read []reconcile.Measured
	for _, r := range out.readings {
		read = append(read, reconcile.Measured{Value: r.value, Deviation: r.deviation})
	}
	predict := func(x, y []float64) error {
		for i, c := range at {
			*c = x[i]
		}
		a, err := newAxle(&v)
		if err != nil {
			return err
		}
		for i, r := range out.readings {
			if y[i], err = r.predict(&a); err != nil {
				return err
			}
		}
		return nil
	}
	before := make([]float64, len(read))
	start := make([]float64, len(at))
	for i, q := range measured {
		start[i] = q.Value
	}
	err := predict(start, before)
	if err == nil {
		out.fit, err = reconcile.Fit(measured, read, predict)
	}
	if err != nil {
		return out, of.rename(err)
	}
	after := out.fit.Reading
	for i, c := range at {
		*c = out.fit.X[i]
	}
	out.corner = v.Front
	furthest := 0
	n := len(coordinateNames())
	for i := range n {
		moved := out.fit.X[i] - measured[i].Value
		out.Moved = append(out.Moved, moved)
		out.MovedDeviations = append(out.MovedDeviations, moved/m.PointDeviation)
		if math.Abs(moved) > math.Abs(out.Moved[furthest]) {
			furthest = i
		}
	}
	out.MostMoved = coordinateNames()[furthest]
	out.CamberMoved, out.ToeMoved = out.fit.X[n]-measured[n].Value, out.fit.X[n+1]-measured[n+1].Value
	miss := func(name string) (was, is float64) {
		for i, r := range out.readings {
			if r.name == name {
				return r.value - before[i], r.value - after[i]
			}
		}
		return math.NaN(), math.NaN()
	}
	out.CamberBefore, out.CamberAfter = miss("camber")
	out.CasterBefore, out.CasterAfter = miss("caster")
	out.ToeBefore, out.ToeAfter = miss("toe")
	return out, nil
}

// readings lists what was read off one wheel. A right wheel is described as a left one: turned left, it is
// turned out in the mirror.
func (m *Reconcile) readings(of side) (list []reading) {
	add := func(name string, target *Sides, deviation float64, predict func(*axle) (float64, error)) {
		if target != nil {
			r := reading{name: name, deviation: deviation, predict: predict}
			of.read(target, &r.value)
			list = append(list, r)
		}
	}
	add("camber", m.Camber, m.CamberDeviation, func(a *axle) (float64, error) { return a.left.anglesAtRest().Camber, nil })
	add("caster", m.Caster, m.CasterDeviation, func(a *axle) (float64, error) { return a.left.anglesAtRest().Caster, nil })
	add("toe", m.Toe, m.ToeDeviation, func(a *axle) (float64, error) { return a.left.anglesAtRest().Toe, nil })
	out, in := m.SweepLeft, m.SweepRight
	outName, inName := "camber turned left", "camber turned right"
	if of == sideRight {
		out, in, outName, inName = in, out, inName, outName
	}
	add(outName, out, m.CamberDeviation, func(a *axle) (float64, error) { return a.camberTurned(m.Sweep) })
	add(inName, in, m.CamberDeviation, func(a *axle) (float64, error) { return a.camberTurned(-m.Sweep) })
	if of == sideLeft {
		for _, t := range m.Travel {
			at := func(read func(*stance) float64) func(*axle) (float64, error) {
				return func(a *axle) (float64, error) {
					w, err := a.at(t.Bump)
					return read(&w.left), err
				}
			}
			where := fmt.Sprintf(" at %.4g mm", t.Bump*1e3)
			if t.Camber != nil {
				list = append(list, reading{"camber" + where, *t.Camber, m.CamberDeviation, at(func(s *stance) float64 { return s.Camber })})
			}
			if t.Toe != nil {
				list = append(list, reading{"toe" + where, *t.Toe, m.ToeDeviation, at(func(s *stance) float64 { return s.Toe })})
			}
		}
	}
	return list
}

// camberTurned is the left wheel's camber with its turnplate at angle, + left.
func (a *axle) camberTurned(angle float64) (float64, error) {
	ahead := a.atRest()
	zero := a.left.heading(&ahead.left)
	_, w, err := a.findRack(&ahead, func(w *wheels) (float64, float64) {
		return a.left.heading(&w.left) - zero - angle, a.left.headingRate(&w.left)
	})
	return w.left.Camber, err
}

// warning says what to look at.
func warning(r *ReconcileResult, found []reconciled) string {
	worst, size := "", 0.0
	for _, s := range found {
		for i, reading := range s.readings {
			if n := math.Abs(s.fit.Standardised[i]); n > size {
				size, worst = n, s.side.name()+" "+reading.name
			}
		}
	}
	return "The printout can't be explained by errors of the size stated: chi-square is " + oneDecimal(r.ChiSquare) +
		" for " + counted(int(r.Freedom), "reading") + ". The reading furthest off is the " + worst + ", by " + oneDecimal(size) +
		" standard deviations. Read it again, and measure " + mostMoved(found) + " again; look for something bent, worn or set otherwise than described."
}

func oneDecimal(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }

func mostMoved(found []reconciled) string {
	text := ""
	for _, s := range found {
		if text != "" {
			text += " and "
		}
		text += "the " + s.side.name() + " " + s.MostMoved
	}
	return text
}

func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
