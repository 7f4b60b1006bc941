package unit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Conversion factors of NIST Special Publication 811 (2008), appendix B.8, to the figures printed there
// (from memory; exact ones are marked *).
func TestSizesAgainstNIST(t *testing.T) {
	const printed = 5e-7 // relative: NIST prints seven figures
	for _, c := range []struct {
		unit string
		si   float64
	}{
		{"inch", 0.0254 /* * */}, {"ft", 0.3048 /* * */}, {"mile", 1609.344 /* * */}, {"lb", 0.45359237 /* * */},
		{"lbf", 4.448222}, {"psi", 6894.757}, {"lbf*ft", 1.355818}, {"lbf/inch", 175.1268}, {"mph", 0.44704 /* * */},
		{"kph", 1 / 3.6}, {"deg", 0.01745329}, {"bar", 1e5}, {"gravity", 9.80665 /* * */}, {"lb*ft*ft", 0.04214011},
	} {
		u, err := Parse(c.unit)
		require.NoError(t, err)
		assert.InEpsilon(t, c.si, u.SI, printed, c.unit)
	}
}

func TestParse(t *testing.T) {
	u := MustParse("N*m/deg")
	assert.Equal(t, "N·m/°", u.Symbol)
	assert.Equal(t, Dim{Mass: 1, Length: 2, Time: -2, Angle: -1}, u.Dim)
	assert.InEpsilon(t, 180/math.Pi, u.SI, 1e-15)
	_, err := Parse("N*metre")
	assert.EqualError(t, err, `"metre" is not a unit`)
	assert.Equal(t, "1/s", MustParse("1/s").Name)
	for name, symbol := range map[string]string{"kg*m*m": "kg·m²", "m/s/s": "m/s²", "lb*ft*ft": "lb·ft²", "1/s": "1/s", "N*m*s/rad": "N·m·s/rad", "kg/m/s": "kg/(m·s)", "1": ""} {
		assert.Equal(t, symbol, MustParse(name).Symbol)
	}
	euro := Unit{Name: "money", Symbol: "€", Dim: Money, SI: 1}
	assert.Equal(t, "€/h", euro.Div(MustParse("hour")).Symbol)
	assert.Equal(t, "4°", MustParse("deg").Text("4"))
	assert.Equal(t, "4\u00a0mm", MustParse("mm").Text("4"))
	assert.Equal(t, "4", MustParse("1").Text("4"))
}

func TestDimensions(t *testing.T) {
	force := MustParse("N").Dim
	assert.Equal(t, "force", force.String())
	assert.Equal(t, force, MustParse("kg*m/s/s").Dim)
	assert.Equal(t, "torque or energy", force.Mul(Length).String())
	assert.Equal(t, None, force.Div(force))
	half, ok := Length.Mul(Length).Sqrt()
	assert.True(t, ok)
	assert.Equal(t, Length, half)
	_, ok = Length.Sqrt()
	assert.False(t, ok)
}

func TestCounterpart(t *testing.T) {
	for _, c := range []struct{ metric, us string }{{"mm", "inch"}, {"N*m", "lbf*ft"}, {"N/mm", "lbf/inch"}, {"kPa", "psi"}, {"deg", "deg"}, {"N*m/deg", "lbf*ft/deg"}} {
		assert.Equal(t, c.us, MustParse(c.metric).Counterpart(true).Name)
		assert.Equal(t, c.metric, MustParse(c.us).Counterpart(false).Name)
		assert.Equal(t, MustParse(c.metric).Dim, MustParse(c.us).Dim)
	}
	euro := Unit{Name: "money", Symbol: "€", Dim: Money, SI: 1}
	assert.Equal(t, euro, euro.Counterpart(true), "a currency keeps its symbol")
}

// The name of a product or quotient reads back as that unit, whatever it is made of.
func TestNamesReadBack(t *testing.T) {
	parts := []string{"1", "m", "1/s", "s*s", "N*s/m", "m/s/s", "kg*m*m", "1/s/s"}
	for _, a := range parts {
		for _, b := range parts {
			u, v := MustParse(a), MustParse(b)
			for _, made := range []Unit{u.Mul(v), u.Div(v)} {
				if made.Name == "" {
					assert.Equal(t, None, made.Dim)
					continue
				}
				again := MustParse(made.Name)
				assert.Equal(t, made.Dim, again.Dim, "%s and %s: %s", a, b, made.Name)
				assert.Equal(t, made.Symbol, again.Symbol, "%s and %s: %s", a, b, made.Name)
			}
		}
	}
	assert.Equal(t, "m/s²", MustParse("m").Div(MustParse("s*s")).Symbol)
	assert.Equal(t, "%·m/(N·s)", MustParse("percent").Div(MustParse("N*s/m")).Symbol)
}
