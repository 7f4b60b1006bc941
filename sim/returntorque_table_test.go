package sim

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// testdata/reference/returntorque.csv was made by returntorque.py beside it with numpy and scipy, by other means than this
// package's (see its head): whole steady turns with every part of the torque, a like and an unlike truck, up to 0.5 g.
func TestReturnTorqueAgainstScipy(t *testing.T) {
	f, err := os.Open("../testdata/reference/returntorque.csv")
	require.NoError(t, err)
	defer f.Close()
	read := csv.NewReader(f)
	read.Comment = '#'
	rows, err := read.ReadAll()
	require.NoError(t, err)
	head := map[string]int{}
	for i, name := range rows[0] {
		head[name] = i
	}
	require.Len(t, rows, 61)
	unlike := rollingTruck()
	right := unlike.Front
	right.UpperBall.X, right.Camber, right.Toe = -0.030, 0.6*deg, -0.1*deg
	unlike.Right, unlike.LeftShare = &right, 0.52
	trucks := map[string]Vehicle{"like": rollingTruck(), "unlike": unlike}
	for _, row := range rows[1:] {
		at := func(name string) float64 {
			x, err := strconv.ParseFloat(row[head[name]], 64)
			require.NoError(t, err)
			return x
		}
		turn := at("turn")
		out, err := ReturnTorque{Vehicle: trucks[row[0]], Speed: at("speed"), LateralAcceleration: &turn, DriveForce: at("drive")}.Run()
		require.NoError(t, err, row)
		const (
			angle  = 1e-7 // rad
			torque = 1e-5 // N·m at the handwheel
			force  = 1e-2 // N
			moment = 1e-3 // N·m at the wheel
			share  = 1e-4 // of the turn at which friction lets go, found to 0.001 N at the rack
		)
		what := row[:4]
		assert.InDelta(t, at("angle"), out.Angle, angle, "%v angle", what)
		assert.InDelta(t, at("handwheel"), out.HandwheelAngle, 10*angle, "%v handwheel angle", what)
		assert.InDelta(t, at("mechanical"), out.MechanicalTrail, torque, "%v mechanical trail", what)
		assert.InDelta(t, at("pneumatic"), out.PneumaticTrail, torque, "%v pneumatic trail", what)
		assert.InDelta(t, at("jacking"), out.Jacking, torque, "%v jacking", what)
		assert.InDelta(t, at("traction"), out.Traction, torque, "%v traction", what)
		assert.InDelta(t, at("total"), out.Total, torque, "%v total", what)
		for side, got := range map[string]WheelReturn{"left": out.Left, "right": out.Right} {
			assert.InDelta(t, at(side+"_load"), got.WheelLoad, force, "%v %s load", what, side)
			assert.InDelta(t, at(side+"_lateral"), got.LateralForce, force, "%v %s lateral force", what, side)
			assert.InDelta(t, at(side+"_slip"), got.SlipAngle, angle, "%v %s slip", what, side)
			assert.InDelta(t, at(side+"_moment"), got.Total, moment, "%v %s moment", what, side)
		}
		if hold := at("hold_turn"); !math.IsNaN(hold) {
			assert.InDelta(t, hold, out.HoldAcceleration, share*math.Max(hold, 0.1), "%v hold", what)
		}
	}
}
