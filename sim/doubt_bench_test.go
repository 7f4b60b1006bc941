package sim

import "testing"

// BenchmarkLookOver looks over a whole truck with two measured sides.
func BenchmarkLookOver(b *testing.B) {
	v := wholeTruck()
	right := v.Front
	v.Right = &right
	given := written(&v)
	for b.Loop() {
		LookOver(&v, given)
	}
}
