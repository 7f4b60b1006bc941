package figure

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

func (*Sheet) figure() {}
