// Package reconcile finds the most likely true values of quantities that were all measured, some directly and
// some through a formula that joins them: weighted least squares.
//
//	Quantities  values x₀ measured directly, each with its standard deviation σ
//	Readings    values y measured of f(x), each with its standard deviation s
//	Fit         the x that makes Σ((x − x₀)/σ)² + Σ((y − f(x))/s)² least
//
// # Method
//
// Near x the formula is f(x) + A·dx, with A by central differences. The least sum of squares of that is at
//
//	x₀ + C·Aᵀ·S⁻¹·w,   S = A·C·Aᵀ + R,   w = y − f(x) + A·(x − x₀),
//
// with C and R the diagonal matrices of σ² and s²: as many equations as there are readings, however many
// quantities. Repeated from there (Gauss and Newton's method, each step halved until the sum falls), it ends
// where the sum is least. With normal errors that is the most likely x, and the sum is chi-square with as
// many degrees of freedom as there are readings. A reading's own part in a misfit is judged by its normalised
// size, (S⁻¹w)ᵢ/√(S⁻¹)ᵢᵢ, which chance spreads by one (E. M. Mikhail and F. Ackermann, Observations and Least
// Squares, Harper & Row 1976, for the adjustment with conditions; W. Baarda, A testing procedure for use in
// geodetic networks, Delft 1968, for the normalised size; both from memory).
package reconcile

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Measured is a value with its standard deviation.
type Measured struct{ Value, Deviation float64 }

// Fitted is what Fit found.
type Fitted struct {
	X            []float64 // most likely values of the quantities
	Reading      []float64 // f(X)
	ChiSquare    float64   // the least sum of squares
	Probability  float64   // that chance alone gives a sum as large or larger
	Standardised []float64 // standardised residuals: each reading less what the quantities as measured give, in its standard deviation
}

// ErrUnsettled says that the steps don't come to an end.
var ErrUnsettled = errors.New("the most likely values can't be found: the readings lie too far from what was measured")

const (
	// Central differences are taken over this share of a quantity's standard deviation: small against the bend of a
	// formula that the deviation may cross, large against rounding.
	differenceShare = 1e-2
	// A step of all quantities together this small, in standard deviations, ends the search.
	stepClose = 1e-6
	// Near the least the sum is flat, and a step shorter than this, in standard deviations, that doesn't lower it is
	// rounding's.
	stepFlat  = 1e-4
	mostSteps = 60
)

// Fit finds the most likely values. f puts the readings that follow from x into y, or gives an error where x
// can't be; it must be able to stand at the values as measured. There must be at least one of each; Fit
// panics when a standard deviation isn't above zero.
func Fit(quantities, readings []Measured, f func(x, y []float64) error) (Fitted, error) {
	n, m := len(quantities), len(readings)
	for _, q := range append(append([]Measured(nil), quantities...), readings...) {
		if !(q.Deviation > 0) {
			panic("reconcile: a standard deviation must be above zero")
		}
	}
	x := make([]float64, n)
	for j, q := range quantities {
		x[j] = q.Value
	}
	y := make([]float64, m)
	if err := f(x, y); err != nil {
		return Fitted{}, err
	}
	sum := sumOfSquares(quantities, readings, x, y)
	s := solver{quantities: quantities, readings: readings, f: f}
	var first []float64
	for range mostSteps {
		step, normalised, err := s.step(x, y)
		if err != nil {
			return Fitted{}, err
		}
		if first == nil {
			first = normalised
		}
		size := 0.0
		for j, d := range step {
			size += d * d / (quantities[j].Deviation * quantities[j].Deviation)
		}
		if math.Sqrt(size) < stepClose {
			return Fitted{x, y, sum, Chance(sum, float64(m)), first}, nil
		}
		nextX, nextY := make([]float64, n), make([]float64, m)
		share := 1.0
		for ; ; share /= 2 {
			if share < 1e-6 {
				if math.Sqrt(size) < stepFlat {
					return Fitted{x, y, sum, Chance(sum, float64(m)), first}, nil
				}
				return Fitted{}, ErrUnsettled
			}
			for j := range x {
				nextX[j] = x[j] + share*step[j]
			}
			if f(nextX, nextY) != nil {
				continue
			}
			if next := sumOfSquares(quantities, readings, nextX, nextY); next <= sum*(1+1e-14) {
				x, y, sum = nextX, nextY, next
				break
			}
		}
	}
	return Fitted{}, ErrUnsettled
}

// Chance is the probability that chi-square with these degrees of freedom is as large or larger.
func Chance(chiSquare, freedom float64) float64 {
	return distuv.ChiSquared{K: freedom}.Survival(chiSquare)
}

func sumOfSquares(quantities, readings []Measured, x, y []float64) (sum float64) {
	for j, q := range quantities {
		d := (x[j] - q.Value) / q.Deviation
		sum += d * d
	}
	for i, r := range readings {
		d := (r.Value - y[i]) / r.Deviation
		sum += d * d
	}
	return sum
}

type solver struct {
	quantities, readings []Measured
	f                    func(x, y []float64) error
}

// step gives the way to the least sum of squares of the formula made linear at x, and the readings'
// normalised misfits.
func (s *solver) step(x, y []float64) (step, normalised []float64, err error) {
	a, err := s.slopes(x, y)
	if err != nil {
		return nil, nil, err
	}
	m, n := len(s.readings), len(s.quantities)
	w := mat.NewVecDense(m, nil)
	covariance := mat.NewSymDense(m, nil)
	for i, r := range s.readings {
		miss := r.Value - y[i]
		for j, q := range s.quantities {
			miss += a.At(i, j) * (x[j] - q.Value)
		}
		w.SetVec(i, miss)
		for k := i; k < m; k++ {
			sum := 0.0
			if k == i {
				sum = r.Deviation * r.Deviation
			}
			for j, q := range s.quantities {
				sum += a.At(i, j) * a.At(k, j) * q.Deviation * q.Deviation
			}
			covariance.SetSym(i, k, sum)
		}
	}
	var factor mat.Cholesky
	if !factor.Factorize(covariance) {
		return nil, nil, ErrUnsettled
	}
	var weighed mat.VecDense
	if err := factor.SolveVecTo(&weighed, w); err != nil {
		return nil, nil, ErrUnsettled
	}
	var inverse mat.SymDense
	if err := factor.InverseTo(&inverse); err != nil {
		return nil, nil, ErrUnsettled
	}
	step, normalised = make([]float64, n), make([]float64, m)
	for j, q := range s.quantities {
		to := q.Value
		for i := range m {
			to += q.Deviation * q.Deviation * a.At(i, j) * weighed.AtVec(i)
		}
		step[j] = to - x[j]
	}
	for i := range m {
		normalised[i] = weighed.AtVec(i) / math.Sqrt(inverse.At(i, i))
	}
	return step, normalised, nil
}

// slopes gives A by central differences. Where one side can't be, the other is used alone.
func (s *solver) slopes(x, y []float64) (*mat.Dense, error) {
	m, n := len(s.readings), len(s.quantities)
	a := mat.NewDense(m, n, nil)
	up, down := make([]float64, m), make([]float64, m)
	at := append([]float64(nil), x...)
	for j, q := range s.quantities {
		h := differenceShare * q.Deviation
		high, low := x[j]+h, x[j]-h
		at[j] = high
		if s.f(at, up) != nil {
			high = x[j]
			copy(up, y)
		}
		at[j] = low
		if err := s.f(at, down); err != nil {
			low = x[j]
			copy(down, y)
			if high == x[j] {
				return nil, err
			}
		}
		at[j] = x[j]
		for i := range m {
			a.Set(i, j, (up[i]-down[i])/(high-low))
		}
	}
	return a, nil
}
