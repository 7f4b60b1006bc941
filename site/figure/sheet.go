package figure

import "slices"

// Sheet is one printable page for the alignment shop: targets it can reach, where the adjusters start, and
// blanks to write in.
type Sheet struct {
	Head
	unplotted
	Vehicle  string
	Stands   []SheetStand // how the vehicle is to stand while it is measured
	Angles   []SheetAngle
	Rim      Span // the rim's diameter that toe is told at; or nothing
	Settings []SheetSetting
	Cams     [2]SheetCams // left and right; for the sketch
	Notes    []Text
}

// SheetStand is one line of how the vehicle stands. Without a value it is a blank to fill in.
type SheetStand struct {
	What  string
	Value Span
}

// SheetCams are the cams of one side as they are to be set.
type SheetCams struct {
	Given       bool
	Front, Rear SheetCam
}

// SheetCam is one of them.
type SheetCam struct {
	Out  float64 // how far it moves its pivot outboard from where it was measured, in m
	Turn float64 // its angle from the middle of its range, in rad; above zero takes the pivot outboard
	Text string  // its angle
}

// SheetAngle is one line of targets.
type SheetAngle struct {
	Name    string // "Caster, left"
	Target  string // in degrees and decimals
	Minutes string // the same in degrees and minutes
	From    string // lowest and
	To      string // highest that will do
	Before  string // as it was measured before, or ""
	AtRim   Span   // of toe: the same between the rim's edges
}

// SheetSetting is where an adjuster starts on each side.
type SheetSetting struct {
	Name        string
	Left, Right Span
	Limit       string // "left at its limit", or ""
}

// Measured says whether the sheet has a column of earlier measurements.
func (sh *Sheet) Measured() bool {
	return slices.ContainsFunc(sh.Angles, func(a SheetAngle) bool { return a.Before != "" })
}

func (sh *Sheet) Marks() int              { return len(sh.Angles) + len(sh.Settings) }
func (*Sheet) Template() (string, string) { return "sheet", "" }

// records are the sheet's targets and settings, one a row.
func (sh *Sheet) records(system System) [][]string {
	rows := [][]string{{"What", "Target", "From", "To", "Before", "At the rim", "Left", "Right", "Limit"}}
	for _, s := range sh.Stands {
		rows = append(rows, []string{inert(s.What), inert(Text{s.Value}.In(system)), "", "", "", "", "", "", ""})
	}
	for _, a := range sh.Angles {
		rows = append(rows, []string{inert(a.Name), plainNumber(a.Target), plainNumber(a.From), plainNumber(a.To), plainNumber(inert(a.Before)), inert(Text{a.AtRim}.In(system)), "", "", ""})
	}
	for _, s := range sh.Settings {
		rows = append(rows, []string{inert(s.Name), "", "", "", "", "", inert(Text{s.Left}.In(system)), inert(Text{s.Right}.In(system)), inert(s.Limit)})
	}
	return rows
}
