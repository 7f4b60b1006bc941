package sim

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"turnplate/sim/survey"
	"turnplate/sim/unit"
)

func init() { register[Survey, SurveyResult]() }

// Survey finds the points of the front corners from readings with a tape, a plumb line and a rule, more of them than
// are needed, so that each checks the others: it says how well every point is known, which reading is likely wrong,
// and which one would help most. Nothing is thrown out by itself.
//
// Readings is a CSV file with the columns Kind, From, To, Reading (mm) and, if wanted, Deviation (mm) and Note. Kinds:
//
//	tape     straight from the point From to the point To
//	floor    between the two points' plumb marks on the floor
//	height   of From above the floor
//	along    From ahead of the line through the front wheel centres' plumb marks; − behind it
//	across   From to the left of that line's middle; − to the right
//
// Points are called as in Corner, with "Right." before those of the right corner; any other word is a mark that only
// helps. The floor is flat and level, and the points stand as they were when they were read: the result has no Lift.
// The wheel centres' plumb marks give the origin and the y axis.
//
// Deviation is a reading's own standard deviation; without it Tape, Floor or Height stands. Deviations are taken as
// stated: they aren't scaled by the misfit. A point with nothing but readings of a wide deviation is an assumption.
//
// Start is a rough vehicle. It gives all that isn't read, and picks between a corner and its mirror image, which
// readings fit equally well; the right corner starts as the left one's mirror where Start has none. Of the corners that are
// read, each point that has no default must be tied down by readings; the right one is read when any of its points
// but the wheel centre is, and otherwise mirrors the left one.
//
// Over draws the points vary together, as errors of the readings would move them (a linear law), and nothing else
// does. Each reading's error is a source of its own, the same for every survey of that file. Helps may be any value
// calculated from the points of a survey of the same file, before it on the page or on another; Next is then the
// reading that most lowers its variance, or "none" where the points' part in it doesn't show over the draws.
//
// A point that is known to no better than 50 mm in some direction counts as not tied down: the law isn't linear over so
// much. Weighted least squares, redundancy and the standardised residual: E. M. Mikhail and F. Ackermann, Observations and
// Least Squares, Harper & Row 1976; W. Baarda, A testing procedure for use in geodetic networks, Delft 1968; both
// from memory. The method is at package survey.
type Survey struct {
	Readings []SurveyReading // readings("file.csv")
	Start    Vehicle         // rough; its front corner gives where to search

	Tape   float64 `unit:"mm" us:"inch" default:"2" must:">0"` // standard deviation of a tape reading (common practice, no source)
	Floor  float64 `unit:"mm" us:"inch" default:"2" must:">0"` // of a floor, along or across reading (common practice, no source)
	Height float64 `unit:"mm" us:"inch" default:"1" must:">0"` // of a height reading (common practice, no source)

	Helps *SurveyDraws `default:"all points together"` // a value to be better known, which varies with the points of a survey of these readings
}

// SurveyReading is one reading of a Survey.
type SurveyReading struct {
	Kind      string  // "tape", "floor", "height", "along" or "across"
	From      string  // a point of Corner, with "Right." before it for the right one's, or a mark
	To        string  `default:""`                      // the other point, of tape and floor alone
	Reading   float64 `unit:"mm" us:"inch"`             // as read
	Deviation float64 `unit:"mm" us:"inch" default:"0"` // its standard deviation; 0: the usual one of its kind
}

// SurveyDraws is a value of any dimension over draws, beside the errors that the readings were drawn with.
type SurveyDraws struct {
	Value  []float64   // one for each draw that has one
	Errors [][]float64 // for each draw the readings' errors, in their own deviations
}

// SurveyResult is the points as measured and what the readings say of one another.
type SurveyResult struct {
	Front Corner // Start's, with the points that were read; no Lift
	Right Corner // the same for the right one, described as if it were a left one

	Row          []string  // each reading: "tape UpperBall to LowerBall"
	Reading      []float64 `unit:"mm" us:"inch"`                                      // as read
	Residual     []float64 `unit:"mm" us:"inch"`                                      // computed less read
	Standardised []float64 `unit:"1" absent:"nothing checks this reading"`            // Residual in its own standard deviations; absent where nothing checks the reading
	Redundancy   []float64 `unit:"1"`                                                 // 0: nothing checks the reading; 1: all of an error shows
	Detectable   []float64 `unit:"mm" us:"inch" absent:"nothing checks this reading"` // smallest error of this reading that shows four times in five, at one false alarm in a thousand

	Suspect  string  // the reading with the largest Standardised; worth reading again above 3.29
	RunnerUp string  // the one after it: two that check each other are hard to tell apart
	Next     string  // the reading, repeated or new, that would help most, or "none"
	Misfit   float64 `unit:"1"` // sum of (Residual/deviation)², chi-square if the deviations are right
	Freedom  float64 `unit:"1"` // its degrees of freedom: readings less unknowns

	net *surveyNet
	fit *survey.Adjustment
}

// ReadingError is a mistake in one reading of a Survey.
type ReadingError struct {
	Row     int      // from 0
	Column  string   // "Kind", "From", "To", "Reading" or "Deviation"
	Word    string   // what stands there, where it is a name that isn't known
	Known   []string // names that it may have been meant to be
	Message string
}

func (e ReadingError) Error() string {
	return fmt.Sprintf("Readings[%d].%s: %s", e.Row+1, e.Column, e.Message)
}

// PointNotTied is the error of a survey whose readings leave a point loose.
type PointNotTied struct {
	Point   string // as in a reading: "Right.UpperBall"
	Reading string // the reading that would tie it best
	More    int    // how many more would be wanted after it, there or elsewhere
}

func (e PointNotTied) Error() string {
	text := fmt.Sprintf("the readings don't tie %s down; the reading %q would", e.Point, e.Reading)
	if e.More > 0 {
		text = fmt.Sprintf("the readings don't tie %s down; begin with the reading %q, after which %s", e.Point, e.Reading, wanted(e.More))
	}
	return text
}

func wanted(n int) string {
	if n == 1 {
		return "1 more is wanted"
	}
	return fmt.Sprintf("%d more are wanted", n)
}

// surveyKinds are the kinds of reading as a notebook writes them.
var surveyKinds = []string{survey.Tape: "tape", survey.Floor: "floor", survey.Height: "height", survey.Along: "along", survey.Across: "across"}

// SurveyPoints lists the points that a reading may name, in the order of Corner, and tells which of them a survey
// must tie down.
func SurveyPoints() (names []string, needed []bool) {
	for _, f := range Fields(reflect.TypeFor[Corner]()) {
		if f.Type == reflect.TypeFor[Point]() && f.Unit.Dim != unit.None {
			names, needed = append(names, f.Name), append(needed, f.Required)
		}
	}
	return names, needed
}

// mostReadings bounds the time of a survey, which grows with the cube of the readings; a card asks for a hundred.
const mostReadings = 300

// Uses lists what the result depends on.
func (Survey) Uses() []string {
	var list []string
	names, _ := SurveyPoints()
	for _, n := range names {
		list = append(list, "Start.Front."+n, "Start.Right."+n)
	}
	return list
}

// Optional lists what the model can do without: a point without a start is placed by its readings.
func (m Survey) Optional() []string { return m.Uses() }

// Run gives the points. The error is a ReadingError, PointNotTied, or says which amount can't be.
func (m Survey) Run() (SurveyResult, error) { return m.RunKnown(nil) }

// RunKnown is Run without the search where an earlier run of the same survey, whatever it Helps, found these numbers
// (SurveyResult.Known). Too few or too many aren't used.
func (m Survey) RunKnown(known []float64) (SurveyResult, error) {
	switch {
	case len(m.Readings) == 0:
		return SurveyResult{}, NotGiven{"Readings"}
	case len(m.Readings) > mostReadings:
		return SurveyResult{}, fmt.Errorf("a survey takes at most %d readings; these are %d", mostReadings, len(m.Readings))
	}
	names, _ := SurveyPoints()
	for i := range m.Readings { // before all else, because a mistake in a file is told at its place there
		if err := m.check(i, names); err != nil {
			return SurveyResult{}, err
		}
	}
	if err := checkInputs(&m); err != nil {
		return SurveyResult{}, err
	}
	n, err := m.network()
	if err != nil {
		return SurveyResult{}, err
	}
	for i := range n.points {
		if at, _ := n.startOf(&n.points[i]); !finite(at.Norm()) {
			return SurveyResult{}, fmt.Errorf("Start's %s isn't a number", n.points[i].name)
		}
	}
	fit := n.Known(len(n.start), known)
	if fit == nil {
		if fit, err = n.search(); err != nil {
			return SurveyResult{}, err
		}
	}
	r := SurveyResult{
		Row: n.rows, Residual: fit.Residual, Standardised: fit.Standardised, Redundancy: fit.Redundancy, Detectable: fit.Detectable,
		Suspect: "none", RunnerUp: "none", Misfit: fit.Misfit, Freedom: float64(fit.Freedom), net: n, fit: fit,
	}
	for _, reading := range m.Readings {
		r.Reading = append(r.Reading, reading.Reading)
	}
	r.Front, r.Right = n.corners(fit.X)
	first, second := fit.Suspects()
	if first >= 0 {
		r.Suspect = n.rows[first]
	}
	if second >= 0 {
		r.RunnerUp = n.rows[second]
	}
	r.Next, err = m.next(n, fit)
	return r, err
}

// search finds the points that agree best with the readings.
func (n *surveyNet) search() (*survey.Adjustment, error) {
	starts := n.Starts(n.start)
	fit, err := n.AdjustFrom(starts)
	var loose survey.NotTied
	switch {
	case errors.As(err, &loose):
		return nil, n.loosePoint(loose, starts[0])
	case err != nil:
		return nil, errors.New("no points near Start agree with the readings: a reading or a point of Start is far off")
	}
	return fit, nil
}

// Known are the numbers that were found, for RunKnown: plain SI, and NaN where nothing checks a reading.
func (r *SurveyResult) Known() []float64 { return r.fit.Numbers() }

// Read lists the points that were read, as in a reading, without marks.
func (r *SurveyResult) Read() (names []string) {
	for i := range r.net.points {
		if p := &r.net.points[i]; p.corner() {
			names = append(names, p.name)
		}
	}
	return names
}

// Draw gives the points that Read lists, each as its corner has it, as they would have been found had each reading been
// off by errors, in its own standard deviations.
func (r *SurveyResult) Draw(errors []float64) (points []Point) {
	x := make([]float64, len(r.fit.X))
	r.fit.Draw(x, errors)
	for i := range r.net.points {
		if r.net.points[i].corner() {
			points = append(points, r.net.cornerPoint(i, x))
		}
	}
	return points
}

// next names the reading that would help most.
func (m *Survey) next(n *surveyNet, fit *survey.Adjustment) (string, error) {
	weight := make([]float64, len(fit.X))
	for i := range n.points {
		if !n.points[i].corner() {
			continue
		}
		for _, c := range n.Points[i] {
			if c.Sign != 0 {
				weight[c.Unknown]++
			}
		}
	}
	gain := func(r survey.Reading) float64 { return n.GainTogether(fit, r, weight) }
	if m.Helps != nil {
		slopes, err := m.Helps.slopes(fit)
		if err != nil || slopes == nil {
			return "none", err
		}
		gain = func(r survey.Reading) float64 { return n.Gain(fit, r, slopes) }
	}
	best, most := "", 0.0
	for _, c := range n.possible(m) {
		// Where two help alike but for rounding, on either side of a vehicle that is measured alike, the first is it.
		if g := gain(c); g > most*(1+1e-9) {
			best, most = n.label(c), g
		}
	}
	return best, nil
}

// unlikely is the probability, by chance, of a link with the points as strong as the one that is seen, above which
// none counts as seen.
const unlikely = 1e-3

// slopes is how the value changes with the unknowns: least squares over the draws, on the unknowns as drawn. It is nil
// where the fit could be chance's.
func (d *SurveyDraws) slopes(fit *survey.Adjustment) ([]float64, error) {
	u := len(fit.X)
	var rows, values []float64
	mean := 0.0
	if len(d.Errors) != len(d.Value) {
		return nil, fmt.Errorf("Helps has %d values for %d draws of the readings' errors", len(d.Value), len(d.Errors))
	}
	for k, v := range d.Value {
		if len(d.Errors[k]) != len(fit.Residual) {
			return nil, fmt.Errorf("Helps was drawn with errors of %d readings, not of %d", len(d.Errors[k]), len(fit.Residual))
		}
		x := make([]float64, u)
		fit.Draw(x, d.Errors[k])
		rows = append(rows, 1)
		for j := range x {
			rows = append(rows, (x[j]-fit.X[j])/math.Sqrt(fit.Covariance.At(j, j)))
		}
		values = append(values, v)
		mean += v
	}
	count := len(values)
	if count < 2*(u+1) {
		return nil, fmt.Errorf("Helps has a value in %d draws; to tell its share of %d unknowns it needs %d", count, u, 2*(u+1))
	}
	mean /= float64(count)
	design, y := mat.NewDense(count, u+1, rows), mat.NewVecDense(count, values)
	var b, model mat.VecDense
	if err := b.SolveVec(design, y); err != nil {
		return nil, errors.New("Helps: the draws don't tell the points apart")
	}
	model.MulVec(design, &b)
	var of, left float64
	for k := range count {
		of += (model.AtVec(k) - mean) * (model.AtVec(k) - mean)
		left += (values[k] - model.AtVec(k)) * (values[k] - model.AtVec(k))
	}
	f := distuv.F{D1: float64(u), D2: float64(count - u - 1)}
	if of == 0 || left > 0 && !(f.Survival((of/float64(u))/(left/float64(count-u-1))) < unlikely) {
		return nil, nil // what else it hangs on drowns the points' part, if they have any
	}
	slopes := make([]float64, u)
	for j := range slopes {
		slopes[j] = b.AtVec(j+1) / math.Sqrt(fit.Covariance.At(j, j))
	}
	return slopes, nil
}

// loosePoint names a point that isn't tied down, and the reading that would tie it.
func (n *surveyNet) loosePoint(e survey.NotTied, x []float64) error {
	loosest, most := 0, 0.0
	for i := range n.points {
		sum := 0.0
		for _, c := range n.Points[i] {
			if c.Sign == 0 {
				continue
			}
			for _, direction := range e.Unknowns {
				sum += direction[c.Unknown] * direction[c.Unknown]
			}
		}
		if sum > most*(1+1e-9) {
			loosest, most = i, sum
		}
	}
	out := PointNotTied{Point: n.points[loosest].name, More: len(e.Unknowns) - 1}
	best := 0.0
	for _, c := range n.possible(n.survey) {
		if c.From != loosest && (!c.Kind.Pair() || c.To != loosest) {
			continue
		}
		if g := n.Fixes(e, c, x); g > best*(1+1e-9) {
			out.Reading, best = n.label(c), g
		}
	}
	return out
}

// possible lists what else could be read: each point by itself, and pairs of points with a tape or by their plumb
// marks. Across the vehicle only plumb marks are joined, and what was taped before: engine and frame stand between.
func (n *surveyNet) possible(m *Survey) (list []survey.Reading) {
	for p := range n.points {
		for _, k := range []survey.Kind{survey.Height, survey.Along, survey.Across} {
			if c := n.Points[p][[...]int{survey.Along: 0, survey.Across: 1, survey.Height: 2}[k]]; c.Sign != 0 {
				list = append(list, survey.Reading{Kind: k, From: p, Deviation: m.usual(k)})
			}
		}
	}
	for p := range n.points {
		for q := range p {
			from, to := &n.points[q], &n.points[p]
			if from.flat() || to.flat() {
				continue
			}
			if from.side == to.side || !from.corner() || !to.corner() {
				list = append(list, survey.Reading{Kind: survey.Tape, From: q, To: p, Deviation: m.Tape})
			}
			list = append(list, survey.Reading{Kind: survey.Floor, From: q, To: p, Deviation: m.Floor})
		}
	}
	for _, r := range n.Readings {
		r.Deviation = m.usual(r.Kind)
		list = append(list, r)
	}
	return list
}

// usual is the standard deviation of a kind of reading that has none of its own.
func (m *Survey) usual(k survey.Kind) float64 {
	switch k {
	case survey.Tape:
		return m.Tape
	case survey.Height:
		return m.Height
	}
	return m.Floor
}

// label names a reading in a sentence.
func (n *surveyNet) label(r survey.Reading) string {
	text := surveyKinds[r.Kind] + " " + n.points[r.From].name
	if r.Kind.Pair() {
		text += " to " + n.points[r.To].name
	}
	return text
}

// distinctRows gives repeated labels their count.
func distinctRows(labels []string) []string {
	seen := map[string]int{}
	out := slices.Clone(labels)
	for i, l := range labels {
		if seen[l]++; seen[l] > 1 {
			out[i] = fmt.Sprintf("%s (%d)", l, seen[l])
		}
	}
	return out
}

// listedOr joins names: "a, b or c".
func listedOr(names []string) string {
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}
