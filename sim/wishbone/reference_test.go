package wishbone

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"turnplate/sim/geom"
)

// The promise: 1e-6 mm and 1e-7 rad. The table's last printed digit is 1e-13.
const (
	promisedLength = 1e-9 // m
	promisedAngle  = 1e-7 // rad
)

const references = "../../testdata/reference/"

type place [3]float64

func (p place) point() geom.Point { return geom.Point{X: p[0], Y: p[1], Z: p[2]} }

type referenceVehicle struct {
	Points                     map[string]place
	Camber, Toe, Pitch, Offset float64
	LoadedRadius               float64 `json:"loaded_radius"`
	Settings                   Settings
	Poses                      []referencePose
}

type referencePose struct {
	Mode                                                            string
	Bump, Rack                                                      float64
	LowerBall, UpperBall, TieOuter, WheelCentre                     place
	Camber, Toe, Caster, Inclination, Scrub, Trail, Spindle, Ground float64
}

func (v *referenceVehicle) hardpoints() Hardpoints {
	at := func(name string) geom.Point { return v.Points[name].point() }
	return Hardpoints{
		UpperFront: at("UpperFront"), UpperRear: at("UpperRear"), UpperBall: at("UpperBall"),
		LowerFront: at("LowerFront"), LowerRear: at("LowerRear"), LowerBall: at("LowerBall"),
		TieInner: at("TieInner"), TieOuter: at("TieOuter"), WheelCentre: at("WheelCentre"),
		Spin: spin(v.Camber, v.Toe),
	}
}

func referenceVehicles(t testing.TB) []referenceVehicle {
	text, err := os.ReadFile(references + "wishbone.json")
	require.NoError(t, err)
	var list []referenceVehicle
	require.NoError(t, json.Unmarshal(text, &list))
	return list
}

func (v *referenceVehicle) pose(t require.TestingT, l *Linkage, r *referencePose) Pose {
	z := v.Points["WheelCentre"][2] + r.Bump
	if r.Mode == "height" {
		p, err := l.AtHeight(z, r.Rack)
		require.NoError(t, err)
		return p
	}
	ahead, err := l.AtHeight(z, 0)
	require.NoError(t, err)
	p, err := l.At(ahead.LowerAngle, r.Rack)
	require.NoError(t, err)
	return p
}

// Every pose of the table made by scipy's root finder on the six link-length equations
// (testdata/reference/wishbone.py).
func TestPosesAgainstRootFinder(t *testing.T) {
	poses := 0
	var worstLength, worstAngle float64
	for _, v := range referenceVehicles(t) {
		l, err := New(v.hardpoints(), v.Settings)
		require.NoError(t, err)
		ground := Pitched(v.Pitch)
		for i := range v.Poses {
			r := &v.Poses[i]
			p := v.pose(t, &l, r)
			poses++
			a := p.Angles(Wheel{v.LoadedRadius, v.Offset}, ground)
			for _, c := range []struct {
				want place
				got  geom.Point
				what string
			}{
				{r.LowerBall, p.Lower, "lower ball"}, {r.UpperBall, p.Upper, "upper ball"},
				{r.TieOuter, p.TieOuter, "tie outer"}, {r.WheelCentre, p.Centre, "wheel centre"},
			} {
				near(t, c.want.point(), c.got, promisedLength, c.what)
				worstLength = math.Max(worstLength, c.want.point().Sub(c.got).Norm())
			}
			for _, c := range []struct {
				want, got float64
				what      string
			}{
				{r.Camber, a.Camber, "camber"}, {r.Toe, a.Toe, "toe"}, {r.Caster, a.Caster, "caster"}, {r.Inclination, a.Inclination, "inclination"},
			} {
				agree(t, c.want, c.got, promisedAngle, c.what)
				worstAngle = math.Max(worstAngle, math.Abs(c.want-c.got))
			}
			for _, c := range []struct {
				want, got float64
				what      string
			}{
				{r.Scrub, a.ScrubRadius, "scrub radius"}, {r.Trail, a.Trail, "trail"},
				{r.Spindle, a.SpindleLength, "spindle length"}, {r.Ground, a.GroundHeight, "ground height"},
			} {
				agree(t, c.want, c.got, promisedLength, c.what)
				worstLength = math.Max(worstLength, math.Abs(c.want-c.got))
			}
		}
	}
	require.GreaterOrEqual(t, poses, 500)
	t.Logf("%d poses: worst %.1e mm and %.1e rad", poses, worstLength*1e3, worstAngle)
}

// The first pose of every vehicle, solved once more by GNU Octave's fsolve on the coordinates of the
// knuckle's four places and their distances (testdata/reference/wishbone.m).
func TestPosesAgainstOctave(t *testing.T) {
	file, err := os.Open(references + "wishbone_octave.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	vehicles := referenceVehicles(t)
	require.Len(t, rows, len(vehicles)+1)
	for i, row := range rows[1:] {
		v := &vehicles[i]
		l, err := New(v.hardpoints(), v.Settings)
		require.NoError(t, err)
		p := v.pose(t, &l, &v.Poses[0])
		for k, got := range []geom.Point{p.Lower, p.Upper, p.TieOuter, p.Centre} {
			var want place
			for c := range want {
				want[c], err = strconv.ParseFloat(row[1+3*k+c], 64)
				require.NoError(t, err)
			}
			near(t, want.point(), got, promisedLength, rows[0][1+3*k])
		}
	}
}
