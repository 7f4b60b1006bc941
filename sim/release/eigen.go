package release

import (
	"math"
	"math/cmplx"
	"sort"

	"gonum.org/v1/gonum/mat"
)

// Eigenvalues gives those of a system matrix, slowest decay first, a conjugate pair with + first. It's nil where gonum's
// iteration fails, which is for matrices that aren't finite.
func Eigenvalues(a mat.Matrix) []complex128 {
	rows, _ := a.Dims()
	for i := range rows {
		for j := range rows {
			if x := a.At(i, j); math.IsNaN(x) || math.IsInf(x, 0) {
				return nil
			}
		}
	}
	var e mat.Eigen
	if !e.Factorize(a, mat.EigenNone) {
		return nil
	}
	values := e.Values(nil)
	sort.Slice(values, func(i, j int) bool {
		if real(values[i]) != real(values[j]) {
			return real(values[i]) > real(values[j])
		}
		return imag(values[i]) > imag(values[j])
	})
	return values
}

// Mode is one motion of a linear system: what an eigenvalue λ means.
type Mode struct {
	Frequency    float64 // rad/s, undamped: |λ|
	DampingRatio float64 // −Re λ/|λ|; 1 and above (a real λ) doesn't swing, below 0 it grows
	Swings       bool
}

// ModeOf reads an eigenvalue.
func ModeOf(value complex128) Mode {
	size := cmplx.Abs(value)
	if size == 0 {
		return Mode{}
	}
	return Mode{size, -real(value) / size, imag(value) != 0}
}

// LeastDamped is the swinging mode with the smallest damping ratio; ok is false when nothing swings.
func LeastDamped(values []complex128) (least Mode, ok bool) {
	for _, value := range values {
		if m := ModeOf(value); m.Swings && (!ok || m.DampingRatio < least.DampingRatio) {
			least, ok = m, true
		}
	}
	return least, ok
}

// Stable tells whether every motion dies away. Values within rounding of zero count as not growing.
func Stable(values []complex128) bool {
	const rounding = 1e-9 // 1/s
	for _, value := range values {
		if !(real(value) <= rounding) {
			return false
		}
	}
	return len(values) > 0
}
