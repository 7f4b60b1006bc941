package eval

import (
	"context"
	"testing"

	"turnplate/site/model"
)

func benchmarkPage(b *testing.B, text string, options Options) {
	l := library{"a.md": text}
	for b.Loop() {
		if p := New(l, options).Page(context.Background(), "a"); len(p.Faults) > 0 {
			b.Fatal(p.Faults)
		}
	}
}

// BenchmarkSweep is one model at 10 000 points, from the notebook's text to the values.
func BenchmarkSweep(b *testing.B) {
	text := "# A\n" + fence(truck+`
car := truck
car.Front.Lift = span(0*mm, 50*mm, 100)
bump := span(-20*mm, 20*mm, 100)
trip := Travel{Vehicle: car, Bump: bump}
`)
	b.Run("one core", func(b *testing.B) { benchmarkPage(b, text, Options{Workers: 1}) })
	b.Run("all cores", func(b *testing.B) { benchmarkPage(b, text, Options{}) })
	b.Run("known already", func(b *testing.B) { benchmarkPage(b, text, Options{Cache: model.NewCache()}) })
}

// BenchmarkMonteCarloMap is a map of 50 × 50 points with 400 draws each, a million alignments.
func BenchmarkMonteCarloMap(b *testing.B) {
	text := "---\ndraws: 400\n---\n# A\n" + fence(truck+`
car := truck
car.Front.UpperBall = at(normal(-22*mm, 3*mm), normal(665*mm, 3*mm), normal(620*mm, 3*mm))
car.Front.Lift = span(0*mm, 50*mm, 50)
car.Front.Adjust.CamFront = span(-60*deg, 60*deg, 50)
al := Alignment{Vehicle: car}
Contours{X: car.Front.Lift, Y: car.Front.Adjust.CamFront, Z: al.Caster}
`)
	b.Run("one core", func(b *testing.B) { benchmarkPage(b, text, Options{Workers: 1}) })
	b.Run("all cores", func(b *testing.B) { benchmarkPage(b, text, Options{}) })
}
