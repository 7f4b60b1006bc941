package clearance

import "math"

// Range is an interval that is swept.
type Range struct{ From, To float64 }

// Swept is the smallest value of a quantity over a rectangle, and where.
type Swept struct{ Value, X, Y float64 }

// Sweep says how a rectangle is searched.
type Sweep struct {
	X, Y          Range
	Columns, Rows int     // of the grid that is looked at first
	Margin        float64 // how far above the lowest place of the grid another may lie and still hide the least
	Step          float64 // shortest step of the search downhill
}

// Least finds where over the rectangle each of several quantities is smallest. visit moves to a place; value gives
// quantity k there, or, when it can tell that it is more than enough, anything that is more than enough.
//
// It looks at the grid, then goes downhill from every place of it that has no smaller neighbour and could hide
// the least. A valley narrower than the grid's spacing can be missed.
func (s *Sweep) Least(quantities int, visit func(x, y float64) error, value func(k int, enough float64) float64) ([]Swept, error) {
	nx, ny := count(s.X, s.Columns), count(s.Y, s.Rows)
	seen := make([]float64, quantities*nx*ny)
	least := make([]Swept, quantities)
	for k := range least {
		least[k].Value = math.Inf(1)
	}
	for j := range ny {
		for i := range nx {
			at := Swept{0, place(s.X, i, nx), place(s.Y, j, ny)}
			if err := visit(at.X, at.Y); err != nil {
				return nil, err
			}
			for k := range least {
				at.Value = value(k, least[k].Value+s.Margin)
				seen[(k*ny+j)*nx+i] = at.Value
				if at.Value < least[k].Value {
					least[k] = at
				}
			}
		}
	}
	for k := range least {
		grid, enough := seen[k*nx*ny:(k+1)*nx*ny], least[k].Value+s.Margin
		for j := range ny {
			for i := range nx {
				start := Swept{grid[j*nx+i], place(s.X, i, nx), place(s.Y, j, ny)}
				if start.Value > enough || !valley(grid, i, j, nx, ny) {
					continue
				}
				low, err := s.downhill(start, spacing(s.X, nx)/2, spacing(s.Y, ny)/2, func(x, y, enough float64) (float64, error) {
					if err := visit(x, y); err != nil {
						return 0, err
					}
					return value(k, enough), nil
				})
				if err != nil {
					return nil, err
				}
				if low.Value < least[k].Value {
					least[k] = low
				}
			}
		}
	}
	return least, nil
}

// count is one for an interval without length.
func count(r Range, n int) int {
	if r.To == r.From {
		return 1
	}
	return n
}

func place(r Range, i, n int) float64 {
	if n == 1 {
		return r.From
	}
	return r.From + float64(i)/float64(n-1)*(r.To-r.From)
}

func spacing(r Range, n int) float64 {
	if n == 1 {
		return 0
	}
	return (r.To - r.From) / float64(n-1)
}

// valley tells whether a grid place has no smaller neighbour.
func valley(grid []float64, i, j, nx, ny int) bool {
	here := grid[j*nx+i]
	for q := max(j-1, 0); q <= min(j+1, ny-1); q++ {
		for p := max(i-1, 0); p <= min(i+1, nx-1); p++ {
			if grid[q*nx+p] < here {
				return false
			}
		}
	}
	return true
}

// downhill goes, by steps that are halved when none leads lower, to where none of eight ways as short as Step does
// (a compass search: T. G. Kolda, R. M. Lewis and V. Torczon, SIAM Review 45, 2003). After each step that leads lower it
// tries the last two of them once more as one, so that a slanting valley isn't followed in zigzags (R. Hooke and T. A.
// Jeeves, Journal of the ACM 8, 1961; both from memory).
func (s *Sweep) downhill(at Swept, dx, dy float64, value func(x, y, enough float64) (float64, error)) (Swept, error) {
	before, last := at, at // where it was two steps ago and one
	try := func(x, y float64) (lower bool, err error) {
		x, y = max(s.X.From, min(s.X.To, x)), max(s.Y.From, min(s.Y.To, y))
		if x == at.X && y == at.Y {
			return false, nil
		}
		v, err := value(x, y, at.Value)
		if lower = err == nil && v < at.Value; lower {
			before, last, at = last, at, Swept{v, x, y}
		}
		return lower, err
	}
	for max(dx, dy) >= s.Step {
		lower, err := false, error(nil)
		for _, way := range [...][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}} {
			if lower, err = try(at.X+way[0]*dx, at.Y+way[1]*dy); lower || err != nil {
				break
			}
		}
		if !lower {
			dx, dy = dx/2, dy/2
		}
		for lower && err == nil {
			lower, err = try(2*at.X-before.X, 2*at.Y-before.Y)
		}
		if err != nil {
			return at, err
		}
	}
	return at, nil
}
