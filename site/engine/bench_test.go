//go:build unix

package engine

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"turnplate/notebooks"
	"turnplate/site/build"
	"turnplate/site/collection"
)

// demoOpened is an engine with the demo's notebooks.
func demoOpened(b *testing.B) *Engine {
	b.Helper()
	c, err := collection.Open(notebooks.FS, "Turnplate")
	require.NoError(b, err)
	s, err := build.Evaluate(context.Background(), c, build.Options{Engine: func([]byte) map[string][]byte { return nil }})
	require.NoError(b, err)
	require.Empty(b, s.Faults)
	bundle, err := s.Bundle()
	require.NoError(b, err)
	var e Engine
	require.NoError(b, e.Open(bundle))
	return &e
}

// asked is what an engine answers a request that it can do.
func asked(tb testing.TB, e *Engine, r request) (a answer) {
	tb.Helper()
	r.Notebook, r.Name = "vehicles/corrie", "truck"
	ask, err := json.Marshal(r)
	require.NoError(tb, err)
	told, err := json.Marshal(e.Answer(ask))
	require.NoError(tb, err)
	require.NoError(tb, json.Unmarshal(told, &a))
	require.Empty(tb, a.Stops)
	return a
}

// processorTime is what the process has taken, so that what else the machine does hardly counts.
func processorTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkChangedField is what the program does when a reader changes one field of their own truck: the page for where
// its dials stand without what takes long, which is shown first, then with that, and for all positions. Each value is a new
// one, and each stage starts from nothing. The reader's other values stay, and the page has been worked out before.
func BenchmarkChangedField(b *testing.B) {
	e := demoOpened(b)
	others := []string{"truck.Mass = 2010*kg", "truck.Wheelbase = 2900*mm"}
	value := 0
	for _, page := range []string{"studies/caster.html", "studies/sure.html", "studies/bushes.html", "workshop/printout.html"} {
		for _, field := range []string{"truck.Tyre.Radius = %g*mm", "truck.Name = \"%g\"", "truck.CentreHeight = %g*mm", "truck.Both.LowerBall.Y = %g*mm"} {
			base := map[string]float64{"truck.T": 440, "truck.C": 780, "truck.N": 1, "truck.B": 742}[field[:7]]
			for _, stage := range []struct {
				name  string
				still []string
				hurry bool
			}{{"shown", []string{""}, true}, {"filled", []string{""}, false}, {"turned", nil, false}} {
				path, _, _ := strings.Cut(field, " ")
				b.Run(strings.TrimSuffix(page, ".html")+"/"+path+"/"+stage.name, func(b *testing.B) {
					ask := func() {
						value++
						changes := append(others, fmt.Sprintf(field, base+float64(value%400)*0.01))
						asked(b, e, request{Do: "page", Page: page, Changes: strings.Join(changes, "\n"), Still: stage.still, Hurry: stage.hurry})
					}
					ask()
					before := processorTime()
					for b.Loop() {
						ask()
					}
					b.ReportMetric(float64((processorTime()-before).Microseconds())/1000/float64(b.N), "cpu-ms/op")
				})
			}
		}
	}
}
