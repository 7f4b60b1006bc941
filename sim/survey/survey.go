// Package survey finds where points are from more readings than are needed: distances taken with a tape, distances
// between plumb marks on a level floor, heights above it and coordinates. It is the least-squares adjustment of
// surveying, on plain numbers.
//
//	Network      points, each coordinate fixed or unknown, and the readings between them
//	Adjust       the points that make Σ((computed − read)/deviation)² least, and how well each is known
//	Adjustment   residuals, how far the readings check one another, and which one is likely wrong
//	Gain         what one more reading would lower a variance by
//
// # Method
//
// With A the slopes of the computed readings by the unknowns, W the diagonal matrix of 1/σ² and v the residuals,
// computed less read:
//
//	step   dx = −(AᵀWA)⁻¹·AᵀWv, halved until the sum vᵀWv falls, repeated until it is nothing (Gauss and Newton)
//	Q      = (AᵀWA)⁻¹, the unknowns' covariance
//	r      = 1 − diag(A·Q·AᵀW), each reading's redundancy: 0 where nothing checks it, 1 where all of it shows in its
//	         residual; they add up to readings less unknowns
//	w      = v/(σ·√r), the standardised residual, which chance spreads by one
//	δ      = δ₀·σ/√r, the smallest error of one reading that shows, with δ₀ = 4.132
//
// The deviations are taken as stated and not scaled by the misfit. Readings leave more than one set of points
// possible, a corner and its mirror image among them; the one nearest the start is found.
//
// Sources, from memory: E. M. Mikhail and F. Ackermann, Observations and Least Squares, Harper & Row 1976, for the
// adjustment; W. Baarda, A testing procedure for use in geodetic networks, Delft 1968, for redundancy, the
// standardised residual and δ₀.
package survey

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"turnplate/sim/geom"
)

// Kind is what a reading reads.
type Kind int

// The kinds of reading. The axes' origin and directions are the network's own.
const (
	Tape   Kind = iota // straight from From to To
	Floor              // between the two points' plumb marks, both on the level floor: x and y alone
	Height             // z of From
	Along              // x of From
	Across             // y of From
)

// Pair tells whether a kind reads between two points.
func (k Kind) Pair() bool { return k == Tape || k == Floor }

// Reading is one reading, with its standard deviation.
type Reading struct {
	Kind             Kind
	From, To         int // points' places in Network.Points; To counts for Tape and Floor only
	Value, Deviation float64
}

// Coordinate is Sign times an unknown, or the fixed number At where Sign is 0. Two coordinates may share an unknown:
// the middle between two points is the origin when theirs differ in Sign alone.
type Coordinate struct {
	Unknown int
	Sign    float64
	At      float64
}

// Place is where a point is, as x, y and z.
type Place [3]Coordinate

// Network is points and the readings between them, all in one unit of length.
type Network struct {
	Points   []Place
	Readings []Reading
	Loosest  float64 // standard deviation from which an unknown counts as not tied down, above zero
}

// at gives a point's place for values of the unknowns.
func (n *Network) at(point int, x []float64) [3]float64 {
	var p [3]float64
	for i, c := range n.Points[point] {
		if p[i] = c.At; c.Sign != 0 {
			p[i] = c.Sign * x[c.Unknown]
		}
	}
	return p
}

// At gives a point's place for values of the unknowns.
func (n *Network) At(point int, x []float64) geom.Point {
	p := n.at(point, x)
	return geom.Point{X: p[0], Y: p[1], Z: p[2]}
}

// slope is how a computed reading changes with one unknown.
type slope struct {
	unknown int
	by      float64
}

// row is the slopes of one reading; two points have six coordinates at most.
type row struct {
	of [6]slope
	n  int
}

func (r *row) add(c Coordinate, by float64) {
	if c.Sign == 0 {
		return
	}
	for i := range r.of[:r.n] {
		if r.of[i].unknown == c.Unknown {
			r.of[i].by += c.Sign * by
			return
		}
	}
	r.of[r.n] = slope{c.Unknown, c.Sign * by}
	r.n++
}

// predict gives what a reading reads at x, and its slopes. Where two points of a distance coincide it has none.
func (n *Network) predict(r *Reading, x []float64) (value float64, slopes row) {
	from := n.at(r.From, x)
	if !r.Kind.Pair() {
		axis := [...]int{Along: 0, Across: 1, Height: 2}[r.Kind]
		slopes.add(n.Points[r.From][axis], 1)
		return from[axis], slopes
	}
	to := n.at(r.To, x)
	axes := 3
	if r.Kind == Floor {
		axes = 2
	}
	sum := 0.0
	for i := range axes {
		sum += (to[i] - from[i]) * (to[i] - from[i])
	}
	d := math.Sqrt(sum)
	if d == 0 {
		return 0, slopes
	}
	for i := range axes {
		by := (to[i] - from[i]) / d
		slopes.add(n.Points[r.To][i], by)
		slopes.add(n.Points[r.From][i], -by)
	}
	return d, slopes
}

// Adjustment is what Adjust found.
type Adjustment struct {
	X          []float64     // the unknowns
	Covariance *mat.SymDense // of the unknowns
	Misfit     float64       // the least sum of squares
	Freedom    int           // readings less unknowns

	Residual     []float64 // of each reading: computed less read
	Redundancy   []float64 // of each reading, 0 to 1
	Standardised []float64 // of each reading's residual; NaN where nothing checks it
	Detectable   []float64 // smallest error of each reading that shows; NaN where nothing checks it

	pull *mat.Dense // unknowns' change for each reading's error of one deviation
}

// NotTied is the error of a network with points that no reading fixes, known to no better than Loosest.
type NotTied struct {
	Unknowns [][]float64 // directions in the unknowns that no reading fixes, each of length one
}

func (e NotTied) Error() string { return "the readings don't fix every point" }

// ErrUnsettled says that no points can be found that agree with the readings better than those around them.
var ErrUnsettled = errors.New("no points near the start agree with the readings")

const (
	// A step as long as this share of Loosest ends the search: far below any deviation, far above rounding.
	stepEnd   = 1e-10
	mostSteps = 50
	// A redundancy below this is rounding's.
	noRedundancy = 1e-9
)

// Noticed is the standardised residual above which a reading is worth reading again: chance alone exceeds it once
// in a thousand good readings.
var Noticed = distuv.UnitNormal.Quantile(1 - 0.001/2)

// Shown is δ₀: with an error of so many of its residual's deviations a reading exceeds Noticed four times in five.
var Shown = Noticed + distuv.UnitNormal.Quantile(0.80)

// Adjust finds the points nearest start that agree best with the readings. Every deviation must be above zero. The
// error is NotTied, or ErrUnsettled.
func (n *Network) Adjust(start []float64) (*Adjustment, error) {
	x, err := n.settle(start)
	if err != nil {
		return nil, err
	}
	a := n.linear(x)
	q, err := a.covariance()
	if err != nil {
		return nil, err
	}
	return n.judged(x, a, q), nil
}

// settle takes Gauss and Newton's steps.
func (n *Network) settle(start []float64) ([]float64, error) {
	x := append([]float64(nil), start...)
	next := make([]float64, len(x))
	for range mostSteps {
		a := n.linear(x)
		step, err := a.step()
		if err != nil {
			return nil, err
		}
		longest := 0.0
		for _, d := range step {
			longest = max(longest, math.Abs(d))
		}
		if longest < stepEnd*n.Loosest {
			return x, nil
		}
		for share := 1.0; ; share /= 2 {
			for j := range x {
				next[j] = x[j] + share*step[j]
			}
			if n.sum(next) <= a.sum {
				break
			}
			if share*longest < stepEnd*n.Loosest {
				return x, nil // rounding's: the sum is flat here
			}
		}
		x, next = next, x
	}
	return nil, ErrUnsettled
}

// sum is vᵀWv at x.
func (n *Network) sum(x []float64) (sum float64) {
	for i := range n.Readings {
		r := &n.Readings[i]
		value, _ := n.predict(r, x)
		v := (value - r.Value) / r.Deviation
		sum += v * v
	}
	return sum
}

// linear is the network made linear at some x.
type linear struct {
	rows     []row
	residual []float64
	sum      float64
	normal   *mat.SymDense // AᵀWA
	gradient *mat.VecDense // AᵀWv
	loosest  float64
}

func (n *Network) linear(x []float64) *linear {
	a := &linear{normal: mat.NewSymDense(len(x), nil), gradient: mat.NewVecDense(len(x), nil), loosest: n.Loosest}
	for i := range n.Readings {
		r := &n.Readings[i]
		value, slopes := n.predict(r, x)
		v, weight := value-r.Value, 1/(r.Deviation*r.Deviation)
		a.rows, a.residual = append(a.rows, slopes), append(a.residual, v)
		a.sum += v * v * weight
		for _, p := range slopes.of[:slopes.n] {
			a.gradient.SetVec(p.unknown, a.gradient.AtVec(p.unknown)+p.by*v*weight)
			for _, q := range slopes.of[:slopes.n] {
				if q.unknown >= p.unknown {
					a.normal.SetSym(p.unknown, q.unknown, a.normal.At(p.unknown, q.unknown)+p.by*q.by*weight)
				}
			}
		}
	}
	return a
}

// step is the way to where the sum of the linear network is least.
func (a *linear) step() ([]float64, error) {
	factor, err := a.factor()
	if err != nil {
		return nil, err
	}
	var step mat.VecDense
	if err := factor.SolveVecTo(&step, a.gradient); err != nil {
		return nil, a.notTied()
	}
	step.ScaleVec(-1, &step)
	return step.RawVector().Data, nil
}

func (a *linear) factor() (*mat.Cholesky, error) {
	var factor mat.Cholesky
	if !factor.Factorize(a.normal) || factor.Cond() > 1e14 {
		return nil, a.notTied()
	}
	return &factor, nil
}

// covariance is Q, or a NotTied error where it has a deviation above Loosest.
func (a *linear) covariance() (*mat.SymDense, error) {
	factor, err := a.factor()
	if err != nil {
		return nil, err
	}
	var q mat.SymDense
	if err := factor.InverseTo(&q); err != nil {
		return nil, a.notTied()
	}
	for j := range q.SymmetricDim() {
		if q.At(j, j) > a.loosest*a.loosest {
			return nil, a.notTied()
		}
	}
	return &q, nil
}

// notTied finds what no reading fixes: the directions whose deviation would be above Loosest, or at least the
// loosest one.
func (a *linear) notTied() error {
	var eigen mat.EigenSym
	if !eigen.Factorize(a.normal, true) {
		return ErrUnsettled
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	var e NotTied
	for j, value := range eigen.Values(nil) { // in ascending order
		if value < 1/(a.loosest*a.loosest) || j == 0 {
			e.Unknowns = append(e.Unknowns, mat.Col(nil, j, &vectors))
		}
	}
	return e
}

// judged works out what the residuals say of each reading.
func (n *Network) judged(x []float64, a *linear, q *mat.SymDense) *Adjustment {
	m, u := len(n.Readings), len(x)
	out := &Adjustment{X: x, Covariance: q, Misfit: a.sum, Freedom: m - u, Residual: a.residual, pull: mat.NewDense(u, m, nil)}
	for i := range n.Readings {
		sigma := n.Readings[i].Deviation
		known := a.rows[i].times(q)
		for j, c := range known {
			out.pull.Set(j, i, c/sigma)
		}
		r := 1 - a.rows[i].dot(known)/(sigma*sigma)
		w, least := math.NaN(), math.NaN()
		if r < noRedundancy {
			r = 0
		} else {
			w, least = a.residual[i]/(sigma*math.Sqrt(r)), Shown*sigma/math.Sqrt(r)
		}
		out.Redundancy = append(out.Redundancy, r)
		out.Standardised = append(out.Standardised, w)
		out.Detectable = append(out.Detectable, least)
	}
	return out
}

// Numbers are all that an Adjustment holds, for Known. NaN is among them: see Adjustment.
func (a *Adjustment) Numbers() (nums []float64) {
	nums = append(nums, a.Misfit)
	nums = append(nums, a.X...)
	for j := range a.X {
		for k := j; k < len(a.X); k++ {
			nums = append(nums, a.Covariance.At(j, k))
		}
	}
	nums = append(nums, a.pull.RawMatrix().Data...)
	for _, of := range [][]float64{a.Residual, a.Redundancy, a.Standardised, a.Detectable} {
		nums = append(nums, of...)
	}
	return nums
}

// Known is the Adjustment of the Network, which has so many unknowns, whose Numbers these are; nil where they can't be.
func (n *Network) Known(unknowns int, nums []float64) *Adjustment {
	m, u := len(n.Readings), unknowns
	if len(nums) != 1+u+u*(u+1)/2+u*m+4*m {
		return nil
	}
	take := func(count int) (part []float64) {
		part, nums = nums[:count:count], nums[count:]
		return part
	}
	a := &Adjustment{Misfit: take(1)[0], X: take(u), Covariance: mat.NewSymDense(u, nil), Freedom: m - u}
	for j := range u {
		for k := j; k < u; k++ {
			a.Covariance.SetSym(j, k, take(1)[0])
		}
	}
	a.pull = mat.NewDense(u, m, take(u*m))
	a.Residual, a.Redundancy, a.Standardised, a.Detectable = take(m), take(m), take(m), take(m)
	return a
}

// times gives Q·a.
func (r *row) times(q *mat.SymDense) []float64 {
	out := make([]float64, q.SymmetricDim())
	for _, p := range r.of[:r.n] {
		for j := range out {
			out[j] += q.At(p.unknown, j) * p.by
		}
	}
	return out
}

func (r *row) dot(x []float64) (sum float64) {
	for _, p := range r.of[:r.n] {
		sum += p.by * x[p.unknown]
	}
	return sum
}

// Draw puts the unknowns into x as they would have been found had each reading been off by errors, in its own
// standard deviations: drawn at random, they give points that vary together with covariance Q. It is linear.
func (a *Adjustment) Draw(x, errors []float64) {
	for j := range x {
		sum, pull := a.X[j], a.pull.RawRowView(j)
		for i, e := range errors {
			sum += pull[i] * e
		}
		x[j] = sum
	}
}

// Suspects gives the two readings with the largest standardised residuals, the larger first; −1 where there is
// none. Of readings that are equal but for rounding, as two that check only each other, the earlier is first.
func (a *Adjustment) Suspects() (first, second int) {
	first, second = -1, -1
	larger := func(i, than int) bool {
		return than < 0 || math.Abs(a.Standardised[i]) > math.Abs(a.Standardised[than])*(1+1e-6)
	}
	for i, w := range a.Standardised {
		switch {
		case math.IsNaN(w):
		case larger(i, first):
			first, second = i, first
		case larger(i, second):
			second = i
		}
	}
	return first, second
}

// Gain is by how much one more reading r would lower the variance of what changes with the unknowns by slopes g.
func (n *Network) Gain(a *Adjustment, r Reading, g []float64) float64 {
	known, total := n.told(a, &r)
	sum := 0.0
	for j, k := range known {
		sum += k * g[j]
	}
	return sum * sum / total
}

// GainTogether is by how much one more reading r would lower the sum of all unknowns' variances, each times its
// weight.
func (n *Network) GainTogether(a *Adjustment, r Reading, weight []float64) float64 {
	known, total := n.told(a, &r)
	sum := 0.0
	for j, k := range known {
		sum += k * k * weight[j]
	}
	return sum / total
}

// told gives a reading's covariance with the unknowns, and its own variance with that of what it reads.
func (n *Network) told(a *Adjustment, r *Reading) (known []float64, total float64) {
	_, slopes := n.predict(r, a.X)
	known = slopes.times(a.Covariance)
	return known, r.Deviation*r.Deviation + slopes.dot(known)
}

// Fixes tells how well one more reading would fix the directions that nothing fixes.
func (n *Network) Fixes(e NotTied, r Reading, x []float64) (sum float64) {
	_, slopes := n.predict(&r, x)
	for _, direction := range e.Unknowns {
		d := slopes.dot(direction) / r.Deviation
		sum += d * d
	}
	return sum
}

// Computed is what a reading would read at x without error.
func (n *Network) Computed(r Reading, x []float64) float64 {
	value, _ := n.predict(&r, x)
	return value
}
