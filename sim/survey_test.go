package sim

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/survey"
)

// usualSurvey has the usual deviations, as a notebook's has.
func usualSurvey(start Vehicle) Survey {
	return Survey{Start: start, Tape: 2e-3, Floor: 2e-3, Height: 1e-3}
}

// surveyAt is where a point of two corners is, in the vehicle's axes.
func surveyAt(left, right *Corner, name string) Point {
	if of, is := strings.CutPrefix(name, "Right."); is {
		p := *right.Place(of)
		p.Y = -p.Y
		return p
	}
	return *left.Place(name)
}

// take reads what a truck has, off by so much.
func (m *Survey) take(left, right *Corner, kind, from, to string, off float64) {
	n := survey.Network{Points: []survey.Place{fixedPlace(surveyAt(left, right, from)), {}}}
	if to != "" {
		n.Points[1] = fixedPlace(surveyAt(left, right, to))
	}
	k := survey.Kind(slices.Index(surveyKinds, kind))
	m.Readings = append(m.Readings, SurveyReading{Kind: kind, From: from, To: to, Reading: n.Computed(survey.Reading{Kind: k, To: 1}, nil) + off})
}

// cardSurvey is a survey of a truck by the card's own set of readings, each off by chance in its deviation.
func cardSurvey(start Vehicle, left, right Corner, rng *rand.Rand) Survey {
	m := usualSurvey(start)
	for _, c := range CardReadings() {
		for _, r := range append(c.Side(0), c.Side(1)...) {
			k := survey.Kind(slices.Index(surveyKinds, r.Kind))
			m.take(&left, &right, r.Kind, r.From, r.To, m.usual(k)*rng.NormFloat64())
		}
	}
	return m
}

// movedTruck has two corners whose points lie elsewhere by up to 40 mm, the sides by up to 10 mm.
func movedTruck(start Vehicle, rng *rand.Rand) (left, right Corner) {
	move := func(c *Corner, by float64) {
		for _, x := range c.coordinates() {
			*x += by * (2*rng.Float64() - 1)
		}
		c.WheelCentre.X = 0
	}
	left = start.Front
	move(&left, 0.04)
	right = left
	move(&right, 0.01)
	right.WheelCentre.Y = left.WheelCentre.Y
	return left, right
}

// A thousand trucks, each surveyed as the card asks, with one reading, picked at random, 20 mm wrong: it is named
// first or second. Nothing on the card goes unchecked.
func TestSurveyNamesTheBlunder(t *testing.T) {
	trucks := 1000
	if testing.Short() {
		trucks = 100
	}
	rng := rand.New(rand.NewPCG(13, 2026))
	start := testTruck()
	named, first, noticed := 0, 0, 0
	for range trucks {
		left, right := movedTruck(start, rng)
		m := cardSurvey(start, left, right, rng)
		wrong := rng.IntN(len(m.Readings))
		m.Readings[wrong].Reading += 0.02 * float64(1-2*rng.IntN(2))
		r, err := m.Run()
		require.NoError(t, err)
		assert.Greater(t, slices.Min(r.Redundancy), 0.15)
		switch r.Row[wrong] {
		case r.Suspect:
			first++
			named++
		case r.RunnerUp:
			named++
		}
		if math.Abs(r.Standardised[wrong]) > survey.Noticed {
			noticed++
		}
	}
	usual, err := new(cardSurvey(start, start.Front, start.Front, rng)).Run()
	require.NoError(t, err)
	assert.Greater(t, slices.Min(usual.Redundancy), 0.2)
	t.Logf("of %d trucks, the wrong reading is named first in %d, first or second in %d; its standardised residual is above %.2f in %d",
		trucks, first, named, survey.Noticed, noticed)
	assert.GreaterOrEqual(t, named, trucks*97/100)
	assert.GreaterOrEqual(t, noticed, trucks*97/100)
}

// Against scipy's least_squares over other unknowns (testdata/reference/survey.py): points, deviations, residuals and
// what is said of each reading, of one side and of both, with marks that only help.
func TestSurveyReference(t *testing.T) {
	var cases []struct {
		Start                              map[string][3]float64
		Readings                           [][]any
		Blunder                            int
		Points, Deviation                  map[string][3]float64
		Misfit, Freedom                    float64
		Residual, Redundancy, Standardised []float64
	}
	data, err := os.ReadFile("../testdata/reference/survey.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &cases))
	require.NotEmpty(t, cases)
	for _, c := range cases {
		m := usualSurvey(Vehicle{})
		for name, p := range c.Start {
			*m.Start.Front.Place(name) = Point{X: p[0], Y: p[1], Z: p[2]}
		}
		for _, r := range c.Readings {
			m.Readings = append(m.Readings, SurveyReading{r[0].(string), r[1].(string), r[2].(string), r[3].(float64), r[4].(float64)})
		}
		got, err := m.Run()
		require.NoError(t, err)
		assert.InDelta(t, c.Misfit, got.Misfit, 1e-4)
		assert.Equal(t, c.Freedom, got.Freedom)
		for i := range c.Residual {
			assert.InDelta(t, c.Residual[i], got.Residual[i], 1e-7)
			assert.InDelta(t, c.Redundancy[i], got.Redundancy[i], 1e-5)
			if c.Redundancy[i] > 1e-6 {
				assert.InDelta(t, c.Standardised[i], got.Standardised[i], 1e-3)
			}
		}
		for name, want := range c.Points {
			of, right := strings.CutPrefix(name, "Right.")
			p := *got.Front.Place(of)
			if right {
				p = *got.Right.Place(of)
				p.Y = -p.Y
			}
			for axis, x := range []float64{p.X, p.Y, p.Z} {
				assert.InDelta(t, want[axis], x, 1e-6, name)
			}
		}
		for name, want := range c.Deviation {
			i := slices.IndexFunc(got.net.points, func(p surveyPoint) bool { return p.name == name })
			for axis, coordinate := range got.net.Points[i] {
				if coordinate.Sign != 0 {
					assert.InDelta(t, want[axis], math.Sqrt(got.fit.Covariance.At(coordinate.Unknown, coordinate.Unknown)), 1e-7, name)
				}
			}
		}
	}
}

// Without errors of the readings a survey gives the truck that was read.
func TestSurveyGivesTheTruck(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 5))
	start := testTruck()
	start.Front.Lift = 0.05
	left, right := movedTruck(start, rng)
	m := usualSurvey(start)
	for _, c := range CardReadings() {
		for _, r := range append(c.Side(0), c.Side(1)...) {
			m.take(&left, &right, r.Kind, r.From, r.To, 0)
		}
	}
	r, err := m.Run()
	require.NoError(t, err)
	for i, want := range left.coordinates() {
		assert.InDelta(t, *want, *r.Front.coordinates()[i], 1e-8)
		assert.InDelta(t, *right.coordinates()[i], *r.Right.coordinates()[i], 1e-8)
	}
	assert.Zero(t, r.Front.Lift)
	assert.Equal(t, start.Front.ShaftInner, r.Front.ShaftInner, "what isn't read stays")
	assert.InDelta(t, 0, r.Misfit, 1e-6)
}

// With the left corner alone read, the right one is its mirror.
func TestSurveyOfOneSide(t *testing.T) {
	start := testTruck()
	m := usualSurvey(start)
	for _, c := range CardReadings() {
		if r := c.Side(0)[0]; c.Kind != "tape" {
			m.take(&start.Front, &start.Front, r.Kind, r.From, r.To, 0)
		}
	}
	r, err := m.Run()
	require.NoError(t, err)
	assert.Equal(t, r.Front, r.Right)
	assert.Equal(t, 1, int(r.Freedom), "the track is read twice, half of it across")
	assert.Equal(t, 1.0, math.Round(r.Freedom))
}

// A point that nothing ties down is named, with the reading that would.
func TestSurveyNamesWhatIsLoose(t *testing.T) {
	start := testTruck()
	full := cardSurvey(start, start.Front, start.Front, rand.New(rand.NewPCG(13, 6)))
	without := func(match func(r SurveyReading) bool) error {
		m := full
		m.Readings = slices.DeleteFunc(slices.Clone(full.Readings), match)
		_, err := m.Run()
		return err
	}
	assert.EqualError(t, without(func(r SurveyReading) bool { return r.Kind == "height" && r.From == "TieInner" }),
		`the readings don't tie TieInner down; the reading "height TieInner" would`)
	var loose PointNotTied
	require.ErrorAs(t, without(func(r SurveyReading) bool {
		return r.Kind != "across" && r.Kind != "height" && r.From == "Right.TieInner"
	}), &loose)
	assert.Equal(t, PointNotTied{Point: "Right.TieInner", Reading: "along Right.TieInner"}, loose)
	require.ErrorAs(t, without(func(r SurveyReading) bool { return r.From == "LowerRear" || r.To == "LowerRear" }), &loose)
	assert.Equal(t, "LowerRear", loose.Point)
	assert.Equal(t, 2, loose.More)
	require.ErrorAs(t, without(func(r SurveyReading) bool { return r.Kind != "tape" }), &loose)
}

// Each mistake in a reading is told with its row and column.
func TestSurveyRefusesBadReadings(t *testing.T) {
	start := testTruck()
	full := cardSurvey(start, start.Front, start.Front, rand.New(rand.NewPCG(13, 7)))
	last := len(full.Readings)
	for _, c := range []struct {
		reading SurveyReading
		column  string
		message string
	}{
		{SurveyReading{"chord", "UpperBall", "LowerBall", 0.4, 0}, "Kind", `a reading's kind is tape, floor, height, along or across, not "chord"`},
		{SurveyReading{"tape", "UpperBall", "", 0.4, 0}, "To", "a point's name is missing"},
		{SurveyReading{"tape", "", "UpperBall", 0.4, 0}, "From", "a point's name is missing"},
		{SurveyReading{"height", "UpperBall", "LowerBall", 0.4, 0}, "To", "height reads one point alone, so nothing can stand under To"},
		{SurveyReading{"tape", "Right.Hub", "UpperBall", 0.4, 0}, "From", `"Right.Hub" isn't a point of a corner`},
		{SurveyReading{"tape", "Front.UpperBall", "LowerBall", 0.4, 0}, "From", `"Front.UpperBall" isn't a point`},
		{SurveyReading{"tape", "UpperBal", "LowerBall", 0.4, 0}, "From", `"UpperBal" isn't a point of a corner, so it is a mark; it stands in 1 reading only, and a mark helps from 4 on`},
		{SurveyReading{"height", "UpperBal", "", 0.4, 0}, "From", "a mark helps from 2 on"},
		{SurveyReading{"tape", "UpperBall", "UpperBall", 0.4, 0}, "To", "a distance from a point to itself"},
		{SurveyReading{"tape", "UpperBall", "LowerBall", -0.4, 0}, "Reading", "a distance must be above zero"},
		{SurveyReading{"height", "UpperBall", "", -0.4, 0}, "Reading", "a height above the floor can't be below zero"},
		{SurveyReading{"height", "UpperBall", "", math.NaN(), 0}, "Reading", "the reading is missing: fill it in, or delete the row"},
		{SurveyReading{"height", "UpperBall", "", 1e5, 0}, "Reading", "more than a vehicle has"},
		{SurveyReading{"height", "UpperBall", "", 0.6, -1e-3}, "Deviation", "a reading's standard deviation must be at least 0.001 mm"},
		{SurveyReading{"along", "Right.WheelCentre", "", 0.01, 0}, "From", "a wheel centre's is 0 and says nothing"},
	} {
		m := full
		m.Readings = append(slices.Clone(full.Readings), c.reading)
		_, err := m.Run()
		var of ReadingError
		require.ErrorAs(t, err, &of, "%+v", c.reading)
		assert.Equal(t, last, of.Row)
		assert.Equal(t, c.column, of.Column)
		assert.Contains(t, of.Message, c.message)
	}
}

// Next is the reading that, taken, lowers the variance most: tried by taking each.
func TestSurveyNextByTaking(t *testing.T) {
	start := testTruck()
	m := cardSurvey(start, start.Front, start.Front, rand.New(rand.NewPCG(13, 8)))
	r, err := m.Run()
	require.NoError(t, err)
	together := func(r *SurveyResult) (sum float64) {
		for i := range r.net.points {
			for _, c := range r.net.Points[i] {
				if c.Sign != 0 {
					sum += r.fit.Covariance.At(c.Unknown, c.Unknown)
				}
			}
		}
		return sum
	}
	best, least := "", math.Inf(1)
	for _, c := range r.net.possible(&m) {
		more := m
		taken := SurveyReading{Kind: surveyKinds[c.Kind], From: r.net.points[c.From].name, Deviation: c.Deviation, Reading: r.net.Computed(c, r.fit.X)}
		if c.Kind.Pair() {
			taken.To = r.net.points[c.To].name
		}
		more.Readings = append(slices.Clone(m.Readings), taken)
		again, err := more.Run()
		require.NoError(t, err)
		if s := together(&again); s < least*(1-1e-9) {
			best, least = r.net.label(c), s
		}
	}
	assert.Equal(t, best, r.Next)
}

// A value that hangs on one coordinate is helped by reading that coordinate; one that hangs on none by none.
func TestSurveyNextHelps(t *testing.T) {
	start := testTruck()
	rng := rand.New(rand.NewPCG(13, 9))
	m := cardSurvey(start, start.Front, start.Front, rng)
	r, err := m.Run()
	require.NoError(t, err)
	helps, upperBall := &SurveyDraws{}, slices.Index(r.Read(), "UpperBall")
	for range 1000 {
		e := make([]float64, len(m.Readings))
		for i := range e {
			e[i] = rng.NormFloat64()
		}
		helps.Errors = append(helps.Errors, e)
		helps.Value = append(helps.Value, 3+2*r.Draw(e)[upperBall].X+1e-4*rng.NormFloat64())
	}
	m.Helps = helps
	r, err = m.Run()
	require.NoError(t, err)
	assert.Equal(t, "along UpperBall", r.Next)
	for k := range helps.Value {
		helps.Value[k] = rng.NormFloat64()
	}
	r, err = m.Run()
	require.NoError(t, err)
	assert.Equal(t, "none", r.Next)
}

// Over draws, points vary with the covariance that the readings leave.
func TestSurveyDraws(t *testing.T) {
	start := testTruck()
	rng := rand.New(rand.NewPCG(13, 10))
	m := cardSurvey(start, start.Front, start.Front, rng)
	r, err := m.Run()
	require.NoError(t, err)
	const draws = 20_000
	var sum, squares, product float64
	e := make([]float64, len(m.Readings))
	left, right := slices.Index(r.Read(), wheelCentre), slices.Index(r.Read(), "Right."+wheelCentre)
	for range draws {
		for i := range e {
			e[i] = rng.NormFloat64()
		}
		points := r.Draw(e)
		a, b := points[left].Y-r.Front.WheelCentre.Y, points[right].Y-r.Right.WheelCentre.Y
		sum, squares, product = sum+a, squares+a*a, product+a*b
	}
	i := slices.IndexFunc(r.net.points, func(p surveyPoint) bool { return p.name == wheelCentre })
	u := r.net.Points[i][1].Unknown
	assert.InEpsilon(t, r.fit.Covariance.At(u, u), squares/draws, 0.05) // five deviations of a variance of 20 000 draws
	assert.InEpsilon(t, squares, product, 1e-9, "the wheel centres stand equally far from the middle")
	assert.InDelta(t, 0, sum/draws, 5*math.Sqrt(squares/draws/draws))
}

// With the numbers that it found, a survey comes to the same result, bit for bit; what can't be those isn't used.
func TestSurveyKnown(t *testing.T) {
	start := testTruck()
	for seed := range uint64(5) {
		m := cardSurvey(start, start.Front, start.Front, rand.New(rand.NewPCG(seed, 12)))
		m.take(&start.Front, &start.Front, "height", "ShaftInner", "", 0)
		m.take(&start.Front, &start.Front, "along", "ShaftInner", "", 0)
		m.take(&start.Front, &start.Front, "across", "ShaftInner", "", 0)
		want, err := m.Run()
		require.NoError(t, err)
		require.True(t, slices.ContainsFunc(want.Standardised, math.IsNaN), "nothing checks these")
		for _, known := range [][]float64{want.Known(), nil, {1}, want.Known()[1:]} {
			got, err := m.RunKnown(known)
			require.NoError(t, err)
			assert.Equal(t, bitsOf(want), bitsOf(got))
			assert.Equal(t, []string{want.Next, want.Suspect, want.RunnerUp}, []string{got.Next, got.Suspect, got.RunnerUp})
		}
	}
}

// bitsOf are all numbers of a survey's result; what nothing checks has a NaN, which would equal nothing.
func bitsOf(r SurveyResult) (bits []uint64) {
	drawn := r.Draw(slices.Repeat([]float64{0.7}, len(r.Row)))
	for _, p := range append(drawn, r.Front.UpperBall, r.Right.UpperBall) {
		bits = append(bits, math.Float64bits(p.X), math.Float64bits(p.Y), math.Float64bits(p.Z))
	}
	for _, nums := range [][]float64{r.Known(), r.Residual, r.Standardised, r.Redundancy, r.Detectable, {r.Misfit, r.Freedom}} {
		for _, x := range nums {
			bits = append(bits, math.Float64bits(x))
		}
	}
	return bits
}

func BenchmarkSurvey(b *testing.B) {
	start := testTruck()
	m := cardSurvey(start, start.Front, start.Front, rand.New(rand.NewPCG(13, 11)))
	for b.Loop() {
		if _, err := m.Run(); err != nil {
			b.Fatal(err)
		}
	}
}

// fixedPlace is a place that is known.
func fixedPlace(p Point) survey.Place { return survey.Place{{At: p.X}, {At: p.Y}, {At: p.Z}} }
