package ode

import "math"

// The tableau of Dormand & Prince's pair: nodes c, stages a, the fifth-order weights (which are also the
// last stage, so that it serves as the next step's first), the difference to the fourth-order weights, and
// the weights of the interpolant's highest term.
var (
	nodes  = [7]float64{0, 1. / 5, 3. / 10, 4. / 5, 8. / 9, 1, 1}
	stages = [7][6]float64{
		{},
		{1. / 5},
		{3. / 40, 9. / 40},
		{44. / 45, -56. / 15, 32. / 9},
		{19372. / 6561, -25360. / 2187, 64448. / 6561, -212. / 729},
		{9017. / 3168, -355. / 33, 46732. / 5247, 49. / 176, -5103. / 18656},
		{35. / 384, 0, 500. / 1113, 125. / 192, -2187. / 6784, 11. / 84},
	}
	difference = [7]float64{71. / 57600, 0, -71. / 16695, 71. / 1920, -17253. / 339200, 22. / 525, -1. / 40}
	dense      = [7]float64{-12715105075. / 11282082432, 0, 87487479700. / 32700410799, -10690763975. / 1880347072,
		701980252875. / 199316789632, -1453857185. / 822651844, 69997945. / 29380423}
)

// stepper holds one step: where it starts, its stages, where it ends, and the interpolant's coefficients.
type stepper struct {
	f        Func
	y, next  []float64
	k        [7][]float64
	coef     [4][]float64
	inside   []float64 // room for a state within the step
	prepared bool
}

func newStepper(f Func, y []float64) *stepper {
	n := len(y)
	room := make([]float64, 14*n) // one allocation for all of it
	take := func() []float64 {
		part := room[:n:n]
		room = room[n:]
		return part
	}
	s := &stepper{f: f, y: take(), next: take(), inside: take()}
	for i := range s.k {
		s.k[i] = take()
	}
	for i := range s.coef {
		s.coef[i] = take()
	}
	copy(s.y, y)
	return s
}

// try fills stages 1 to 6 and the end of a step; stage 0 must hold the rates at its start.
func (s *stepper) try(t, h float64) {
	for stage := 1; stage < 7; stage++ {
		a := &stages[stage]
		for j := range s.y {
			sum := 0.0
			for i := range stage {
				sum += a[i] * s.k[i][j]
			}
			s.next[j] = s.y[j] + h*sum
		}
		s.f(t+nodes[stage]*h, s.next, s.k[stage])
	}
	s.prepared = false
}

// accept makes the end of the step the start of the next.
func (s *stepper) accept() {
	s.y, s.next = s.next, s.y
	s.k[0], s.k[6] = s.k[6], s.k[0]
}

// prepare works out the interpolant (Hairer, Nørsett & Wanner, section II.6).
func (s *stepper) prepare(h float64) {
	if s.prepared {
		return
	}
	s.prepared = true
	for j := range s.y {
		rise := s.next[j] - s.y[j]
		start := h*s.k[0][j] - rise
		sum := 0.0
		for i := range dense {
			sum += dense[i] * s.k[i][j]
		}
		s.coef[0][j] = rise
		s.coef[1][j] = start
		s.coef[2][j] = rise - h*s.k[6][j] - start
		s.coef[3][j] = h * sum
	}
}

// Span is one accepted step. It's only valid during the call it's handed to.
type Span struct {
	From, To float64
	s        *stepper
	h        float64
}

// At writes the state at a time within the span into y. Its error is of the fourth order in the step.
func (p Span) At(t float64, y []float64) {
	u := (t - p.From) / p.h
	v := 1 - u
	c := &p.s.coef
	for j := range y {
		y[j] = p.s.y[j] + u*(c[0][j]+v*(c[1][j]+u*(c[2][j]+v*c[3][j])))
	}
}

// controller chooses the step.
type controller struct {
	relative float64
	absolute []float64
	maxStep  float64
	maxSteps int
	lastErr  float64
	refused  bool
}

func newController(o Options, n int, interval float64) *controller {
	c := &controller{relative: o.Relative, absolute: o.Absolute, maxStep: o.MaxStep, maxSteps: o.MaxSteps, lastErr: 1e-4}
	if c.relative == 0 {
		c.relative = 1e-6
	}
	if c.absolute == nil {
		c.absolute = make([]float64, n)
		for i := range c.absolute {
			c.absolute[i] = 1e-9
		}
	}
	if len(c.absolute) != n {
		panic("ode: Options.Absolute must have one entry for each component")
	}
	if c.maxStep == 0 {
		c.maxStep = interval
	}
	if c.maxSteps == 0 {
		c.maxSteps = 100_000
	}
	return c
}

// first guesses the first step from the size of the state, its rate, and how fast the rate changes over a
// trial Euler step (Hairer, Nørsett & Wanner, section II.4, "starting step size").
func (c *controller) first(s *stepper, t float64) float64 {
	size, rate, bend := 0.0, 0.0, 0.0
	scale := func(j int) float64 { return c.absolute[j] + c.relative*math.Abs(s.y[j]) }
	for j := range s.y {
		size = math.Max(size, math.Abs(s.y[j])/scale(j))
		rate = math.Max(rate, math.Abs(s.k[0][j])/scale(j))
	}
	h := 1e-6
	if size > 1e-5 && rate > 1e-5 {
		h = 0.01 * size / rate
	}
	h = math.Min(h, c.maxStep)
	for j := range s.y {
		s.next[j] = s.y[j] + h*s.k[0][j]
	}
	s.f(t+h, s.next, s.k[1])
	for j := range s.y {
		bend = math.Max(bend, math.Abs(s.k[1][j]-s.k[0][j])/scale(j)/h)
	}
	if most := math.Max(rate, bend); most > 1e-15 {
		return math.Min(100*h, math.Pow(0.01/most, 1.0/5))
	}
	return math.Max(1e-6, 1e-3*h)
}

// judge measures the step's error against what is allowed and gives the next step to try.
func (c *controller) judge(s *stepper, h float64) (next float64, good bool) {
	const (
		safety          = 0.9
		beta            = 0.04 // the integral part, Hairer's choice for this pair
		power           = 0.2 - 0.75*beta
		leastUp, mostUp = 0.2, 10.0
		refusedMostUp   = 1.0 // no growth right after a refusal
		notFiniteShrink = 0.1
		leastRemembered = 1e-4
	)
	sum := 0.0
	for j := range s.y {
		e := 0.0
		for i := range difference {
			e += difference[i] * s.k[i][j]
		}
		e *= h / (c.absolute[j] + c.relative*math.Max(math.Abs(s.y[j]), math.Abs(s.next[j])))
		sum += e * e
	}
	err := math.Sqrt(sum / float64(len(s.y)))
	if !(err < math.Inf(1)) {
		c.refused = true
		return notFiniteShrink * h, false
	}
	if err > 1 {
		c.refused = true
		return h * math.Max(leastUp, safety*math.Pow(err, -power)), false
	}
	up := mostUp
	if err > 0 {
		up = safety * math.Pow(err, -power) * math.Pow(c.lastErr, beta)
		up = math.Min(mostUp, math.Max(leastUp, up))
	}
	if c.refused {
		up = math.Min(up, refusedMostUp)
	}
	c.refused, c.lastErr = false, math.Max(err, leastRemembered)
	return h * up, true
}
