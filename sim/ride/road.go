package ride

import (
	"fmt"
	"math"
	"strings"
)

// ReferenceFrequency is n0 of ISO 8608, 0.1 cycle/m.
const ReferenceFrequency = 0.1

// classes are ISO 8608's; each is four times as rough as the one before it.
const classes = "ABCDEFGH"

// RoadClass gives the displacement power spectral density Gd(n0) at 0.1 cycle/m, in m³, that stands for an ISO
// 8608:2016 class: the geometric mean of its band, 16·10⁻⁶ m³ for A and four times as much each class on (A to D seen
// in a copy; E to H by the same step, from memory).
//
// Not to be mixed up with the standard's other column, Gd(Ω0) at 1 rad/m: 1·10⁻⁶ m³ for A, 16 times less.
func RoadClass(name string) (float64, error) {
	i := strings.Index(classes, name)
	if len(name) != 1 || i < 0 {
		return 0, fmt.Errorf("road class %q is not one of ISO 8608's A to H", name)
	}
	return 16e-6 * math.Pow(4, float64(i)), nil
}

// VelocityNoise gives the intensity of the white noise that is the road's vertical velocity under a wheel, in m²/s:
//
//	q = 2·π²·n0²·Gd(n0)·V,   E[w(t)·w(t+τ)] = q·δ(τ)
//
// at speed V (m/s), for the standard's spectrum Gd(n) = Gd(n0)·(n/n0)⁻². The standard's
// spectrum is meant for 0.01 to 10 cycle/m; going on past 10 adds Gd(n0)·n0²/10 to the mean square of the tyre's
// deflection (about 1 % of its rms at 10 m/s, less at speed) and next to nothing to body and stroke.
func VelocityNoise(roughness, speed float64) float64 {
	return 2 * math.Pi * math.Pi * ReferenceFrequency * ReferenceFrequency * roughness * speed
}
