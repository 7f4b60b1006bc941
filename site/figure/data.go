// Package figure holds what a block can put on the page, as plain data, and draws it.
//
//	Text      a sentence with calculated numbers in it
//	Curves    lines over an axis, with bands where uncertain
//	Table     rows and columns
//	Drawing   the geometry to scale
//	Claim     a statement that was checked
//	Exercise  a question with its calculated answer
//
// Numbers are coherent SI; NaN is a gap. Which unit is shown is decided when drawing, so that one figure
// serves metric and US readers.
package figure

import (
	"turnplate/sim/geom"
	"turnplate/sim/unit"
)

// Figure is one item that a block puts on the page. A kind of figure is this interface and its name in the
// block language (package eval): whoever adds one and forgets a part of it can't compile.
type Figure interface {
	head() *Head
	// Axes are the fields of the block language that name an axis to show side by side, for hints.
	Axes() []string
	// Draw gives the drawing with its legend, and what its caption must say; the zero Picture where there is neither.
	Draw(System) Picture
	// records are its numbers as the rows of a file, the heads first; nil where it has none.
	records(System) [][]string
	// Table is its numbers to read, with at most so many calculated rows; every tells one in how many. Nil where
	// the page shows none.
	Table(most int) (t *Table, every int)
	// Marks counts the points, bars and cells that it shows, for the limit of a page.
	Marks() int
	// steady gives figures of its kind, itself among them, the same axes: they are one figure at the positions of
	// its dials.
	steady(all []Figure)
	dress(Looks)
	// Sharing says how well it serves as the picture that stands for its page elsewhere.
	Sharing() Sharing
	// Template is the page's template that lays it out, and the word that it is counted under ("Figure 3"), or "".
	Template() (name, counted string)
}

// Sharing is how well a figure serves as its page's picture elsewhere. Of those that serve best the first is taken.
type Sharing int

// From worst to best.
const (
	Unshared    Sharing = iota // never
	SharedLast                 // where there is no plot
	SharedFirst                // plots
)

// HeadOf is what a figure has in common with all others. It is no copy: a page may be dressed while another reads an id.
func HeadOf(f Figure) *Head { return f.head() }

func (h *Head) head() *Head { return h }

// Text is a sentence in pieces, so that a page can mark and re-express the calculated ones.
type Text []Span

// Span is a piece of a Text.
type Span struct {
	Text  Words // plain words, or a number with its unit
	Value bool  // calculated, not typed
}

// String joins the pieces.
func (t Text) String() string {
	s := ""
	for _, p := range t {
		s += p.Text.Metric
	}
	return s
}

// Head is what every figure takes.
type Head struct {
	ID                  string // unique on the page, a valid HTML id
	Title, Caption, Alt Text
	Share               bool // its author made it the page's picture elsewhere
	looks               Looks
}

// Scale is what a direction of a plot shows.
type Scale struct {
	Label  string    // "Caster", without the unit
	Metric unit.Unit // the unit metric readers see
	US     unit.Unit // the unit US readers see; the same as Metric where the notebook fixed one
}

// Curves is a plot of lines; with several Panels they share both scales.
type Curves struct {
	Head
	scales
	X, Y   Scale
	Panels []Panel
	Limits []Limit // of Y, in every panel
	// Ordered: the lines are steps of one quantity, in order; they are coloured from light to dark.
	Ordered bool
	// Along is a number for the axis that X runs over, the same in every figure of the page; 0 where there is none.
	// Places is X at each point of that axis, in the axis's order; nil where lines differ in it.
	Along  int
	Places []float64
	Absent int // combinations that have no value
}

// Panel is one small plot.
type Panel struct {
	Title  Words // none when there is one panel
	Lines  []Line
	Points []Points
}

// Line is one curve. X rises. Low and High bound the 95 % coverage interval, or are nil.
type Line struct {
	Label     Words // none when there is one line; the same in every panel for the same thing
	X, Y      []float64
	Low, High []float64
}

// Points are a reader's own measurements laid over the lines.
type Points struct {
	Label string
	X, Y  []float64
	Error []float64 // how far either way Y may be out; NaN where that isn't known, nil where it is of none
	Names []string  // one a point, or nil
}

// Claim is a statement about calculated values, and whether it holds.
type Claim struct {
	Head
	worded
	Says   Text
	Holds  bool
	Detail string // the first combination at which it fails, or the probability found
	Later  bool   // it is yet to be checked
}

// Exercise asks a question whose answer is calculated.
type Exercise struct {
	Head
	worded
	Ask, Working Text
	Answer       Text // with unit
	Within       Text // how close an answer must be, or empty
}

// Drawing shows corners to scale. Each Scene is drawn beside the others at one scale.
type Drawing struct {
	Head
	View   string // "front", "side", "top" or "oblique"
	Scenes []Scene
	Ghost  *Sketch            // drawn faint behind each; nil: none
	Points bool               // the points carry their names and coordinates
	beside []*Drawing         // at the other positions of the dials
	seen   func() []*prospect // look, once for all of them; nil where no dial moves it
}

// Scene is the geometry of one vehicle's left front corner as it stands, in metres, vehicle axes with z
// from the ground.
type Scene struct {
	Label Words
	Sketch
	Ends  []Sketch // where the pose of a drawing ends, drawn as ghosts
	Swept *Swept   // nil: not asked for
	// Other is the right corner as if it were a left one, to be laid over this one; nil: not asked for.
	Other *Sketch
	// Spread is how uncertain each of the Measured points is; nil where they aren't, or it wasn't asked for.
	Spread []Covariance
}

// Sketch is what a Drawing needs to know of a corner.
type Sketch struct {
	UpperFront, UpperRear, UpperBall geom.Point
	LowerFront, LowerRear, LowerBall geom.Point
	TieInner, TieOuter               geom.Point
	WheelCentre, Contact, AxisGround geom.Point // AxisGround: where the steering axis meets the ground
	Spin                             geom.Point // direction of the wheel's axis, + left
	Radius, LoadedRadius, Width      float64
	ShoulderRadius                   float64 // rounding of the tread's edge in section
	Caster, Inclination, Camber      float64
	Trail, ScrubRadius               float64
	Forward, Up                      geom.Point // level ahead and the vertical, in the axes that points are typed in
	GroundHeight                     float64    // of the ground under the wheel at rest, in those axes
}

// unplotted is what kinds embed that are no plots: no field of theirs names an axis, none of them has scales to keep still
// or numbers to read beside it, and none stands for its page elsewhere.
type unplotted struct{}

func (unplotted) Axes() []string          { return nil }
func (unplotted) Table(int) (*Table, int) { return nil, 1 }
func (unplotted) steady([]Figure)         {}
func (unplotted) Sharing() Sharing        { return Unshared }

// worded is what kinds embed that are words alone.
type worded struct{ unplotted }

func (worded) Draw(System) Picture       { return Picture{} }
func (worded) records(System) [][]string { return nil }
func (worded) Marks() int                { return 0 }

func (*Claim) Template() (string, string)    { return "claim", "" }
func (*Exercise) Template() (string, string) { return "exercise", "" }

// LongText is how many marks a text counts as, for the limit of a page: none for a short one.
func LongText(text string) int { return len(text) / 64 }

// Missing stands where a figure can't be made of a reader's own values.
type Missing struct {
	Head
	worded
	Of  Figure // a zero one of the kind that it would be
	Why string // or ""

	Later bool // it can be made, and will be
}

// Template counts it as what it would be, so that the other figures keep their numbers.
func (m *Missing) Template() (string, string) {
	_, counted := m.Of.Template()
	return "missing", counted
}
