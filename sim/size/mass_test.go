package size

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sheet is one tyre maker's size sheets (seen): mass in pounds, diameter and width in inches, turns a mile; mud tread, then
// all-terrain.
var sheet = map[string][2]struct{ pounds, diameter, width, perMile float64 }{
	"LT235/85R16": {{54, 32, 9.4, 648}, {44, 31.7, 9.3, 655}},
	"LT245/75R16": {{52, 30.7, 9.9, 674}, {44, 30.5, 9.8, 682}},
	"LT265/75R16": {{61, 31.8, 10.8, 651}, {50, 31.7, 10.5, 656}},
	"LT285/75R16": {{67, 33, 11.6, 628}, {56, 33.1, 11.3, 628}},
	"LT305/70R16": {{70, 33, 12.2, 628}, {63, 32.8, 12.2, 633}},
	"LT315/75R16": {{81, 34.9, 12.9, 595}, {65, 34.6, 12.3, 601}},
	"LT255/75R17": {{57, 32.3, 10.0, 644}, {48, 32, 10.0, 648}},
	"LT255/85R16": {{61, 33.5, 10.2, 0}, {}},
}

// The estimate against the sheets it was fitted to: no row lies further off than it says.
func TestTyreMassBySize(t *testing.T) {
	for size, row := range sheet {
		for i, tread := range []Tread{Mud, AllTerrain} {
			r := row[i]
			if r.pounds == 0 {
				continue
			}
			mass, misfit, err := TyreMass(r.diameter*inch, r.width*inch, tread)
			require.NoError(t, err, size)
			assert.InDelta(t, r.pounds*poundForce, mass, misfit+0.01, "%s, %s", size, tread)
		}
	}
	// A mud-tread 35 weighs 36.7 kg against 29.5 kg, a quarter more.
	mud, _, err := TyreMass(34.9*inch, 12.9*inch, Mud)
	require.NoError(t, err)
	allTerrain, _, err := TyreMass(34.6*inch, 12.3*inch, AllTerrain)
	require.NoError(t, err)
	assert.InDelta(t, 36.7, mud, 0.7)
	assert.InDelta(t, 29.5, allTerrain, 1.35)
	for name, row := range sheet {
		if row[1].pounds > 0 {
			ratio := row[0].pounds / row[1].pounds
			assert.True(t, ratio > 1.1 && ratio < 1.25, "%s: mud over all-terrain %.3f", name, ratio)
		}
	}
}

// Rolling over free circumference of the same sheets: 0.97 within 0.3 %, which is this project's default for a rolling radius.
func TestRollingCircumferenceBySize(t *testing.T) {
	const mile = 1609.344
	for name, row := range sheet {
		for i := range row {
			if r := row[i]; r.perMile > 0 {
				share := mile / (r.perMile * math.Pi * r.diameter * inch)
				assert.InEpsilon(t, RollingShare+0.0015, share, 0.004, "%s", name)
				assert.InDelta(t, 0.972, share, 0.003, "%s", name)
			}
		}
	}
}

// The nominal diameters of the designations lie within 2 % of the sheets' own.
func TestDiametersBySize(t *testing.T) {
	for name, row := range sheet {
		s := mustParse(t, name)
		for i := range row {
			if r := row[i]; r.pounds > 0 {
				assert.InEpsilon(t, r.diameter*inch, s.Diameter, 0.02, "%s", name)
				assert.InEpsilon(t, r.width*inch, s.Width, 0.05, "%s", name)
			}
		}
	}
}

func TestTyreMassOutsideItsSizes(t *testing.T) {
	for name, c := range map[string]struct {
		diameter, width float64
		tread           Tread
	}{
		"narrow": {0.80, 0.225, Mud}, "wide": {0.88, 0.34, Mud}, "tall": {0.94, 0.30, AllTerrain}, "low": {0.70, 0.24, Mud},
		"tread": {0.80, 0.26, "slick"}, "no number": {math.NaN(), 0.26, Mud},
	} {
		_, _, err := TyreMass(c.diameter, c.width, c.tread)
		assert.ErrorContains(t, err, "estimated", name)
	}
}
