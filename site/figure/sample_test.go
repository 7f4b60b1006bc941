package figure

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"

	"github.com/stretchr/testify/require"

	"turnplate/sim/geom"
	"turnplate/sim/unit"
)

// What these tests draw is invented.

func typed(s string) Text { return Text{{Text: Plain(s)}} }

var (
	degrees8  = Scale{Label: "Caster", Metric: unit.MustParse("deg"), US: unit.MustParse("deg")}
	effort    = Scale{Label: "Effort", Metric: unit.MustParse("N"), US: unit.MustParse("lbf")}
	plainAxis = Scale{Label: "Share"}
)

// along makes a line of n points over 0 to 8 degrees.
func along(label string, n int, f func(deg float64) float64) Line {
	l := Line{Label: Plain(label)}
	for i := range n {
		d := 8 * float64(i) / float64(n-1)
		l.X, l.Y = append(l.X, d*math.Pi/180), append(l.Y, f(d))
	}
	return l
}

func curvesOf(lines ...Line) *Curves {
	return &Curves{Head: Head{ID: "fig", Title: typed("A plot")}, X: degrees8, Y: effort, Panels: []Panel{{Lines: lines}}}
}

// parallel is a corner whose caster, inclination, trail and scrub radius follow from one another exactly.
func parallel(caster, inclination float64) Scene {
	deg := math.Pi / 180
	lower := geom.Point{X: 0.01, Y: 0.72, Z: 0.32}
	on := func(dz float64) geom.Point {
		return lower.Add(geom.Point{X: -math.Tan(caster*deg) * dz, Y: -math.Tan(inclination*deg) * dz, Z: dz})
	}
	s := Scene{Label: Plain("Corner")}
	s.LowerFront, s.LowerRear, s.LowerBall = geom.Point{X: 0.2, Y: 0.33, Z: 0.34}, geom.Point{X: -0.2, Y: 0.33, Z: 0.33}, lower
	s.UpperFront, s.UpperRear, s.UpperBall = geom.Point{X: 0.15, Y: 0.44, Z: 0.69}, geom.Point{X: -0.19, Y: 0.45, Z: 0.67}, on(0.39)
	s.TieInner, s.TieOuter = geom.Point{X: -0.13, Y: 0.35, Z: 0.4}, geom.Point{X: -0.14, Y: 0.7, Z: 0.41}
	s.WheelCentre, s.Contact, s.AxisGround = geom.Point{Y: 0.82, Z: 0.4}, geom.Point{Y: 0.82}, on(-0.32)
	s.Spin = geom.Point{Y: 1}
	s.Radius, s.LoadedRadius, s.Width, s.ShoulderRadius = 0.42, 0.4, 0.3, 0.04
	s.Caster, s.Inclination = caster*deg, inclination*deg
	s.Trail, s.ScrubRadius = s.AxisGround.X, 0.82-s.AxisGround.Y
	return s
}

func drawing(view string, scenes ...Scene) *Drawing {
	return &Drawing{Head: Head{ID: "draw", Title: typed("A corner")}, View: view, Scenes: scenes}
}

// laid is how a drawing is laid out.
func laid(l layout, d *Drawing) *sheet {
	scenes, others := d.possible()
	return d.layOut(l, viewOf(d.View), scenes, others)
}

var notNumber = regexp.MustCompile(`NaN|Inf|e[+-]\d`)

// check fails on a drawing that is no well-formed XML, holds what is no number, or could run a script.
func check(t require.TestingT, p Picture) {
	for _, drawing := range []string{p.Wide.SVG, p.Narrow.SVG} {
		decoder := xml.NewDecoder(strings.NewReader(drawing))
		depth := 0
		for {
			token, err := decoder.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, drawing)
			switch token := token.(type) {
			case xml.StartElement:
				depth++
				require.Contains(t, elements, token.Name.Local)
				seen := map[string]bool{}
				for _, a := range token.Attr {
					require.False(t, seen[a.Name.Local], "an attribute twice")
					seen[a.Name.Local] = true
					require.NotEqual(t, "style", a.Name.Local, "pages forbid inline style")
					require.False(t, strings.HasPrefix(a.Name.Local, "on"), "script in an attribute")
					if geometry[a.Name.Local] {
						require.NotRegexp(t, notNumber, a.Value)
					}
				}
			case xml.EndElement:
				depth--
			}
		}
		require.Zero(t, depth)
	}
}

var (
	elements = []string{"svg", "g", "path", "text", "desc"}
	geometry = map[string]bool{"d": true, "x": true, "y": true, "viewBox": true, "width": true, "height": true}
)
