package figure

// Contours is a map of a value over two others, as lines of equal value; with several Panels they share
// scales and levels.
type Contours struct {
	Head
	scales
	X, Y, Z Scale
	Panels  []Field
	Levels  []float64 // rising, or nil: even steps are chosen
	Until   *float64  // Z at the edge of what is in reach, between points with and without a value; nil where that isn't known
	Absent  int       // points that have no value; they are drawn as out of reach
}

// Field is one map. X and Y rise.
type Field struct {
	Title Words // none when there is one map
	X, Y  []float64
	Z     [][]float64 // Z[row of Y][column of X]; NaN is out of reach
}

// Bars compares values side by side.
type Bars struct {
	Head
	scales
	XLabel string
	Y      Scale
	Names  []Words  // of the groups along X
	Steps  *Steps   // what the names print, where those are values
	Sets   []BarSet // one, or one for each alternative of By
	Absent int
}

// BarSet is one bar for each of the groups.
type BarSet struct {
	Label     Words // none when there is one set
	Y         []float64
	Low, High []float64 // ends of the 95 % coverage interval, or nil
}
