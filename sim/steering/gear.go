package steering

import "math"

// Gear is a rack with its pinion and handwheel.
type Gear struct {
	RackPerRadian     float64 // rack travel per radian of handwheel, m/rad; a torque at the handwheel is a rack force times this
	Friction          float64 // N at the rack, whichever way it moves
	Efficiency        float64 // handwheel to rack, 0 to 1
	ReverseEfficiency float64 // rack to handwheel, 0 to 1
	AssistGain        float64 // assistance at the rack per unit of the driver's rack force
	AssistCeiling     float64 // N, most the assistance gives; 0: none
}

// Driver is the part of a rack force (N) that the driver must supply; assistance gives the rest. Boost curve,
// a stated simplification of a hydraulic or electric one without dead band or speed dependence:
//
//	assistance = min(gain·driver, ceiling),  driver + assistance = rack force
func (g Gear) Driver(rack float64) float64 {
	size := math.Abs(rack)
	own := size / (1 + g.AssistGain)
	if size-own > g.AssistCeiling {
		own = size - g.AssistCeiling
	}
	return math.Copysign(own, rack)
}

// Turning is the handwheel torque (N·m) that moves the rack against a force of `load` (N, positive when it opposes
// the motion): the tyres' force and the friction, shared with the assistance, through the efficiency.
func (g Gear) Turning(load float64) float64 {
	return g.Driver(load+g.Friction) * g.RackPerRadian / g.Efficiency
}

// LetGo is the torque (N·m) with which the rack force `load` of the tyres drives a handwheel that nobody holds, and
// the part of it that friction takes away, both with the sign of load:
//
//	moving = (|load|·ηr − friction)·i while that is positive, else 0: friction holds
//
// with ηr the reverse efficiency and i the rack travel per radian. Nobody's torque at the pinion, so no assistance.
func (g Gear) LetGo(load, friction float64) (driven, lost float64) {
	i := g.RackPerRadian
	driven = math.Copysign(math.Max(0, math.Abs(load)*g.ReverseEfficiency-friction)*i, load)
	return driven, load*i - driven
}
