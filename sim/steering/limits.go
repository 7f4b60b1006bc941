package steering

// EffortLimit is what UN Regulation No. 79 asks of a steering system's effort: at most Effort at the rim, with the vehicle
// turned from straight ahead into a circle of Radius within Time, at 10 km/h.
type EffortLimit struct {
	Category string  // of vehicle, by the UN's consolidated resolution R.E.3
	Failed   bool    // with the assistance failed; else intact
	Effort   float64 // N, at the nominal radius of the handwheel
	Time     float64 // s
	Radius   float64 // m, of the turning circle; a category that may use full lock instead says so below
	FullLock bool    // or full lock, if that circle can't be reached
	Verified bool    // someone has read it in the regulation itself
}

// EffortLimits lists UN R79, paragraph 6.2: a reference, not a certificate. The whole table is from memory and so not
// verified; that effort is measured at the handwheel's nominal radius until the circle is reached was seen in a copy.
var EffortLimits = []EffortLimit{
	{Category: "M1", Effort: 150, Time: 4, Radius: 12},
	{Category: "M1", Failed: true, Effort: 300, Time: 4, Radius: 20},
	{Category: "M2", Effort: 150, Time: 4, Radius: 12},
	{Category: "M2", Failed: true, Effort: 300, Time: 4, Radius: 20},
	{Category: "M3", Effort: 200, Time: 4, Radius: 12, FullLock: true},
	{Category: "M3", Failed: true, Effort: 450, Time: 6, Radius: 20},
	{Category: "N1", Effort: 200, Time: 4, Radius: 12},
	{Category: "N1", Failed: true, Effort: 300, Time: 4, Radius: 20},
	{Category: "N2", Effort: 250, Time: 4, Radius: 12},
	{Category: "N2", Failed: true, Effort: 400, Time: 4, Radius: 20},
	{Category: "N3", Effort: 200, Time: 4, Radius: 12, FullLock: true},
	{Category: "N3", Failed: true, Effort: 450, Time: 6, Radius: 20}, // 500 N in one case with several steered axles
}
