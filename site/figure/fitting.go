package figure

// Fitting is one printable page for whoever fits the upper arms at home: how long each leg is set, where the spacers
// go, whether the eyes bind, how far the rubber is twisted, what to read before and after.
type Fitting struct {
	Head
	unplotted
	Vehicle string
	Rows    []FittingRow // settings, in the order of the work
	Checks  []FittingRow // what follows from them
	Angles  []SheetAngle // what the alignment should read with all of it set
	Notes   []Text
}

// FittingRow is one line of the page for both sides.
type FittingRow struct {
	What        string
	Left, Right Span
	Says        string // what to do with it, or what it means
}

func (*Fitting) Draw(System) Picture        { return Picture{} }
func (f *Fitting) Marks() int               { return len(f.Rows) + len(f.Checks) + len(f.Angles) }
func (*Fitting) Template() (string, string) { return "fitting", "" }

// records are the page's settings, checks and targets, one a row.
func (f *Fitting) records(system System) [][]string {
	rows := [][]string{{"What", "Left", "Right"}}
	for _, list := range [][]FittingRow{f.Rows, f.Checks} {
		for _, r := range list {
			rows = append(rows, []string{inert(r.What), inert(Text{r.Left}.In(system)), inert(Text{r.Right}.In(system))})
		}
	}
	for _, a := range f.Angles {
		rows = append(rows, []string{inert(a.Name), plainNumber(a.Target), ""})
	}
	return rows
}
