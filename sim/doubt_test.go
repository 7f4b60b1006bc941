package sim

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// written tells which fields of a truck aren't left at zero.
func written(v *Vehicle) func(string) bool {
	given := map[string]bool{}
	for _, p := range parts() {
		given[p.path] = !reflect.ValueOf(v).Elem().FieldByIndex(p.index).IsZero()
		if right, ok := strings.CutPrefix(p.path, "Front."); ok && v.Right != nil {
			given["Right."+right] = !reflect.ValueOf(v.Right).Elem().FieldByIndex(p.index[1:]).IsZero()
		}
	}
	return func(field string) bool { return given[field] || strings.HasPrefix(field, "Body[") }
}

// TestEveryFieldHasAUsualRange fails for a field of a vehicle that the table doesn't know, and for a line that isn't
// a field's.
func TestEveryFieldHasAUsualRange(t *testing.T) {
	known := map[string]bool{}
	for _, p := range slices.Concat(parts(), obstacleParts()) {
		if p.field.Type.Kind() == reflect.Slice {
			if of := p.field.Type.Elem(); of.Kind() == reflect.Struct && of != reflect.TypeFor[Obstacle]() {
				t.Errorf("%s: a list of %s is looked over by nobody", p.key, of)
			}
			continue
		}
		known[p.key] = true
		u, ok := usual()[p.key]
		switch {
		case !ok:
			t.Errorf("%s has no line in the table of usual ranges (sim/usual.go); say free(\"why\") if it has no usual range", p.key)
		case u.Why != "":
		case u.Source == "":
			t.Errorf("%s: its range has no source", p.key)
		case p.field.Type == reflect.TypeFor[Point]():
			if !(u.From.X < u.To.X && u.From.Y < u.To.Y && u.From.Z < u.To.Z) {
				t.Errorf("%s has no box", p.key)
			}
		case !(u.Low < u.High && p.field.Must.Holds(u.High*p.field.Unit.SI) && (u.Low == 0 || p.field.Must.Holds(u.Low*p.field.Unit.SI))):
			t.Errorf("%s: its limits aren't in order: %+v", p.key, u)
		case !p.field.Required && p.field.Of == "":
			if f, odd := u.judge(p.path, &p.field, p.field.Default/p.field.Unit.SI); odd {
				t.Errorf("%s: its default is doubted: %s", p.key, f.Says)
			}
		}
	}
	for key := range usual() {
		if !known[key] {
			t.Errorf("the table has a line for %s, which isn't a field", key)
		}
	}
}

func told(found []Finding) string {
	var lines []string
	for _, f := range found {
		lines = append(lines, fmt.Sprintf("impossible=%v %v: %s (%s)", f.Impossible, f.Fields, f.Says, f.Hint))
	}
	return strings.Join(lines, "\n")
}

func TestNoSensibleTruckIsDoubted(t *testing.T) {
	for name, v := range map[string]Vehicle{"whole": wholeTruck(), "rolling": rollingTruck(), "loaded": loadedTruck(), "arch": archTruck()} {
		if found := LookOver(&v, written(&v)); len(found) > 0 {
			t.Errorf("%s:\n%s", name, told(found))
		}
	}
}

// TestATapeRaisesNoDoubt measures a truck many times with a tape that is good to 3 mm (one standard deviation), each
// side by itself.
func TestATapeRaisesNoDoubt(t *testing.T) {
	n := 3000
	if testing.Short() {
		n = 300
	}
	rng := rand.New(rand.NewPCG(3, 3))
	for range n {
		v := wholeTruck()
		right := v.Front
		v.Right = &right
		for _, c := range [...]*Corner{&v.Front, v.Right} {
			for _, x := range c.coordinates() {
				*x += 3e-3 * rng.NormFloat64()
			}
			for _, p := range [...]*Point{&c.ShaftInner, &c.ShaftOuter} {
				*p = p.Add(Point{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Scale(3e-3))
			}
		}
		if found := LookOver(&v, written(&v)); len(found) > 0 {
			t.Fatal(told(found))
		}
	}
}

// TestATenfoldSlipIsSeen moves the decimal point of each number by itself.
func TestATenfoldSlipIsSeen(t *testing.T) {
	// A hundredth of these is as good as none at all, or as usual; of some tenfold is too.
	small := []string{"RearLift", "Front.Camber", "Front.Toe", "Front.Lift", "Front.Adjust.CamFront", "Front.Adjust.CamRear",
		"Front.Adjust.CamFrontMeasured", "Front.Adjust.CamRearMeasured", "Front.Adjust.UpperShift", "Front.Adjust.UpperFrontLeg",
		"Front.Adjust.UpperRearLeg", "Front.Adjust.TieRod", "Tyre.OffsetChange", "FrontDriveShare"}
	for _, p := range parts() {
		u := usual()[p.key]
		if p.field.Type.Kind() != reflect.Float64 || u.Why != "" || slices.Contains(small, p.path) {
			continue
		}
		for _, times := range [...]float64{10, 0.01} {
			v := wholeTruck()
			x := reflect.ValueOf(&v).Elem().FieldByIndex(p.index)
			if x.Float() == 0 {
				x.SetFloat((u.Low + u.High) / 2 * p.field.Unit.SI)
			}
			x.SetFloat(x.Float() * times)
			if times < 1 && strings.Contains(p.path, "Bush.") {
				continue // from soft rubber to a spherical joint it is more than a hundredfold
			}
			found := LookOver(&v, written(&v))
			if !slices.ContainsFunc(found, func(f Finding) bool { return slices.Contains(f.Fields, p.path) }) {
				t.Errorf("%s times %g isn't seen:\n%s", p.path, times, told(found))
			}
		}
	}
}

// TestADigitOfAPointIsSeen moves one coordinate at a time by more than any tape could, on one side only.
func TestADigitOfAPointIsSeen(t *testing.T) {
	for i, name := range coordinateNames() {
		for _, off := range [...]float64{0.1, -0.1} {
			v := wholeTruck()
			right := v.Front
			v.Right = &right
			*v.Right.coordinates()[i] += off
			found := LookOver(&v, written(&v))
			point, _, _ := strings.Cut(name, ".")
			if !slices.ContainsFunc(found, func(f Finding) bool {
				return slices.ContainsFunc(f.Fields, func(field string) bool { return strings.HasSuffix(field, "."+point) })
			}) {
				t.Errorf("%s off by %g m isn't seen:\n%s", name, off, told(found))
			}
		}
	}
}
