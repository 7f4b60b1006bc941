package size

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
)

// logFit gives the exponent n of load = c·pressure^n through a table's rows by least squares in logarithms, and the largest
// misfit.
func logFit(table []Row) (n, misfit float64) {
	var sx, sy, sxx, sxy float64
	count := float64(len(table))
	for _, r := range table {
		x, y := math.Log(r.Pressure), math.Log(r.Load)
		sx, sy, sxx, sxy = sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	n = (count*sxy - sx*sy) / (count*sxx - sx*sx)
	c := (sy - n*sx) / count
	for _, r := range table {
		misfit = math.Max(misfit, math.Abs(math.Exp(c+n*math.Log(r.Pressure))/r.Load-1))
	}
	return n, misfit
}

// The exponents of the tables seen, by logarithmic fit (computed by an independent script from the same rows): 0.65 to 0.70,
// but where the load index caps the table.
func TestLoadTablesFollowAPower(t *testing.T) {
	for size, want := range map[string]struct{ n, misfit float64 }{
		"LT235/85R16": {0.7005, 0.0080}, "31x10.50R15LT": {0.6933, 0.0031}, "33x12.50R17LT": {0.6776, 0.0102},
		"35x12.50R17LT": {0.5643, 0.0505}, "35x12.50R18LT": {0.6607, 0.0150}, "35x12.50R20LT": {0.6813, 0.0071},
	} {
		n, misfit := logFit(LightTruckLoads()[size])
		agree.Absolute(t, want.n, n, 5e-5, size+": exponent")
		agree.Absolute(t, want.misfit, misfit, 1.1e-4, size+": misfit")
	}
	n, misfit := logFit(LightTruckLoads()["35x12.50R17LT"][:6])
	agree.Absolute(t, 0.6816, n, 5e-5, "35x12.50R17, 25 to 50 psi: exponent")
	agree.Absolute(t, 0.0130, misfit, 1e-4, "35x12.50R17, 25 to 50 psi: misfit")
	for size, table := range LightTruckLoads() {
		s := mustParse(t, size)
		assert.Equal(t, size, s.basic())
		for i := 1; i < len(table); i++ {
			assert.True(t, table[i].Load > table[i-1].Load && table[i].Pressure > table[i-1].Pressure, size)
		}
	}
}

// What designations say of the load: index, table, or the smaller of both.
func TestRating(t *testing.T) {
	const kilogram, pascal = 0.05, 500
	for text, want := range map[string]struct{ load, pressure float64 }{
		"LT285/70R17 121/118S":   {1450, math.NaN()},         // load index 121 is 1450 kg (seen)
		"LT285/70R17/E 121/118S": {1450, 551.6e3},            // load range E: 80 psi
		"LT235/85R16/E 120/116R": {3042 * 0.45359237, 551e3}, // index 120 is 1400 kg, moulded are 3042 lb (seen): 1380
		"LT235/85R16/D 116/112Q": {2623 * 0.45359237, 448e3}, // at 65 psi
		"35x12.50R17LT 121Q":     {3195 * 0.45359237, 448e3}, // 1449 kg by the table, 1450 by the index
		"35x12.50R17LT 119Q":     {1360, 448e3},              // the index is the smaller
		"35x12.50R20LT":          {3195 * 0.45359237, 448e3}, // by the table alone
		"35x12.50R18LT/D 123Q":   {3415 * 0.45359237, 448e3}, // index 123 is 1550 kg = 3417 lb (seen: 3415)
		"31x10.50R15LT/C 109Q":   {2270 * 0.45359237, 344.7e3},
		"265/70R17 113S":         {1150, math.NaN()},
		"265/70R17":              {math.NaN(), math.NaN()},
		"P265/70R17 113S":        {1147.55 / 1.10, 240e3},   // by the formula, on a truck
		"P265/70R17 116T XL":     {1250 / 1.10, math.NaN()}, // extra load: the formula doesn't hold
		"35x10.50R17LT":          {math.NaN(), math.NaN()},
		"35x10.50R17LT/D 119Q":   {1360, 448e3},
		"285/70R17C":             {math.NaN(), math.NaN()},
		"37x12.50R17LT/D 124Q":   {1600, 448e3},   // 3525 lb (seen)
		"LT315/75R16/E 127/124Q": {1750, 551.6e3}, // 3860 lb (seen)
	} {
		load, pressure := mustParse(t, text).Rating()
		same := func(want, got, tolerance float64) bool {
			return math.IsNaN(want) && math.IsNaN(got) || math.Abs(want-got) <= tolerance
		}
		assert.True(t, same(want.load, load, kilogram), "%s: %g kg, want %g", text, load, want.load)
		assert.True(t, same(want.pressure, pressure, 1.5*pascal), "%s: %g Pa, want %g", text, pressure, want.pressure)
	}
}

// A tyre association's passenger formula (seen): rows computed by an independent script with the nominal width.
func TestPassengerLoad(t *testing.T) {
	for _, row := range []struct {
		text           string
		pressure, load float64
	}{
		{"P265/70R17", 240e3, 1147.55}, {"P265/70R17", 180e3, 993.81}, {"P245/75R16", 240e3, 1029.75}, {"P205/60R15", 240e3, 589.67},
	} {
		agree.Absolute(t, row.load, mustParse(t, row.text).PassengerLoad(row.pressure), 0.005, row.text)
	}
	agree.Absolute(t, 1150, mustParse(t, "P265/70R17").PassengerLoad(240e3), 0.01*1150, "its load index, 113")
	assert.True(t, math.IsNaN(mustParse(t, "P265/70R17").PassengerLoad(300e3)))
	assert.True(t, math.IsNaN(mustParse(t, "P265/35R17").PassengerLoad(240e3)))
}

// A worked answer (seen): P265/70R17 at 40 psi carries 2403 lb on a truck's placard, as a light-truck tyre 2403·1.1 = 2643 lb,
// which LT285/70R17 has at 50 psi (2755 lb). The 0.7 power from its rating of index 121 at 80 psi says the same.
func TestPassengerTyreForALightTruckOne(t *testing.T) {
	const pounds = 1450 / poundForce
	agree.Absolute(t, 2643, 2403*passengerOnTruck, 1, "the rule")
	at := func(psi float64) float64 { return pounds * math.Pow(psi/80, 0.7) }
	assert.Less(t, at(45), 2403*passengerOnTruck)
	assert.InEpsilon(t, 2755, at(50), 0.19, "at 50 psi: a table of its own bends differently")
}

// Load indices 90 to 119 (seen in two sellers' tables that agree), and pairs of index and pounds seen in load tables.
func TestLoadIndicesSeen(t *testing.T) {
	seen := []float64{
		600, 615, 630, 650, 670, 690, 710, 730, 750, 775, 800, 825, 850, 875, 900,
		925, 950, 975, 1000, 1030, 1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360,
	}
	for i, want := range seen {
		got, err := LoadOfIndex(90 + i)
		require.NoError(t, err)
		assert.Equal(t, want, got, "index %d", 90+i)
		assert.InEpsilon(t, 45*math.Pow(10, float64(90+i)/80), got, 0.0175, "the series behind the table, index %d", 90+i)
	}
	for index, pounds := range map[int]float64{111: 2405, 123: 3415, 124: 3525, 126: 3750, 127: 3860, 130: 4190} {
		got, err := LoadOfIndex(index)
		require.NoError(t, err)
		assert.InDelta(t, pounds*poundForce, got, 3, "index %d", index) // both sides are rounded
	}
	for index, want := range map[int]float64{117: 1285, 118: 1320, 121: 1450} {
		got, err := LoadOfIndex(index)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
}
