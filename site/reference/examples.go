package reference

import "maps"

// use is what somebody asks when a model answers, and how to ask it: a parameter block as one would paste it,
// and a sentence that shows what came of it. A test evaluates every one.
type use struct {
	question string
	block    string // without the line that names the vehicle
	sentence string
}

// topics group the models on the page that lists them, by what a reader wants to know.
var topics = []struct {
	title string
	names []string
}{
	{"Measuring", []string{"Survey", "Weighing"}},
	{"Caster, camber and toe", []string{"Alignment", "AlignTo", "Reach", "Coupling", "CasterSweep", "Reconcile", "Sensitivity"}},
	{"Travel, lock and room", []string{"Travel", "Steer", "Clearance", "JointAngles"}},
	{"At the handwheel", []string{"ParkingEffort", "ReturnTorque", "SteerRelease", "Pull", "KickBack"}},
	{"Tyres and wheels", []string{"TyreLoad", "WheelInertia", "Stopping", "PullAway", "Gearing", "Ride"}},
	{"Loads and upkeep", []string{"JointLoads", "Compliance", "Upkeep"}},
}

// theTruck is the line that an example about a vehicle starts with.
const theTruck = "truck := use(\"vehicles/truck\").truck // the page that describes your vehicle\n"

// bigger is a new tyre beside the old one, for the models that compare two.
const bigger = `old := truck.Tyre
car := truck
car.Tyre = tyreSize("285/70R17", old)
car.Tyre.Mass = old.Mass + 6*kg
`

var uses = func() map[string]use {
	all := maps.Clone(partUses)
	maps.Copy(all, modelUses)
	return all
}()

var modelUses = map[string]use{
	"Alignment": {
		"What are caster, camber, toe, trail and scrub radius now, as the vehicle is set and lifted?",
		`now := Alignment{Vehicle: truck}
Table{
	Title: "As it stands",
	Columns: []Column{
		{"Caster", now.Caster, deg, 0.01},
		{"Camber", now.Camber, deg, 0.01},
		{"Total toe", now.TotalToe, deg, 0.01},
		{"Scrub radius", now.ScrubRadius, mm, 1},
	},
}`,
		"The steering axis leans back by {now.Caster in deg to 0.1}; its trail is {now.Trail in mm to 1}.",
	},
	"AlignTo": {
		"Which settings give the angles that I want, and can the shop reach them?",
		`want := 3.5*deg
set := AlignTo{Vehicle: truck, Caster: want, Camber: 0*deg, Toe: 0.05*deg}
Sheet{Set: set, Allow: Allowance{Camber: 0.2*deg, Caster: 0.3*deg, Toe: 0.05*deg}}
Claim{"The cams reach {want in deg} of caster", set.Reached}`,
		"That takes {set.CamUse in percent to 1} of the cams' range.",
	},
	"Reach": {
		"How far do caster and camber go with the adjusters and arms that it has?",
		`camber := span(-1*deg, 1*deg, 21)
can := Reach{Vehicle: truck, Camber: camber}
ends := Choices{"Most caster": can.CasterMax, "Least caster": can.CasterMin}
Curves{Title: "Caster that the cams can hold", X: camber, Y: ends, By: ends, XIn: deg, YIn: deg}`,
		"With upright wheels, caster goes up to {can.CasterMax.At(camber, 0*deg) in deg to 0.1}.",
	},
	"Coupling": {
		"What does turning one adjuster do to all three angles?",
		`turned := Coupling{Vehicle: truck}
Table{
	Title: "What one step does",
	Rows: turned.StepCaster,
	Columns: []Column{
		{"Caster", turned.StepCaster, deg, 0.001},
		{"Camber", turned.StepCamber, deg, 0.001},
		{"Toe", turned.StepToe, deg, 0.001},
	},
}`,
		"A turn of the tie rod changes toe by {turned.TieRod.Toe*turn in deg to 0.01}.",
	},
	"CasterSweep": {
		"What will the shop's gauge show, and how far is that from the truth?",
		`gauge := CasterSweep{Vehicle: truck}
Table{
	Title: "Caster by three ways",
	Columns: []Column{
		{"True", gauge.Caster, deg, 0.01},
		{"By the exact factor", gauge.GaugeCaster, deg, 0.01},
		{"By the shop's 1.5", gauge.ShopCaster, deg, 0.01},
	},
}`,
		"The gauge is off by {gauge.GaugeError in deg to 0.01}.",
	},
	"Reconcile": {
		"Does the shop's printout agree with my measurements, and which point is likely wrong?",
		`sure := Reconcile{
	Vehicle: truck,
	Caster:  Sides{Left: 2.9*deg, Right: 2.9*deg},
	Camber:  Sides{Left: 0.1*deg, Right: 0.1*deg},
	Toe:     Sides{Left: 0.05*deg, Right: 0.05*deg},
}
likely := Alignment{Vehicle: sure.Vehicle}`,
		"Chance alone explains the printout with a probability of {sure.Probability in percent to 1}; {sure.MostMoved} moved furthest. The likeliest caster is {likely.Caster in deg to 0.01}.",
	},
	"Survey": {
		"Where are my suspension's points, how well do I know them, and which reading did I get wrong?",
		`found := Survey{Readings: readings("vehicles/points.csv"), Start: truck}
surveyed := truck
surveyed.Front = found.Front
lean := Alignment{Vehicle: surveyed}
Table{
	Title: "What each reading says",
	Rows: found.Row,
	Columns: []Column{
		{"Computed less read", found.Residual, mm, 0.1},
		{"In its own deviations", found.Standardised, 1, 0.1},
		{"Checked", found.Redundancy, percent, 1},
		{"Error that shows", found.Detectable, mm, 0.1},
	},
}`,
		"The points give {lean.Caster in deg to 0.1} of caster. If a reading is wrong, it is likely {found.Suspect}, or {found.RunnerUp}; {found.Next} would help most.",
	},
	"Sensitivity": {
		"Which point must be measured best, or again?",
		`off := Sensitivity{Vehicle: truck, PointSpread: 3*mm, Bump: 60*mm}`,
		"Taped to 3 mm, toe with the wheel 60 mm up is sure to {off.ToeSpread in deg to 0.01}. Measure {off.ToePoint} again.",
	},
	"Travel": {
		"What do the angles, the upper ball joint and the drive shaft do as the wheel moves up and down?",
		`bump := span(-60*mm, 60*mm, 25)
moved := Travel{Vehicle: truck, Bump: bump}
Curves{Title: "Toe over the travel", X: bump, Y: moved.Toe, XIn: mm, YIn: deg}`,
		"From end to end, toe changes by {moved.Toe.Max() - moved.Toe.Min() in deg to 0.01}.",
	},
	"Steer": {
		"What do the two wheels do through the lock?",
		`rack := span(-70*mm, 70*mm, 29)
lock := Steer{Vehicle: truck, Rack: rack}
Curves{Title: "How far from Ackermann", X: rack, Y: lock.AckermannError, XIn: mm, YIn: deg}`,
		"The left wheel leans {lock.Camber.At(rack, -70*mm) in deg to 0.1} when it is the outer one at 70 mm of rack.",
	},
	"Clearance": {
		"Does the tyre rub, on what, and at which lock and height?",
		`swept := Clearance{Vehicle: truck}`,
		"It comes nearest to {swept.Nearest}: {swept.SmallestGap in mm to 1}, with the rack at {swept.NearestRack in mm to 1}.",
	},
	"JointAngles": {
		"Do ball joints, tie-rod ends and drive shafts reach that far?",
		`car := truck
car.Front.ShaftLimit = 47*deg // the joint maker's
joints := JointAngles{Vehicle: car}
Table{
	Title: "The outer shaft joint at its worst",
	Columns: []Column{
		{"Bends by", joints.ShaftOuter.Angle, deg, 0.1},
		{"Left to its limit", joints.ShaftOuter.Margin, deg, 0.1},
		{"With the rack at", joints.ShaftOuter.Rack, mm, 1},
		{"and the wheel at", joints.ShaftOuter.Bump, mm, 1},
	},
}`,
		"The outer tie-rod end leans by up to {joints.TieOuter.Angle in deg to 0.1}.",
	},
	"ParkingEffort": {
		"How hard is it to steer while standing?",
		`lock := span(0*deg, 30*deg, 31)
park := ParkingEffort{Vehicle: truck, Angle: lock}
Curves{Title: "Pull at the rim, standing still", X: lock, Y: park.RimForce, XIn: deg, YIn: N}`,
		"It starts with {park.RimForce.At(lock, 0*deg) in N to 5} at the rim and goes up to {park.RimForce.Max() in N to 5}.",
	},
	"ReturnTorque": {
		"How firmly does the steering straighten itself in a bend, and where does friction hold it?",
		`bend := span(0*gravity, 0.4*gravity, 21)
back := ReturnTorque{Vehicle: truck, Speed: 60*kph, LateralAcceleration: bend}
Curves{Title: "Torque that straightens the handwheel", X: bend, Y: back.Total, XIn: gravity, YIn: N*m}`,
		"On centre it grows by {back.GradientPerG.At(bend, 0*gravity) in N*m/gravity to 0.1}.",
	},
	"SteerRelease": {
		"What happens when I let go of the handwheel in a bend?",
		`letGo := SteerRelease{Vehicle: truck, Speed: 60*kph, LateralAcceleration: 0.3*gravity}
Claim{"It comes to rest by itself", letGo.Stable}`,
		"The handwheel is back at half its angle after {letGo.TimeToHalf in s to 0.01}, and friction leaves {letGo.AngleLeft in deg to 0.1} of it.",
	},
	"Pull": {
		"Does it pull to one side, and how much cross-caster answers a crowned road?",
		`crown := span(0*percent, 4*percent, 9)
drifts := Pull{Vehicle: truck, RoadCrown: crown, Speed: 90*kph}
Curves{Title: "Torque to hold it straight", X: crown, Y: drifts.HandwheelTorque, XIn: percent, YIn: N*m}`,
		"On a crown of 2 % hold {drifts.HandwheelTorque.At(crown, 2*percent) in N*m to 0.01}.",
	},
	"KickBack": {
		"How hard does a rough road kick the handwheel, and can a wheel shimmy?",
		`rough := KickBack{Vehicle: truck, Speed: 80*kph, KerbForce: 2000*N}`,
		"A bump taken at 1 m/s kicks the rim with {rough.Bump.RimForce in N to 1}, a blow of 2000 N on the wheel with {rough.Kerb.RimForce in N to 1}.",
	},
	"TyreLoad": {
		"Do the tyres carry the load at this pressure, and what pressure would?",
		`car := truck
car.Tyre = tyreSize("LT285/70R17/E 121/118S", truck.Tyre)
load := TyreLoad{Vehicle: car}
wheel := Choices{"Left front": load.Use, "Right front": load.Right.Use, "Left rear": load.Rear.Use, "Right rear": load.RearRight.Use}
Bars{Title: "How much of what each tyre may carry it carries", X: wheel, Y: wheel, YIn: percent}`,
		"At {car.Tyre.Pressure in kPa} each tyre may carry {load.Capacity in kg to 1}; the left front one carries {load.Load in kg to 1}.",
	},
	"Weighing": {
		"What do the scales say of masses, and of how high the centre of mass is?",
		`front  := normal(1120*kg, 2*kg)
raised := normal(1172*kg, 2*kg)
scales := Weighing{Vehicle: truck, Front: front, Rear: 970*kg, FrontRaised: raised, Rise: 700*mm}`,
		"Without wheels it is {scales.Mass in kg to 1}, its centre of mass {scales.CentreHeight in mm to 10} up.",
	},
	"WheelInertia": {
		"How hard is this wheel to spin up, and what did the swinging test say?",
		`spun := WheelInertia{
	Vehicle: truck, RimDiameter: 17*inch,
	StringLength: 2*m, StringSpacing: 500*mm, FlatPeriod: 3.0*s,
}`,
		"Estimated {spun.Spin in kg*m*m to 0.01}; swung, {spun.SwungSpin in kg*m*m to 0.01}.",
	},
	"Stopping": {
		"What does a heavier or taller tyre ask of the brakes?",
		bigger + `stop := Stopping{Vehicle: car, Old: old}`,
		"The brakes must give {stop.TorqueRise in percent to 0.1} more torque for the same stop; {stop.Margin in percent to 1} of what they can give is left.",
	},
	"PullAway": {
		"What does a bigger tyre take from pulling away and from climbing?",
		bigger + `away := PullAway{Vehicle: car, Old: old, GearRatio: 4.2, EngineTorque: 300*N*m}`,
		"It pulls away with {away.Acceleration in gravity to 0.01} instead of {away.Old.Acceleration in gravity to 0.01}.",
	},
	"Gearing": {
		"What does a taller tyre do to the speedometer and the revs?",
		bigger + `geared := Gearing{Vehicle: car, Old: old, Optimism: 3*percent}`,
		"At a true 100 km/h the speedometer shows {geared.Shown in kph to 0.1}: allowed, {geared.WithinR39}.",
	},
	"Ride": {
		"What does a heavier tyre do to ride and grip on a rough road?",
		bigger + `road := Ride{Vehicle: car, Old: old, Road: "D", Speed: 60*kph}`,
		"The wheel hops at {road.HopFrequency in Hz to 0.1} instead of {road.Old.HopFrequency in Hz to 0.1}.",
	},
	"JointLoads": {
		"What do ball joints, tie rod and pivots carry when braking, cornering or hitting something?",
		`blow := Choices{"Standing": "static", "Braking": "braking", "Pothole": "pothole"}
loads := JointLoads{Vehicle: truck, Case: blow}
Bars{Title: "Load on the lower ball joint", X: blow, Y: loads.LowerBall.Magnitude, YIn: kN}`,
		"In a pothole the lower ball joint carries {loads.LowerBall.Magnitude.At(blow, \"Pothole\") in kN to 0.1}.",
	},
	"Compliance": {
		"How much caster and toe do the rubber bushes give away in braking and cornering?",
		`car := truck
car.Front.UpperBush      = Bush{Radial: 5*kN/mm, Axial: 1*kN/mm, Torsion: 1*N*m/deg, Tilt: 8*N*m/deg} // assumed
car.Front.LowerFrontBush = Bush{Radial: 10*kN/mm, Axial: 2*kN/mm, Torsion: 1.5*N*m/deg, Tilt: 15*N*m/deg}
car.Front.LowerRearBush  = car.Front.LowerFrontBush
braking := Compliance{Vehicle: car, Deceleration: 0.7*gravity}
Table{
	Title: "What braking takes",
	Columns: []Column{
		{"Caster", braking.Caster, deg, 0.01},
		{"Toe", braking.Toe, deg, 0.01},
		{"Caster for each kN", braking.CasterPerBrake, deg/kN, 0.001},
	},
}`,
		"Firm braking takes {-braking.Caster in deg to 0.1} of caster.",
	},
	"Upkeep": {
		"What will the parts cost over the years, in money and hours?",
		`keep := Upkeep{
	Plan: []Task{
		{Name: "Alignment", Interval: 20000*km, Cost: 90*money, Hours: 1*hour},
		{Name: "Ball joints", Interval: 60000*km, Cost: 70*money, Hours: 2*hour, Count: 2, Shape: 3},
	},
	Distance: 150000*km,
}`,
		"Expect to spend {keep.Cost in money to 10}, from {keep.CostLow in money to 10} to {keep.CostHigh in money to 10}.",
	},
}

var partUses = map[string]use{
	"Vehicle": {
		"", `truck := Vehicle{
	Name:      "My truck",
	Wheelbase: 2850*mm,
	Front: Corner{ // the left one: x forward, y to the left, z up, from the ground under the front axle's middle
		UpperFront:  at(105, 432, 632)*mm,
		UpperRear:   at(-135, 440, 606)*mm,
		UpperBall:   at(-14, 672, 640)*mm,
		LowerFront:  at(205, 318, 262)*mm,
		LowerRear:   at(-195, 330, 270)*mm,
		LowerBall:   at(12, 742, 244)*mm,
		TieInner:    at(148, 350, 302)*mm,
		TieOuter:    at(146, 716, 290)*mm,
		WheelCentre: at(0, 806, 384)*mm,
	},
	Tyre: Tyre{Radius: 402*mm, LoadedRadius: 384*mm},
}
stands := Alignment{Vehicle: truck}`, "It stands at {stands.Caster in deg to 0.1} of caster.",
	},
	"Corner": {
		"", `car := truck
car.Right = truck.Front // only where the sides differ
car.Right.UpperBall = truck.Front.UpperBall + at(0, 2, 0)*mm
differ := Alignment{Vehicle: car}`, "The left wheel has {differ.CasterDifference in deg to 0.01} more caster than the right one.",
	},
	"Bush": {
		"",
		`car := truck
car.Front.UpperBush = Bush{Radial: uniform(3*kN/mm, 8*kN/mm), Axial: 1*kN/mm, Torsion: 1*N*m/deg, Tilt: 8*N*m/deg}
given := Compliance{Vehicle: car, Brake: 3*kN}`,
		"A brake force of 3 kN moves the wheel back by {-given.WheelX in mm}.",
	},
	"Adjusters": {
		"", `car := truck
car.Both.Adjust.CamFront = span(-60*deg, 60*deg, 25)
turned := Alignment{Vehicle: car}
Curves{Title: "Caster against the front cam", X: car.Front.Adjust.CamFront, Y: turned.Caster, XIn: deg, YIn: deg}`, "",
	},
	"Tyre": {
		"", `car := truck
car.Tyre = tyreSize("285/70R17", truck.Tyre) // dimensions from the designation, the rest as on the old tyre
car.Tyre.Mass = 24*kg
stands := Alignment{Vehicle: car}`, "The taller tyre has {stands.Trail in mm to 0.1} of trail.",
	},
	"Steering": {
		"", `car := truck
car.Steering.AssistGain = 0 // the pump has failed
heavy := ParkingEffort{Vehicle: car}`, "Without help the rim asks for {heavy.RimForce in N to 10}.",
	},
	"Spring": {
		"", `car := truck
car.Spring.Damping = list(2000*N*s/m, 3000*N*s/m)
rides := Ride{Vehicle: car}`, "The stiffer damper gives the wheel's hop a damping ratio of {rides.HopDamping.At(car.Spring.Damping, 3000*N*s/m) to 0.01}.",
	},
	"Obstacle": {
		"", `car := truck
car.Body = []Obstacle{
	{Name: "Mudguard", From: at(-520, 900, 300)*mm, To: at(-530, 900, 560)*mm, Radius: 2*mm},
}
swept := Clearance{Vehicle: car}`, "The tyre passes the mudguard by {swept.SmallestGap in mm to 1}.",
	},
	"Sides": {
		"", `set := AlignTo{Vehicle: truck, Caster: Sides{Left: 3.3*deg, Right: 3.6*deg}, Camber: 0*deg}`, "Reached: {set.Reached}.",
	},
	"Task": {
		"", `keep := Upkeep{
	Distance: 100000*km,
	Plan: []Task{
		{Name: "Alignment", Interval: 20000*km, Cost: 90*money},
		{Name: "Ball joints", Interval: 60000*km, Cost: 70*money, Count: 2, Shape: 3},
	},
}`, "Expect to spend {keep.Cost in money to 10}.",
	},
	"TravelReading": {
		"", `sure := Reconcile{
	Vehicle: truck,
	Travel: []TravelReading{
		{Bump: -40*mm, Toe: 0.10*deg},
		{Bump: 40*mm, Toe: -0.05*deg},
	},
}`, "{sure.MostMoved} moved furthest.",
	},
}
