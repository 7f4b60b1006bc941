package eval

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is written as on paper, in a spreadsheet or in speech gets a message that says exactly what to write.
func TestHabits(t *testing.T) {
	for line, want := range map[string]string{
		"x := 2850 mm":             "2:6: a unit is a name to multiply by (write 2850*mm)",
		"x := 2850mm":              "2:6: a unit is a name to multiply by (write 2850*mm)",
		"x := 0.1°":                "2:6: a unit is a name to multiply by (write 0.1*deg)",
		"x := 5*°":                 "2:6: a unit is a name to multiply by (write 5*deg)",
		"x := 0°06'":               "2:6: degrees and minutes are written as degrees (write 0.1*deg)",
		"x := 2°30′15″*deg":        "2:6: degrees and minutes are written as degrees (write 2.504167*deg)",
		"x := 15.8\"":              "2:6: a unit is a name to multiply by (write 15.8*inch)",
		"x := 15,8\"":              "2:6: a unit is a name to multiply by (write 15.8*inch)",
		"x := 3'*ft":               "2:6: a unit is a name to multiply by (write 3*ft for feet, or 3/60*deg for minutes of arc)",
		"x := 5 %":                 "2:6: a unit is a name to multiply by (write 5*percent)",
		"x := 60 km/h":             "2:6: a unit is a name to multiply by (write 60*kph)",
		"x := 60*km/h":             "2:12: h isn't known here (as a unit, write hour)",
		"x := 10*Nm":               "2:9: Nm isn't known here (as a unit, write N*m)",
		"x := 5 N*m":               "2:6: a unit is a name to multiply by (write 5*N*m)",
		"x := 3*arcmin":            "2:8: arcmin isn't known here (as a unit, write deg/60)",
		"x := 3*in":                "2:8: in is a word of the form for numbers in prose, not a value (as a unit, write inch)",
		"x := 3*min":               "2:8: min is a function, not a value (as a unit, write minute)",
		"x := 17,5*kg":             "2:1: one name takes one value (a decimal comma parts two values; write 17.5)",
		"x := Tyre{Mass: 17,5*kg}": "2:17: this number is cut in two (a decimal comma parts two values; write 17.5)",
		"x := list(17,5*kg)":       "2:14: this is a mass, but the first value is a plain number (a decimal comma parts two values; write 17.5)",
		"x := abs(17,5*kg)":        "2:6: this call doesn't fit; write abs(number) (a decimal comma parts two values; write 17.5)",
		"x := 3*m/s²":              "2:6: powers are written as products (write 3*m/s/s)",
		"x := 3*mm²":               "2:6: powers are written as products (write 3*mm*mm)",
		"x := 2.5*N·m":             "2:10: a product is written with * (write N*m)",
		"x := 3×mm":                "2:6: a product is written with * (write 3*)",
		"x := −3*mm":               "2:6: this is a dash of print, not the minus sign of a keyboard (write -3)",
		"x := 45½*mm":              "2:6: fractions are written as decimals (write 45.5)",
		"y := \"3 mm\" + 3 mm":     "2:15: a unit is a name to multiply by (write 3*mm)",
	} {
		p := page(t, "```go params\n"+line+"\n```\n")
		if assert.NotEmpty(t, p.Faults, line) {
			assert.Equal(t, "a.md:"+want, p.Faults[0].Error(), line)
			assert.Len(t, p.Faults, 1, line)
		}
	}
	for text, want := range map[string]string{
		"{1*deg in deg to 0,1}":       "1:18: a rounding step is a plain number, with a decimal point, in the unit before it (write to 0.1)",
		"{1*mm in mm to 0.1 mm}":      "1:16: a rounding step is a plain number, with a decimal point, in the unit before it (write to 0.1)",
		"{1*percent to 0,1}":          "1:15: a rounding step is a plain number, with a decimal point, in the unit before it (write to 0.1)",
		"{1*deg in °}":                "1:11: a unit is written with its name (write deg)",
		"{1*deg in deg 0,1}":          "1:11: a unit and a rounding step are parted by the word to (write in deg to 0.1)",
		"{1*N*m in Nm}":               "1:11: Nm isn't a unit (as a unit, write N*m)",
		"{1*mm in in}":                "1:10: in isn't a unit (as a unit, write inch)",
		"{1*mm in inches to 1/16}":    "1:10: inches isn't a unit (as a unit, write inch)",
		"{from here to there}":        "",
		"{from a to 5 o'clock}":       "",
		"{a, b} and {word word}":      "",
		"{stay in town to 5 o'clock}": "",
	} {
		p := page(t, text+"\n")
		if want == "" {
			assert.Empty(t, p.Faults, text)
			continue
		}
		require.NotEmpty(t, p.Faults, text)
		assert.Equal(t, "a.md:"+want, p.Faults[0].Error(), text)
	}
}

// What is given for one turn of the handwheel is a length per angle: it divides into turns, and can be written back.
func TestPerTurn(t *testing.T) {
	p := good(t, "# A\n"+fence(`
one := Vehicle{Wheelbase: 2850*mm, Steering: Steering{RackPerTurn: 55*mm}}
turns := 110*mm/one.Steering.RackPerTurn
two := one
two.Steering.RackPerTurn = 2*one.Steering.RackPerTurn
three := one
three.Steering.RackPerTurn = 66*mm
`)+"\n{turns in turn} {one.Steering.RackPerTurn in mm/turn} {two.Steering.RackPerTurn in mm/turn} {three.Steering.RackPerTurn*turn in mm}\n")
	var got []string
	for _, text := range p.Inserts {
		got = append(got, text.String())
	}
	assert.Equal(t, []string{"2\u00a0turn", "55\u00a0mm/turn", "110\u00a0mm/turn", "66\u00a0mm"}, got)
}

// A value that isn't there says why: it lies beyond the ends, or there is none at this place.
func TestWhyAbsent(t *testing.T) {
	for block, want := range map[string]string{
		"x := span(-1, 4, 6)\ny := sqrt(x - 2)\nz := y.At(x, 1)": "this has no value: the square root of a negative number",
		"x := span(-1, 4, 6)\ny := sqrt(x - 2)\nz := y.At(x, 9)": "this has no value: outside x, which runs from −1 to 4",
		"x := span(-1, 4, 6)\ny := sqrt(x - 2)\nz := x.At(y, 9)": "this has no value: outside x, which runs from 0 to 1.41; elsewhere on it there is no value: the square root of a negative number",
	} {
		p := page(t, fence(block))
		if assert.NotEmpty(t, p.Faults, block) {
			assert.Equal(t, want, p.Faults[0].Message, block)
		}
	}
	p := page(t, fence(truck+"stop := Stopping{Vehicle: truck}"))
	require.NotEmpty(t, p.Faults)
	assert.Contains(t, p.Faults[0].Message, "; WheelInertia estimates it from sizes and masses: Tyre.Inertia takes its TyreSpin")
}
