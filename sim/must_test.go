package sim

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/unit"
)

func TestLimitsSayWhatTheyAsk(t *testing.T) {
	for _, c := range []struct {
		tag, unit string
		good, bad []float64 // in unit
		says      string
	}{
		{"", "mm", []float64{-3, 0, 3}, nil, ""},
		{">0", "kg", []float64{1e-9, 5}, []float64{0, -1}, "must be above zero"},
		{">=0", "N", []float64{0, 5}, []float64{-1e-9}, "must not be below zero"},
		{">=0 <=100", "percent", []float64{0, 55, 100, 100 * (1 + 1e-12)}, []float64{-0.1, 100.1}, "must lie from 0 to 100 %"},
		{">=-45 <=45", "deg", []float64{-45, 45}, []float64{45.1, -46}, "must lie within 45°"},
		{">-90 <90", "deg", []float64{-89, 0}, []float64{-90, 90}, "must be less than 90° either way"},
		{">0 <=1", "1", []float64{0.5, 1}, []float64{0, 1.1}, "must be above zero and at most 1"},
		{">=2 <3", "kg", []float64{2}, []float64{1.9, 3}, "must be at least 2 kg and below 3 kg"},
		{">=1 <=100 whole", "1", []float64{1, 100}, []float64{0, 1.5, 101}, "must be a whole number from 1 to 100"},
		{">0: a reason", "kph", []float64{1}, []float64{0}, "must be above zero: a reason"},
	} {
		u := unit.MustParse(c.unit)
		l, err := limitsOf(c.tag, reflect.TypeFor[float64](), u)
		require.NoError(t, err)
		for _, x := range c.good {
			assert.True(t, l.Holds(x*u.SI), "%q holds for %g", c.tag, x)
		}
		for _, x := range append(c.bad, math.NaN(), math.Inf(1), math.Inf(-1)) {
			assert.False(t, l.Holds(x*u.SI), "%q doesn't hold for %g", c.tag, x)
		}
		assert.Equal(t, c.says, spaces(l.Text(u)), c.tag)
	}
	for _, bad := range []string{"5", "=>0", ">x", "<>5", ">"} {
		_, err := limitsOf(bad, reflect.TypeFor[float64](), unit.Unit{SI: 1})
		assert.Error(t, err, bad)
	}
}

// A refusal names the input as a notebook writes it, the value in its unit, and what is asked.
func TestRefusalsNamePathValueAndUnit(t *testing.T) {
	for _, c := range []struct {
		run  func(v *Vehicle) error
		says string
	}{
		{func(v *Vehicle) error { v.Tyre.Mass = -3; _, err := ParkingEffort{Vehicle: *v}.Run(); return err }, "Tyre.Mass of -3 kg must be above zero"},
		{func(v *Vehicle) error { v.Mass = 0; _, err := ParkingEffort{Vehicle: *v}.Run(); return err }, "Mass isn't given (zero counts as not given)"},
		{func(v *Vehicle) error { v.LeftShare = 1.2; _, err := ParkingEffort{Vehicle: *v}.Run(); return err }, "LeftShare of 120 % must lie from 0 to 100 %"},
		{func(v *Vehicle) error { v.RearLift = math.NaN(); _, err := Alignment{*v}.Run(); return err }, "RearLift isn't a number"},
		{func(v *Vehicle) error {
			v.Body = []Obstacle{v.Body[0], {From: mm(1, 2, 3), To: mm(4, 5, 6), Radius: -0.01}}
			_, err := Clearance{Vehicle: *v}.Run()
			return err
		}, "Body[2].Radius of -10 mm must not be below zero"},
		{func(v *Vehicle) error { _, err := Gearing{Vehicle: *v, Speed: 10, Old: &Tyre{}}.Run(); return err }, "Old.RollingRadius isn't given (zero counts as not given)"},
		{func(v *Vehicle) error { _, err := Pull{Vehicle: *v}.Run(); return err }, "Speed of 0 km/h must be above zero: a tyre that stands is ParkingEffort's matter"},
		{func(v *Vehicle) error {
			_, err := AlignTo{Vehicle: *v, Caster: &Sides{Left: 0.1, Right: 1}}.Run()
			return err
		}, "Caster of 57.296° must lie within 45°"},
		{func(v *Vehicle) error {
			_, err := Upkeep{Distance: 1e6, LoadRatio: 1, Plan: []Task{{Interval: 1e4, Count: 1}, {Interval: -1e4, Count: 1}}}.Run()
			return err
		}, "Plan[2].Interval of -10 km must be above zero"},
		{func(v *Vehicle) error { _, err := JointLoads{Vehicle: *v, Case: "jump"}.Run(); return err }, `Case is "jump"; it must be "static", "braking", "cornering", "bump", "kerb" or "pothole"`},
	} {
		v := wholeTruck()
		if err := c.run(&v); assert.Error(t, err, c.says) {
			assert.Equal(t, c.says, spaces(err.Error()))
		}
	}
}

// Every limit of every input that a model reads is kept: no model forgets to check.
func TestEveryModelKeepsItsInputsLimits(t *testing.T) {
	for _, m := range Models() {
		t.Run(m.Name, func(t *testing.T) {
			t.Parallel()
			in, out := working(t, seeded(m), m)
			tried := 0
			eachInput(in.Elem(), "", func(path string, at reflect.Value, f *Field) {
				if !m.Reads(path) {
					return
				}
				for _, bad := range outside(f) {
					old := reflect.ValueOf(at.Interface())
					at.Set(reflect.ValueOf(bad))
					err := m.Run(in.Interface(), out.Interface())
					at.Set(old)
					tried++
					_, name, _ := strings.Cut(path, "Vehicle.")
					if name == "" {
						name = path
					}
					if assert.Error(t, err, "%s with %s of %v", m.Name, path, bad) {
						assert.Contains(t, err.Error(), strings.TrimSuffix(strings.TrimSuffix(name, ".Left"), ".Right"), "%s with %s of %v", m.Name, path, bad)
					}
				}
			})
			require.Positive(t, tried)
		})
	}
}

// outside gives values that a field's limits refuse.
func outside(f *Field) (bad []any) {
	if f.Type.Kind() == reflect.String {
		if len(f.Must.Words) > 0 {
			bad = append(bad, "no such word")
		}
		return bad
	}
	bad = append(bad, math.NaN(), math.Inf(1))
	if l := &f.Must; !math.IsInf(l.Least, -1) {
		bad = append(bad, l.Least-f.Unit.SI)
	}
	if l := &f.Must; !math.IsInf(l.Most, 1) {
		bad = append(bad, l.Most+f.Unit.SI)
	}
	return bad
}

// eachInput calls do with every number and text of a model's inputs that is there, by its path. What a struct holds of
// a place or of a pair of targets has the field's limits.
func eachInput(v reflect.Value, path string, do func(path string, at reflect.Value, f *Field)) {
	for _, f := range Fields(v.Type()) {
		at := strings.TrimPrefix(path+"."+f.Name, ".")
		eachOf(v.FieldByIndex(f.Index), at, &f, do)
	}
}

func eachOf(v reflect.Value, path string, f *Field, do func(path string, at reflect.Value, f *Field)) {
	switch v.Kind() {
	case reflect.Float64, reflect.String:
		g := *f
		g.Type = v.Type()
		do(path, v, &g)
	case reflect.Pointer:
		if !v.IsNil() {
			eachOf(v.Elem(), path, f, do)
		}
	case reflect.Slice:
		for i := range v.Len() {
			eachOf(v.Index(i), fmt.Sprintf("%s[%d]", path, i+1), f, do)
		}
	case reflect.Struct:
		if v.Type() == pointType || v.Type() == sidesType {
			for i := range v.NumField() {
				do(path, v.Field(i), f)
			}
			return
		}
		eachInput(v, path, do)
	}
}
