package page

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/canvas"
)

// rgb is a colour in linear light.
type rgb [3]float64

// palettes reads the colours of both themes out of the style sheet.
func palettes(t *testing.T) (light, dark map[string]rgb) {
	css, err := embedded.ReadFile("assets/page.css")
	require.NoError(t, err)
	head, rest, found := strings.Cut(string(css), "prefers-color-scheme: dark")
	require.True(t, found)
	rest, _, _ = strings.Cut(rest, "\n}\n")
	parse := func(text string, base map[string]rgb) map[string]rgb {
		colours := map[string]rgb{}
		for k, v := range base {
			colours[k] = v
		}
		for _, m := range regexp.MustCompile(`--([a-z]+\d?): #([0-9a-f]{6})`).FindAllStringSubmatch(text, -1) {
			var c rgb
			for i := range c {
				v, err := strconv.ParseUint(m[2][2*i:2*i+2], 16, 8)
				require.NoError(t, err)
				c[i] = linear(float64(v) / 255)
			}
			colours[m[1]] = c
		}
		return colours
	}
	light = parse(head, nil)
	return light, parse(rest, light)
}

// linear undoes the transfer curve of sRGB (IEC 61966-2-1).
func linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// contrast is the ratio of WCAG 2.2, success criterion 1.4.3.
func contrast(a, b rgb) float64 {
	l := func(c rgb) float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] + 0.05 }
	return max(l(a), l(b)) / min(l(a), l(b))
}

// lab is CIE L*a*b* under D65, and the distance in it CIE 1976's colour difference.
func lab(c rgb) [3]float64 {
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	x := f((0.4124*c[0] + 0.3576*c[1] + 0.1805*c[2]) / 0.9505)
	y := f(0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2])
	z := f((0.0193*c[0] + 0.1192*c[1] + 0.9505*c[2]) / 1.089)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

func difference(a, b rgb) float64 {
	p, q := lab(a), lab(b)
	return math.Sqrt(math.Pow(p[0]-q[0], 2) + math.Pow(p[1]-q[1], 2) + math.Pow(p[2]-q[2], 2))
}

// vision is what a colour looks like to a dichromat: the matrices of Machado, Oliveira and Fernandes, IEEE
// Transactions on Visualization and Computer Graphics 15, 2009, at severity 1 (values from memory).
var vision = map[string][3][3]float64{
	"normal":       {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritanopia":   {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

func seen(c rgb, m [3][3]float64) (out rgb) {
	for i := range out {
		for j := range c {
			out[i] += m[i][j] * c[j]
		}
		out[i] = min(max(out[i], 0), 1)
	}
	return out
}

func TestColours(t *testing.T) {
	const text, graphics = 4.5, 3 // least contrast, WCAG 2.2 criteria 1.4.3 and 1.4.11
	// Two marks of a figure are told apart at a glance from about ten units of colour difference on
	// (common practice, no source); dashes and markers tell them apart without any.
	const apart = 10
	light, dark := palettes(t)
	for theme, colours := range map[string]map[string]rgb{"light": light, "dark": dark} {
		for _, name := range []string{"ink", "soft", "link", "mark", "good", "bad"} {
			assert.GreaterOrEqual(t, contrast(colours[name], colours["paper"]), float64(text), "%s: %s on paper", theme, name)
			assert.GreaterOrEqual(t, contrast(colours[name], colours["wash"]), float64(text), "%s: %s on wash", theme, name)
		}
		var names []string
		for i := range 6 {
			names = append(names, fmt.Sprintf("s%d", i+1))
			steps := fmt.Sprintf("q%d", i+1)
			assert.GreaterOrEqual(t, contrast(colours[steps], colours["paper"]), float64(graphics), "%s: %s", theme, steps)
			if i > 0 {
				before := fmt.Sprintf("q%d", i)
				assert.Greater(t, contrast(colours[steps], colours["paper"]), contrast(colours[before], colours["paper"]), "%s: steps must keep their order", theme)
			}
		}
		for i, a := range names {
			assert.GreaterOrEqual(t, contrast(colours[a], colours["paper"]), float64(graphics), "%s: %s", theme, a)
			for _, b := range names[:i] {
				for eye, matrix := range vision {
					assert.GreaterOrEqual(t, difference(seen(colours[a], matrix), seen(colours[b], matrix)), float64(apart), "%s, %s: %s and %s", theme, eye, a, b)
				}
			}
		}
	}
}

// An ink is the style sheet's colour of its name in the light theme, so that a picture to share looks like the page,
// and the style sheet gives each its class.
func TestInksAreTheStyleSheets(t *testing.T) {
	css, err := embedded.ReadFile("assets/page.css")
	require.NoError(t, err)
	light, _, _ := strings.Cut(string(css), "prefers-color-scheme: dark")
	inks := []canvas.Ink{canvas.Paper, canvas.Wash, canvas.Rule, canvas.Soft, canvas.Black, canvas.Mark, canvas.Good, canvas.Bad}
	for i := range canvas.Hues {
		inks = append(inks, canvas.Separate(i), canvas.Step(i))
	}
	for _, ink := range inks {
		v := ink.Value()
		assert.Contains(t, light, fmt.Sprintf(" --%s: #%02x%02x%02x;", ink.Name(), v.R, v.G, v.B))
		assert.Contains(t, string(css), fmt.Sprintf(".%s { --c: var(--%[1]s); }", ink.Name()))
	}
}
