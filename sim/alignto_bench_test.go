package sim

import (
	"math/rand/v2"
	"testing"
)

// benchTrucks are random trucks with targets that their cams can reach, each truck's own.
func benchTrucks(b *testing.B) []AlignTo {
	rng := rand.New(rand.NewPCG(3, 20))
	var list []AlignTo
	for len(list) < 200 {
		v := randomTruck(rng)
		v.Right = nil
		set := v
		set.Front.Adjust.CamFront, set.Front.Adjust.CamRear = (2*rng.Float64()-1)*v.Front.Adjust.CamLimit, (2*rng.Float64()-1)*v.Front.Adjust.CamLimit
		want, err := Alignment{set}.Run()
		if err != nil {
			continue
		}
		list = append(list, AlignTo{Vehicle: v, Caster: &Sides{want.Caster, want.Caster}, Camber: &Sides{want.Camber, want.Camber}, Toe: &Sides{0.05 * deg, 0.05 * deg}})
	}
	return list
}

func benchAlignTo(b *testing.B, change func(*AlignTo)) {
	trucks := benchTrucks(b)
	for i := range trucks {
		change(&trucks[i])
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		r, err := trucks[i%len(trucks)].Run()
		if err != nil {
			b.Fatal(err)
		}
		benchKeep += r.CamFront
	}
}

var benchKeep float64

// BenchmarkAlignTo is a target that the cams reach, both sides alike.
func BenchmarkAlignTo(b *testing.B) { benchAlignTo(b, func(*AlignTo) {}) }

// BenchmarkAlignToShort is one 5° of caster beyond what they reach.
func BenchmarkAlignToShort(b *testing.B) {
	benchAlignTo(b, func(m *AlignTo) { m.Caster = &Sides{m.Caster.Left + 5*deg, m.Caster.Left + 5*deg} })
}

// BenchmarkAlignToUpper uses the upper arm's settings as well.
func BenchmarkAlignToUpper(b *testing.B) {
	benchAlignTo(b, func(m *AlignTo) { m.UseUpper, m.LegTravel, m.ShiftTravel = true, 0.1, 0.1 })
}

// BenchmarkAlignToMap is one draw of a map of 100 by 100 targets, many of them out of reach ("reached" is the share that aren't).
func BenchmarkAlignToMap(b *testing.B) {
	v := camTruck()
	v.Front.Lift, v.RearLift = 0.05, 0.05
	reached, all := 0, 0
	for b.Loop() {
		for i := range 10000 {
			m := AlignTo{Vehicle: v, CamberTolerance: 0.25 * deg, Toe: both(0.05 * deg),
				Caster: both(2*deg + 5*deg*float64(i%100)/99), Camber: both(-1*deg + 2*deg*float64(i/100)/99)}
			r, err := m.Run()
			if err != nil {
				b.Fatal(err)
			}
			all++
			if r.Reached {
				reached++
			}
		}
	}
	b.ReportMetric(float64(reached)/float64(all), "reached")
}

// BenchmarkFullPose is what a pose costs on the same trucks: a corner as set brought to a height, with all
// angles.
func BenchmarkFullPose(b *testing.B) {
	trucks := benchTrucks(b)
	axles := make([]axle, len(trucks))
	for i := range trucks {
		var err error
		if axles[i], err = newAxle(&trucks[i].Vehicle); err != nil {
			b.Fatal(err)
		}
	}
	for i := 0; b.Loop(); i++ {
		k := &axles[i%len(axles)].left
		p, err := k.height(0.02 * float64(i%5-2))
		if err != nil {
			b.Fatal(err)
		}
		s := k.seen(p)
		benchKeep += s.Camber
	}
}

// BenchmarkNewAxle is what every model starts with.
func BenchmarkNewAxle(b *testing.B) {
	trucks := benchTrucks(b)
	for i := 0; b.Loop(); i++ {
		a, err := newAxle(&trucks[i%len(trucks)].Vehicle)
		if err != nil {
			b.Fatal(err)
		}
		benchKeep += a.pitch
	}
}
