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
	AssistOnset       float64 // N·m, the driver's torque below which there is no assistance
}

// driver is the torque (N·m) that the driver gives at the handwheel where assistance gives the rest of a rack force (N),
// when the share η of the driver's torque reaches the rack:
//
//	assistance = min(ceiling, gain·η/i·max(0, |driver's torque| − onset)),  driver's torque·η/i + assistance = rack force
//
// with i the rack travel per radian. A straight line between two bends is how electric assistance is commonly described
// (Mehrabi & McPhee, in Handbook of Biomechatronics, eq. 30, seen); a hydraulic valve's curve is rounder (Baxter,
// SAE 880706, abstract seen), with hardly any pressure below 1 to 2 N·m (from memory). That assistance falls with speed is
// left out.
func (g Gear) driver(rack, share float64) float64 {
	size, i := math.Abs(rack), g.RackPerRadian
	onset := g.AssistOnset * share / i
	own := size
	if size > onset {
		own = (size + g.AssistGain*onset) / (1 + g.AssistGain)
	}
	if size-own > g.AssistCeiling {
		own = size - g.AssistCeiling
	}
	return math.Copysign(own*i/share, rack)
}

// Turning is the handwheel torque (N·m) that moves the rack against a force of `load` (N, positive when it opposes
// the motion): the tyres' force and the friction, shared with the assistance, through the efficiency.
func (g Gear) Turning(load float64) float64 { return g.driver(load+g.Friction, g.Efficiency) }

// Held is the handwheel torque (N·m) that holds a rack force (N) of the tyres still, in the middle between what just
// gives way and what just moves it: without friction or loss, and with assistance.
func (g Gear) Held(rack float64) float64 { return g.driver(rack, 1) }

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
