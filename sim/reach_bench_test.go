package sim

import "testing"

// BenchmarkReach is one run for a corner with cams alone and with the upper arm's travels as well.
func BenchmarkReach(b *testing.B) {
	for _, c := range []struct {
		name        string
		legs, shift float64
	}{{"cams", 0, 0}, {"arm", 12e-3, 20e-3}} {
		b.Run(c.name, func(b *testing.B) {
			m := Reach{Vehicle: camTruck(), LegTravel: c.legs, ShiftTravel: c.shift, Toe: both(0.05 * deg), Camber: both(0)}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := m.Run(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
