// Package agree holds the tests of the simulation to one meaning of "equal but for a tolerance". A NaN never agrees.
package agree

import (
	"math"

	"github.com/stretchr/testify/require"
)

// Absolute fails unless got lies within a tolerance of want, in the unit of both.
func Absolute(t require.TestingT, want, got, tolerance float64, what string) {
	if h, ok := t.(interface{ Helper() }); ok {
		h.Helper()
	}
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g (within %g)", what, got, want, tolerance)
	}
}

// Relative fails unless got lies within a share of want.
func Relative(t require.TestingT, want, got, share float64, what string) {
	if h, ok := t.(interface{ Helper() }); ok {
		h.Helper()
	}
	Absolute(t, want, got, share*math.Abs(want), what)
}
