package sim

import (
	"fmt"
	"maps"
	"math"
	"sync"

	"turnplate/sim/wishbone"
)

// vehicleRules are the rules between fields that aren't one corner's.
var vehicleRules = sync.OnceValue(func() []vehicleRule {
	return append([]vehicleRule{
		larger("Tyre.Radius", "Tyre.LoadedRadius", "a tyre under load is lower than without", func(v *Vehicle) (a, b float64) { return v.Tyre.Radius, v.Tyre.LoadedRadius }),
		larger("Tyre.Radius", "Tyre.RollingRadius", "a tyre rolls less far than its free circumference", func(v *Vehicle) (a, b float64) { return v.Tyre.Radius, v.Tyre.RollingRadius }),
		larger("Spring.UpperPoint", "Spring.LowerPoint", "z points up", func(v *Vehicle) (a, b float64) { return v.Spring.UpperPoint.Z, v.Spring.LowerPoint.Z }),
		larger("Spring.DamperUpper", "Spring.DamperLower", "z points up", func(v *Vehicle) (a, b float64) { return v.Spring.DamperUpper.Z, v.Spring.DamperLower.Z }),
		{cannot("Tyre.Radius", "Tyre.Mass", "Tyre.Inertia"), func(v *Vehicle) complaint {
			most := v.Tyre.Mass * v.Tyre.Radius * v.Tyre.Radius
			if v.Tyre.Inertia <= most {
				return complaint{}
			}
			return complaint{fmt.Sprintf("Tyre.Inertia of %.3g kg·m² can't be: with all of its %.3g kg in the tread it would be %.3g kg·m²", v.Tyre.Inertia, v.Tyre.Mass, most), "is it the tyre's alone, in kg·m²?"}
		}},
		{cannot("FrontShare", "LeftShare"), func(v *Vehicle) complaint {
			for _, share := range [...]float64{v.FrontShare, v.LeftShare} {
				if share == 0 || share == 1 {
					return complaint{"as typed two wheels carry nothing", "is the share that of the vehicle's mass, in percent?"}
				}
			}
			return complaint{}
		}},
	}, vehicleDoubts()...)
})

// larger gives the rule that one of two fields can't be below the other.
func larger(high, low, why string, of func(v *Vehicle) (a, b float64)) vehicleRule {
	return vehicleRule{cannot(high, low), func(v *Vehicle) complaint {
		a, b := of(v)
		if a >= b {
			return complaint{}
		}
		return complaint{fmt.Sprintf("%s, %s, can't be above %s, %s", low, inMM(b), high, inMM(a)), why}
	}}
}

// ratio gives a doubt about one number that follows from several fields.
func ratio(what, unitName string, low, high float64, source, hint string, of func(v *Vehicle) float64, fields ...string) vehicleRule {
	return vehicleRule{rarely(fmt.Sprintf("%.3g to %.3g%s", low, high, unitName), source, fields...), func(v *Vehicle) complaint {
		x := of(v)
		if !finite(x) || x >= low && x <= high {
			return complaint{}
		}
		return complaint{fmt.Sprintf("as typed %s is %s%s", what, significant(x, 3), unitName), hint}
	}}
}

var vehicleDoubts = sync.OnceValue(func() []vehicleRule {
	return []vehicleRule{
		ratio("the tyre's mass against one of its size", "", 0.5, 1.4, sizeSheet+": 3.1 kg + 112 kg/m³ of diameter² times width", "is Tyre.Mass the tyre's alone, in kg?", func(v *Vehicle) float64 {
			d := 2 * v.Tyre.Radius
			return v.Tyre.Mass / (3.079 + 112.302*d*d*v.Tyre.Width)
		}, "Tyre.Radius", "Tyre.Width", "Tyre.Mass"),
		ratio("the tyre's inertia as a share of all its mass in the tread", "", 0.3, 0.97, "a sample of 0.87 seen, else practice", "is it the tyre's alone, in kg·m²?", func(v *Vehicle) float64 {
			return v.Tyre.Inertia / (v.Tyre.Mass * v.Tyre.Radius * v.Tyre.Radius)
		}, "Tyre.Radius", "Tyre.Mass", "Tyre.Inertia"),
		ratio("the share of the wheel's inertia about a diameter in that about its axle", "", 0.3, 1.1, "half for a thin disc, and more for its width", "is SteerInertia that of tyre and rim together?", func(v *Vehicle) float64 {
			return v.Tyre.SteerInertia / (v.Tyre.Inertia + v.Tyre.RimInertia)
		}, "Tyre.Inertia", "Tyre.RimInertia", "Tyre.SteerInertia"),
		ratio("the tyre's width against its diameter", "", 0.2, 0.55, sizeSheet, "are Tyre.Radius and Tyre.Width right?", func(v *Vehicle) float64 {
			return v.Tyre.Width / (2 * v.Tyre.Radius)
		}, "Tyre.Radius", "Tyre.Width"),
		ratio("the loaded radius against the free one", "", 0.86, 0.995, practice+": about 0.955", "are both radii, of the same tyre?", func(v *Vehicle) float64 {
			return v.Tyre.LoadedRadius / v.Tyre.Radius
		}, "Tyre.Radius", "Tyre.LoadedRadius"),
		ratio("the rolling radius against the free one", "", 0.93, 1, sizeSheet+": 0.969 to 0.975", "is it the distance rolled for a radian?", func(v *Vehicle) float64 {
			return v.Tyre.RollingRadius / v.Tyre.Radius
		}, "Tyre.Radius", "Tyre.RollingRadius"),
		ratio("the cornering stiffness as a share of the load for a degree", "", 0.07, 0.4, cornering, "is CorneringStiffness one tyre's, in N/deg?", func(v *Vehicle) float64 {
			return v.Tyre.CorneringStiffness * math.Pi / 180 / v.Tyre.NominalLoad
		}, "Tyre.CorneringStiffness", "Tyre.NominalLoad"),
		ratio("the yaw inertia against mass times the distances of both axles", "", 0.45, 1.8, practice+": about 1", "is YawInertia the whole vehicle's, in kg·m²?", func(v *Vehicle) float64 {
			return v.YawInertia / (v.Mass * v.FrontShare * (1 - v.FrontShare) * v.Wheelbase * v.Wheelbase)
		}, "Wheelbase", "Mass", "YawInertia"),
		ratio("the handwheel from lock to lock, in turns,", "", 1.8, 7, practice+": 2.5 to 4.5", "is RackLimit to one side, and RackPerTurn the rack's travel for one turn?", func(v *Vehicle) float64 {
			return 2 * v.Steering.RackLimit / v.Steering.RackPerTurn
		}, "Steering.RackPerTurn", "Steering.RackLimit"),
		ratio("the body's natural frequency on the front springs", " Hz", 0.8, 2.6, practice+": 1 to 2 Hz", "is Spring.Rate the coil's, in N/mm?", func(v *Vehicle) float64 {
			mass := v.Mass*v.FrontShare/2 - v.Unsprung
			ratio := v.springRatio()
			return math.Sqrt(v.Spring.Rate*ratio*ratio/mass) / (2 * math.Pi)
		}, "Mass", "Spring.LowerPoint", "Spring.UpperPoint", "Spring.Rate"),
		ratio("the coil's length", " mm", 150, 700, practice, "are Spring.LowerPoint and Spring.UpperPoint right?", func(v *Vehicle) float64 {
			return v.Spring.UpperPoint.Sub(v.Spring.LowerPoint).Norm() * 1e3
		}, "Spring.LowerPoint", "Spring.UpperPoint"),
		ratio("the rear track against the front one", "", 0.85, 1.15, ownRange, "is RearTrack from contact centre to contact centre?", func(v *Vehicle) float64 {
			return v.RearTrack / (2 * v.Front.WheelCentre.Y)
		}, "Front.WheelCentre", "RearTrack"),
		ratio("the wheelbase against the front track", "", 1.2, 2.6, ownRange, "is Wheelbase from axle to axle?", func(v *Vehicle) float64 {
			return v.Wheelbase / (2 * v.Front.WheelCentre.Y)
		}, "Front.WheelCentre", "Wheelbase"),
		farFromMirror("UpperFront"), farFromMirror("UpperRear"), farFromMirror("UpperBall"),
		farFromMirror("LowerFront"), farFromMirror("LowerRear"), farFromMirror("LowerBall"),
		farFromMirror("TieInner"), farFromMirror("TieOuter"), farFromMirror("WheelCentre"),
	}
})

// mirrorMost is how far two sides of one truck may differ in a coordinate before somebody should look again: six
// standard deviations of the difference of two tapes of 3 mm.
const mirrorMost = 26e-3

func farFromMirror(point string) vehicleRule {
	return vehicleRule{rarely("within "+inMM(mirrorMost), "six standard deviations of two readings good to 3 mm", "Front."+point, "Right."+point), func(v *Vehicle) complaint {
		if v.Right == nil {
			return complaint{}
		}
		d := v.Right.named()[point].Sub(v.Front.named()[point])
		for _, c := range [...]struct {
			name string
			off  float64
		}{{"x", d.X}, {"y", d.Y}, {"z", d.Z}} {
			if math.Abs(c.off) > mirrorMost {
				return complaint{fmt.Sprintf("Right.%s and Front.%s differ by %s in %s", point, point, inMM(math.Abs(c.off)), c.name), "measure this point again on both sides"}
			}
		}
		return complaint{}
	}}
}

// SamePoints tells whether the right corner has the left one's points: it mirrors it, or was copied from it.
func (v *Vehicle) SamePoints() bool {
	return v.Right == nil || maps.Equal(v.Front.named(), v.Right.named())
}

// springRatio is the coil's shortening for the wheel's rise as measured, or NaN.
func (v *Vehicle) springRatio() float64 {
	as := *v
	as.Front.Lift, as.Front.Adjust, as.Front.JointLimit = 0, Adjusters{}, 0
	as.Spring.BumpTravel, as.Spring.DroopTravel = 0, 0
	as.Tyre.LoadedRadius, as.Tyre.OffsetChange = math.Abs(v.Front.WheelCentre.Z), 0
	k, err := newCorner(&as, &as.Front, "Front", wishbone.Level)
	if err != nil {
		return math.NaN()
	}
	return k.motionRatio(&k.rest)
}
