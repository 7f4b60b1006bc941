package figure

import "slices"

// Sheet is one printable page for the alignment shop: targets it can reach, where the adjusters start, and
// blanks to write in.
type Sheet struct {
	Head
	Vehicle  string
	Angles   []SheetAngle
	Settings []SheetSetting
	Notes    []Text
}

// SheetAngle is one line of targets.
type SheetAngle struct {
	Name    string // "Caster, left"
	Target  string // in degrees and decimals
	Minutes string // the same in degrees and minutes
	From    string // lowest and
	To      string // highest that will do
	Before  string // as it was measured before, or ""
}

// SheetSetting is where an adjuster starts on each side.
type SheetSetting struct {
	Name        string
	Left, Right Cell
}

// Measured says whether the sheet has a column of earlier measurements.
func (sh *Sheet) Measured() bool {
	return slices.ContainsFunc(sh.Angles, func(a SheetAngle) bool { return a.Before != "" })
}

func (*Sheet) Axes() []string             { return nil }
func (*Sheet) Draw(System) Picture        { return Picture{} }
func (*Sheet) Table(int) (*Table, int)    { return nil, 1 }
func (sh *Sheet) Marks() int              { return len(sh.Angles) + len(sh.Settings) }
func (*Sheet) steady([]Figure)            {}
func (*Sheet) Sharing() Sharing           { return Unshared }
func (*Sheet) Template() (string, string) { return "sheet", "" }

// records are the sheet's targets and settings, one a row.
func (sh *Sheet) records(system System) [][]string {
	rows := [][]string{{"What", "Target", "From", "To", "Before", "Left", "Right"}}
	for _, a := range sh.Angles {
		rows = append(rows, []string{inert(a.Name), plainNumber(a.Target), plainNumber(a.From), plainNumber(a.To), plainNumber(inert(a.Before)), "", ""})
	}
	for _, s := range sh.Settings {
		rows = append(rows, []string{inert(s.Name), "", "", "", "", plainNumber(s.Left.In(system)), plainNumber(s.Right.In(system))})
	}
	return rows
}
