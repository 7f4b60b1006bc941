package clearance

import "math"

// Range is an interval that is swept.
type Range struct{ From, To float64 }

// Swept is the smallest value of a quantity over a rectangle, and where.
type Swept struct{ Value, X, Y float64 }

// Sweep finds where over a rectangle each of several quantities is smallest. visit moves to a place; value gives
// quantity k there, or anything not below enough when it can tell that it is no smaller than that.
//
// It looks at a grid of nx by ny places, then goes downhill from every grid place that has no smaller neighbour and
// could hide the least (within margin of the least seen), by steps that are halved until they are as short as step.
// A valley narrower than the grid's spacing can be missed.
func Sweep(x, y Range, nx, ny, quantities int, margin, step float64, visit func(x, y float64) error, value func(k int, enough float64) float64) ([]Swept, error) {
	nx, ny = count(x, nx), count(y, ny)
	seen := make([]float64, quantities*nx*ny)
	least := make([]Swept, quantities)
	for k := range least {
		least[k].Value = math.Inf(1)
	}
	for j := range ny {
		for i := range nx {
			atX, atY := place(x, i, nx), place(y, j, ny)
			if err := visit(atX, atY); err != nil {
				return nil, err
			}
			for k := range least {
				v := value(k, least[k].Value+margin)
				seen[(k*ny+j)*nx+i] = v
				if v < least[k].Value {
					least[k] = Swept{v, atX, atY}
				}
			}
		}
	}
	for k := range least {
		grid := seen[k*nx*ny : (k+1)*nx*ny]
		start := least[k].Value
		for j := range ny {
			for i := range nx {
				v := grid[j*nx+i]
				if v > start+margin || !valley(grid, i, j, nx, ny) {
					continue
				}
				low, err := downhill(Swept{v, place(x, i, nx), place(y, j, ny)}, x, y, spacing(x, nx), spacing(y, ny), step,
					func(atX, atY, enough float64) (float64, error) {
						if err := visit(atX, atY); err != nil {
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

// downhill goes to the nearest place from which no step to any of eight sides, as short as step, leads lower
// (a compass search: T. G. Kolda, R. M. Lewis and V. Torczon, SIAM Review 45, 2003, from memory).
func downhill(at Swept, x, y Range, dx, dy, step float64, value func(x, y, enough float64) (float64, error)) (Swept, error) {
	for dx, dy = dx/2, dy/2; math.Max(dx, dy) >= step; {
		moved := false
		for _, way := range [...][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}} {
			toX := math.Max(x.From, math.Min(x.To, at.X+way[0]*dx))
			toY := math.Max(y.From, math.Min(y.To, at.Y+way[1]*dy))
			if toX == at.X && toY == at.Y {
				continue
			}
			v, err := value(toX, toY, at.Value)
			if err != nil {
				return at, err
			}
			if v < at.Value {
				at, moved = Swept{v, toX, toY}, true
				break
			}
		}
		if !moved {
			dx, dy = dx/2, dy/2
		}
	}
	return at, nil
}
