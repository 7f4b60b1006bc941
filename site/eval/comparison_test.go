package eval

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// comparison is a truck on a tall tyre beside its old one, of which only what a model reads is given.
const comparison = truck + `
stock := truck
stock.Unsprung = 55*kg
stock.AxleRatio = 4.1
stock.BrakeTorqueLimit = 9000*N*m
stock.Spring.Damping = 6500*N*s/m
stock.Tyre.Inertia = 3*kg*m*m
stock.Tyre.RimInertia = 0.45*kg*m*m
stock.Tyre.VerticalStiffness = 260*N/mm
stock.Tyre.Friction = 0.8
tall := stock
tall.Tyre = tyreSize("35x12.50R17LT", stock.Tyre)
tall.Tyre.Mass = 34*kg
tall.Tyre.RimMass = 14*kg
tall.Tyre.Inertia = 5.4*kg*m*m
`

// The models of a tyre's mass take an old tyre that lacks what they don't read, and a plan of tasks.
func TestModelsThatCompareTyres(t *testing.T) {
	for _, c := range []struct{ code, insert, want string }{
		{`now := Gearing{Vehicle: tall, Old: Tyre{Radius: 402*mm}}`, "now.EquivalentRatio to 0.01", "4.53"},
		{`now := Gearing{Vehicle: tall, Old: stock.Tyre}`, "now.WithinR39", "no"},
		{`now := Stopping{Vehicle: tall, Deceleration: 0.6*gravity, Old: stock.Tyre}`, "now.TorqueRise > now.EnergyRise", "yes"},
		// By hand: effective mass times rolling radius, (2182 + 4·5.85/0.4312²)·0.4312 over (2134 + 4·3.45/0.3899²)·0.3899 kg·m.
		{`now := PullAway{Vehicle: tall, Old: stock.Tyre}`, "now.TorqueRise in percent to 1", "15\u00a0%"},
		{`now := Ride{Vehicle: tall, Road: "C", Speed: 80*kph, Old: stock.Tyre}`, "now.HopDamping < now.Old.HopDamping", "yes"},
		{`now := WheelInertia{Vehicle: tall, RimDiameter: 17*inch, Old: stock.Tyre}`, "now.SpinOverOld > now.WeightOverOld", "yes"},
		{`now := JointLoads{Vehicle: tall, Case: "bump"}
still := JointLoads{Vehicle: tall}`, "now.LowerBall.Magnitude / still.LowerBall.Magnitude to 0.001", "3.000"},
		{`now := JointLoads{Vehicle: tall, Braking: 0.5*gravity}`, "now.Right.TieTension - now.TieTension in N to 1", "0\u00a0N"},
		// 4.875 + 123.606·0.889²·0.3175 kg by hand. The load of the designation: a load table's last row, 3195 lb at 65 psi; index 121's 1450 kg; and kept where it tells none.
		{`now := TyreLoad{Vehicle: tall}`, "tall.Tyre.LoadCapacity in kg to 1", "1449\u00a0kg"},
		{`now := TyreLoad{Vehicle: tall}`, "tall.Tyre.LoadPressure in kPa to 1", "448\u00a0kPa"},
		{`now := TyreLoad{Vehicle: tall}`, "now.MostUsed < 100*percent && now.PressureForAll < tall.Tyre.Pressure", "yes"},
		{`rated := tyreSize("LT285/70R17/E 121/118S", stock.Tyre)`, "rated.LoadCapacity in kg to 1", "1450\u00a0kg"},
		{`bare := tyreSize("285/70R17", tall.Tyre)`, "bare.LoadCapacity == tall.Tyre.LoadCapacity", "yes"},
		{`spun := WheelInertia{Vehicle: tall, RimDiameter: 17*inch, Tread: "mud"}`, "spun.MassBySize in kg to 0.1", "35.9\u00a0kg"},
		{`mass := span(24*kg, 40*kg, 5)
heavy := tall
heavy.Tyre.Mass = mass
now := Ride{Vehicle: heavy, Old: stock.Tyre}`, "now.DynamicLoad.At(mass, 40*kg) > now.DynamicLoad.At(mass, 24*kg)", "yes"},
	} {
		assert.Equal(t, c.want, prints(t, comparison+c.code, c.insert), "%s: %s", c.code, c.insert)
	}
}

func TestUpkeepPlan(t *testing.T) {
	const plan = `
now := Upkeep{Distance: 100000*km, LoadRatio: 1.2, Plan: []Task{
	{Name: "grease", Interval: 5000*km, Cost: 2*money, Hours: 0.25*hour},
	{Name: "ball joint", Interval: 120000*km, Shape: 2, Cost: 140*money, Hours: 1.5*hour, Count: 2},
}}
`
	for _, c := range []struct{ insert, want string }{
		{`now.TaskEvents.At(now.TaskEvents, "grease") to 1`, "20"},
		{"now.CostHigh > now.Cost && now.Cost > now.CostLow", "yes"},
		{"now.Hours > 5*hour && now.HoursHigh > now.Hours", "yes"},
		{"now.CostPerDistance * 100000*km - now.Cost in money to 0.01", "0.00"},
	} {
		assert.Equal(t, c.want, prints(t, plan, c.insert), c.insert)
	}
}
