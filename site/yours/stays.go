package yours

import (
	"slices"
	"strings"

	"turnplate/sim"
	"turnplate/site/model"
)

// companion is a value that would change with others on a real truck, and stays the page's when a reader gives those
// alone. The form says so beside the first of them, with what would go with it.
type companion struct {
	path, label string
	of          []string // what moves it
	goes        func(page, now sim.Vehicle) (was, goes float64)
	where       string // on what that rests, if not on what the reader gave alone
}

// companions. A tyre's inertia goes as its mass and the square of its radius where it is made alike (geometric similarity).
// A lift carries the body's mass along, and a taller tyre raises all of it (common practice, no source: what doesn't rise
// with the lift is counted as if it did). The rear axle's stiffness is mostly its tyres' (the same).
var companions = []companion{
	{"CentreHeight", "the height of the centre of mass", []string{"Both.Lift", "RearLift", "Tyre", "Tyre.LoadedRadius"}, func(page, now sim.Vehicle) (float64, float64) {
		lift := now.FrontShare*(now.Front.Lift-page.Front.Lift) + (1-now.FrontShare)*(now.RearLift-page.RearLift)
		return page.CentreHeight, page.CentreHeight + lift + now.Tyre.LoadedRadius - page.Tyre.LoadedRadius
	}, ""},
	{"Spring.DroopTravel", "the droop travel", []string{"Both.Lift"}, func(page, now sim.Vehicle) (float64, float64) {
		return page.Spring.DroopTravel, page.Spring.DroopTravel + now.Front.Lift - page.Front.Lift
	}, " if spacers above the strut make the lift"},
	{"Tyre.Inertia", "the tyre’s inertia", []string{"Tyre", "Tyre.Mass", "Tyre.Radius"}, func(page, now sim.Vehicle) (float64, float64) {
		return page.Tyre.Inertia, page.Tyre.Inertia * alike(page.Tyre, now.Tyre)
	}, " if it is made alike"},
	{"Tyre.SteerInertia", "its steer inertia", []string{"Tyre", "Tyre.Mass", "Tyre.Radius"}, func(page, now sim.Vehicle) (float64, float64) {
		return page.Tyre.SteerInertia, page.Tyre.SteerInertia * alike(page.Tyre, now.Tyre)
	}, " if it is made alike"},
	{"RearCornering", "the rear axle’s cornering stiffness", []string{"Tyre.CorneringStiffness"}, func(page, now sim.Vehicle) (float64, float64) {
		return page.RearCornering, page.RearCornering * now.Tyre.CorneringStiffness / page.Tyre.CorneringStiffness
	}, " if the rear tyres are the same"},
}

// alike is how many times the inertia of a tyre another of the same make-up has.
func alike(page, now sim.Tyre) float64 {
	r := now.Radius / page.Radius
	return now.Mass / page.Mass * r * r
}

// stays says which values stay the page's although the one given here would move them, or "".
func (f Form) stays(path string) string {
	if f.Now == nil || f.Changes.Get(path) == nil {
		return ""
	}
	given := func(p string) bool { return f.Changes.Get(p) != nil }
	var list []string
	for _, c := range companions {
		if given(c.path) || c.of[max(slices.IndexFunc(c.of, given), 0)] != path {
			continue
		}
		field, _, _ := Lookup(strings.Split(c.path, "."))
		u := f.unit(Field{Of: field})
		was, goes := c.goes(model.Settled(f.Page), model.Settled(f.Now))
		before, after := figures(was/u.SI, 3), figures(goes/u.SI, 3)
		if was > 0 && goes > 0 && before != after {
			list = append(list, c.label+" stays "+u.Text(before)+", where about "+u.Text(after)+" would go with this"+c.where)
		}
	}
	if list == nil {
		return ""
	}
	return sentence(strings.Join(list, "; "))
}
