package sim

import (
	"reflect"
	"strconv"
	"strings"
	"sync"
)

// CommonPractice is the source of what has none.
const CommonPractice = "common practice, no source"

// What the fields of a vehicle usually are, and where that comes from. A field belongs into this table as soon as it
// is one: a test fails for a number or a point that has no line here.
//
// "Seen" means that the range rests on figures read in the source; all ranges are wider than what was seen, because a
// doubt about a sensible truck is worse than one about a strange one that isn't told.
const (
	practice  = CommonPractice
	bushOrder = "rubber bushes to spherical joints, from memory"
	ownRange  = "our own estimate from sizes of light trucks, no source"
	service   = "service data of light vehicles"
	sizeSheet = "a tyre maker's size sheets"
	loadTable = "load tables of tyre makers"
	cornering = "T. D. Gillespie, Fundamentals of Vehicle Dynamics, as quoted elsewhere: 0.11 to 0.30 of the load for a degree"
)

// Usual says what one field usually is. What it must be is told by its tag.
type Usual struct {
	Low, High float64 // usual, in the field's own unit
	OrZero    bool    // 0 is as good: there is none of it, or it isn't known

	From, To Point // of a point: the box that it usually lies in, in the field's own unit

	Source string
	Why    string // why there is no usual range; then all else is empty
}

// from is a range, in the field's own unit.
func from(low, high float64, source string) Usual { return Usual{Low: low, High: high, Source: source} }

// noneOr is the same, where 0 means that there is none of it, or that it isn't known.
func noneOr(low, high float64, source string) Usual {
	return Usual{Low: low, High: high, OrZero: true, Source: source}
}

// box is the box that a point usually lies in.
func box(x0, x1, y0, y1, z0, z1 float64, source string) Usual {
	return Usual{From: Point{X: x0, Y: y0, Z: z0}, To: Point{X: x1, Y: y1, Z: z1}, Source: source}
}

// free is a field without a usual range.
func free(why string) Usual { return Usual{Why: why} }

// usualLines is the table, by type and field. It is a list and no map, because so it costs nothing when a program starts: of a
// map with calls in it the compiler makes one very long function, which a browser then takes a second to optimise.
var usualLines = [...]struct {
	field string
	Usual
}{
	{"Vehicle.Name", free("a name")},
	{"Vehicle.Wheelbase", from(1900, 4300, ownRange)},
	{"Vehicle.Mass", from(700, 3600, ownRange)},
	{"Vehicle.FrontShare", from(40, 66, practice)},
	{"Vehicle.LeftShare", from(44, 56, practice)},
	{"Vehicle.CentreHeight", from(450, 1200, practice)},
	{"Vehicle.YawInertia", from(700, 9000, practice)},
	{"Vehicle.RearLift", from(-120, 250, practice)},
	{"Vehicle.RearTrack", from(1200, 2000, ownRange)},
	{"Vehicle.RearCornering", from(700, 7000, cornering)},
	{"Vehicle.FrontRollShare", from(35, 80, practice)},
	{"Vehicle.FrontDriveShare", from(0, 100, "anything from rear to front drive is built")},
	{"Vehicle.FrontBrakeShare", from(50, 92, practice)},
	{"Vehicle.AxleRatio", from(2.5, 6.5, practice)},
	{"Vehicle.GearRatio", from(0.5, 6, practice)},
	{"Vehicle.BrakeTorqueLimit", from(2500, 25000, practice)},
	{"Vehicle.Unsprung", from(18, 90, ownRange)},

	{"Corner.UpperFront", box(-200, 500, 180, 720, 300, 1100, ownRange)},
	{"Corner.UpperRear", box(-600, 150, 180, 720, 300, 1100, ownRange)},
	{"Corner.UpperBall", box(-150, 150, 450, 880, 380, 1150, ownRange)},
	{"Corner.LowerFront", box(0, 600, 120, 560, 120, 620, ownRange)},
	{"Corner.LowerRear", box(-700, 0, 120, 560, 120, 620, ownRange)},
	{"Corner.LowerBall", box(-120, 120, 480, 940, 110, 560, ownRange)},
	{"Corner.TieInner", box(-350, 350, 150, 560, 150, 720, ownRange)},
	{"Corner.TieOuter", box(-300, 300, 480, 940, 150, 720, ownRange)},
	{"Corner.WheelCentre", box(-60, 60, 580, 1030, 240, 620, ownRange)},
	{"Corner.ShaftInner", box(-150, 150, 60, 420, 220, 720, ownRange)},
	{"Corner.ShaftOuter", box(-80, 80, 480, 940, 240, 620, ownRange)},
	{"Corner.UpperStud", free("a direction: only its proportions count")},
	{"Corner.JointLimit", noneOr(8, 50, "permissible tilt of spherical bearings, and practice with ball joints")},
	{"Corner.LowerStud", free("a direction: only its proportions count")},
	{"Corner.LowerJointLimit", noneOr(8, 50, "permissible tilt of spherical bearings, and practice with ball joints")},
	{"Corner.TieStud", free("a direction: only its proportions count")},
	{"Corner.TieJointLimit", noneOr(8, 50, "permissible tilt of spherical bearings, and practice with tie-rod ends")},
	{"Corner.ShaftLimit", noneOr(20, 56, "constant-velocity joints of the fixed kind: 45 to 48, some 54 deg")},
	{"Corner.ShaftInnerLimit", noneOr(12, 40, "plunging joints: about 22 to 31 deg")},
	{"Corner.ShaftPlunge", noneOr(15, 90, "plunging joints: 40 to 60 mm, from memory")},
	{"Corner.Camber", from(-4, 4, service)},
	{"Corner.Toe", from(-1.5, 1.5, service)},
	{"Corner.Lift", from(-120, 250, practice)},

	{"Bush.Radial", noneOr(300, 200e3, bushOrder)},
	{"Bush.Axial", noneOr(100, 200e3, bushOrder)},
	{"Bush.Torsion", noneOr(0.001, 20, bushOrder)},
	{"Bush.Tilt", noneOr(0.001, 150, bushOrder)},

	{"Adjusters.CamFront", from(-90, 90, "an eccentric bolt turns a quarter turn either way")},
	{"Adjusters.CamRear", from(-90, 90, "an eccentric bolt turns a quarter turn either way")},
	{"Adjusters.CamFrontMeasured", from(-90, 90, "an eccentric bolt turns a quarter turn either way")},
	{"Adjusters.CamRearMeasured", from(-90, 90, "an eccentric bolt turns a quarter turn either way")},
	{"Adjusters.CamOffset", noneOr(1.5, 16, practice)},
	{"Adjusters.CamLimit", noneOr(10, 90, "an eccentric bolt turns a quarter turn either way")},
	{"Adjusters.UpperShift", from(-60, 60, practice)},
	{"Adjusters.UpperFrontLeg", from(-60, 60, practice)},
	{"Adjusters.UpperRearLeg", from(-60, 60, practice)},
	{"Adjusters.TieRod", from(-60, 60, practice)},
	{"Adjusters.TiePitch", from(0.75, 4, "threads of 0.75 to 2 mm pitch, of one hand or of both")},

	{"Tyre.Name", free("a name")},
	{"Tyre.Radius", from(270, 560, sizeSheet)},
	{"Tyre.LoadedRadius", from(250, 545, sizeSheet)},
	{"Tyre.RollingRadius", from(255, 550, sizeSheet)},
	{"Tyre.Width", from(150, 420, sizeSheet)},
	{"Tyre.ShoulderRadius", noneOr(4, 120, practice)},
	{"Tyre.RimDiameter", from(12, 24, sizeSheet)},
	{"Tyre.RimWidth", from(4, 16, sizeSheet)},
	{"Tyre.OffsetChange", from(-100, 100, practice)},
	{"Tyre.Mass", from(7, 60, sizeSheet)},
	{"Tyre.Inertia", from(0.4, 14, "a sample of 0.8 kg·m² seen, else practice")},
	{"Tyre.RimMass", from(4.5, 26, practice)},
	{"Tyre.RimInertia", from(0.08, 2, practice)},
	{"Tyre.SteerInertia", from(0.25, 9, practice)},
	{"Tyre.VerticalStiffness", from(100, 700, "a sample of 210 N/mm seen, else practice")},
	{"Tyre.LateralStiffness", from(40, 500, practice)},
	{"Tyre.CorneringStiffness", from(300, 4000, cornering)},
	{"Tyre.NominalLoad", from(2000, 20000, loadTable)},
	{"Tyre.CamberStiffness", noneOr(8, 250, practice)},
	{"Tyre.RelaxationLength", from(150, 1500, "about 0.3 to 0.7 m for car and light-truck tyres, from memory")},
	{"Tyre.PatchLength", noneOr(80, 420, practice)},
	{"Tyre.Pressure", from(75, 650, loadTable+", and practice off the road")},
	{"Tyre.LoadCapacity", from(350, 2600, loadTable)},
	{"Tyre.LoadPressure", from(180, 700, loadTable)},
	{"Tyre.Friction", from(0.1, 1.3, practice)},

	{"Steering.RackPerTurn", from(25, 90, practice)},
	{"Steering.HandwheelRadius", from(140, 240, "handwheels of 280 to 480 mm; 49 CFR 393.209 lists them from 406 mm up")},
	{"Steering.RackLimit", from(45, 130, practice)},
	{"Steering.Friction", noneOr(20, 900, service)},
	{"Steering.KingpinFriction", noneOr(0.6, 30, service)},
	{"Steering.RollingFriction", from(5, 100, "nothing is published; our own estimate")},
	{"Steering.AssistOnset", noneOr(0.2, 3, "about 1 N·m, from memory")},
	{"Steering.Efficiency", from(0.5, 1, practice)},
	{"Steering.ReverseEfficiency", from(0.35, 1, practice)},
	{"Steering.HandwheelInertia", noneOr(0.008, 0.15, practice)},
	{"Steering.KnuckleInertia", noneOr(0.1, 5, practice)},
	{"Steering.RodStiffness", noneOr(2e3, 200e3, practice)},
	{"Steering.Damping", noneOr(100, 30000, practice)},
	{"Steering.AssistGain", noneOr(0.5, 25, practice)},
	{"Steering.AssistCeiling", noneOr(1000, 25000, "pistons of 10 cm² at relief pressures of 65 to 103 bar, "+service)},

	{"Spring.Rate", from(18, 350, practice)},
	{"Spring.Damping", from(600, 25000, practice)},
	{"Spring.LowerPoint", box(-200, 200, 250, 850, 180, 800, ownRange)},
	{"Spring.UpperPoint", box(-250, 250, 200, 800, 350, 1300, ownRange)},
	{"Spring.DamperLower", box(-250, 250, 250, 850, 150, 800, ownRange)},
	{"Spring.DamperUpper", box(-300, 300, 200, 850, 350, 1300, ownRange)},
	{"Spring.On", free("one of two words")},
	{"Spring.WheelBarRate", noneOr(1, 150, practice)},
	{"Spring.BumpTravel", noneOr(25, 300, practice)},
	{"Spring.DroopTravel", noneOr(25, 350, practice)},

	{"Obstacle.Name", free("a name")},
	{"Obstacle.From", box(-1200, 1200, 100, 1250, 0, 1600, ownRange)},
	{"Obstacle.To", box(-1200, 1200, 100, 1250, 0, 1600, ownRange)},
	{"Obstacle.Radius", noneOr(0.3, 80, practice)},
	{"Obstacle.MovesWith", free("one of three words")},
}

// usual finds a line of the table.
var usual = sync.OnceValue(func() map[string]Usual {
	found := map[string]Usual{}
	for _, l := range usualLines {
		found[l.field] = l.Usual
	}
	return found
})

// part is one number, point or text of a vehicle with its place in it.
type part struct {
	path  string // as a notebook writes it: "Front.Adjust.CamFront", "Body.From"
	key   string // its line in the table: "Adjusters.CamFront"
	field Field
	index []int
}

// parts are all those of a vehicle; of Right they are the same as of Front, and are left out.
var parts = sync.OnceValue(func() []part {
	var list []part
	var visit func(t reflect.Type, path string, index []int)
	visit = func(t reflect.Type, path string, index []int) {
		for _, f := range Fields(t) {
			p := part{strings.TrimPrefix(path+"."+f.Name, "."), t.Name() + "." + f.Name, f, append(append([]int{}, index...), f.Index...)}
			switch ft := f.Type; {
			case ft.Kind() == reflect.Pointer:
			case ft.Kind() == reflect.Struct && ft != reflect.TypeFor[Point]():
				visit(ft, p.path, p.index)
			default:
				list = append(list, p)
			}
		}
	}
	visit(reflect.TypeFor[Vehicle](), "", nil)
	return list
})

// obstacleParts are those of an obstacle.
var obstacleParts = sync.OnceValue(func() []part {
	var list []part
	for _, f := range Fields(reflect.TypeFor[Obstacle]()) {
		list = append(list, part{f.Name, "Obstacle." + f.Name, f, f.Index})
	}
	return list
})

// amountText prints a number of a field's own unit.
func (f *Field) amountText(x float64) string { return f.Unit.Text(significant(x, 4)) }

// significant prints a number to so many digits, and without an exponent.
func significant(x float64, digits int) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}
