package size

import (
	"math"
	"sync"
)

const (
	poundForce = 0.45359237 // kg, exact
	psi        = 6894.757   // Pa
)

// Row is one line of a load table: what a tyre may carry at a gauge pressure.
type Row struct {
	Pressure float64 // Pa
	Load     float64 // kg, single fitment
}

// LightTruckLoads are load tables of light-truck tyres by size, as published by tyre associations and sellers (seen; psi and
// pounds there). A table bends where the load index caps it: the table counts, and nothing above its last row.
var LightTruckLoads = sync.OnceValue(func() map[string][]Row {
	return map[string][]Row{
		"LT235/85R16":   rows(35, 5, 1700, 1870, 2030, 2205, 2335, 2485, 2623, 2765, 2905, 3042),
		"31x10.50R15LT": rows(25, 5, 1400, 1595, 1765, 1945, 2100, 2270),
		"33x12.50R17LT": rows(25, 5, 1610, 1850, 2040, 2255, 2440, 2600, 2780, 2935, 3085),
		"35x12.50R17LT": rows(25, 5, 1875, 2155, 2405, 2625, 2840, 3000, 3065, 3130, 3195),
		"35x12.50R18LT": rows(25, 5, 1820, 2075, 2335, 2530, 2735, 2910, 3115, 3295, 3415),
		"35x12.50R20LT": rows(25, 5, 1655, 1895, 2095, 2310, 2495, 2680, 2845, 3010, 3195),
	}
})

// rows makes a table of evenly spaced pressures in psi and loads in pounds.
func rows(first, step float64, pounds ...float64) []Row {
	list := make([]Row, len(pounds))
	for i, load := range pounds {
		list[i] = Row{(first + step*float64(i)) * psi, load * poundForce}
	}
	return list
}

// ratedPressures are the gauge pressures in psi at which a light-truck tyre of a load range carries its most (tyre
// associations' yearbooks, from memory).
var ratedPressures = map[string]float64{"B": 35, "C": 50, "D": 65, "E": 80, "F": 95}

const (
	passengerPressure = 240e3 // Pa, at which a passenger tyre of standard load carries its most (from memory)
	passengerOnTruck  = 1.10  // a passenger tyre's load is divided by this on a truck or multi-purpose vehicle (49 CFR 571.110, from memory; used in a worked answer, seen)
)

// PassengerLoad is what a passenger tyre of 50 series and up may carry, kg, at a gauge pressure (Pa):
//
//	6.67e-5·P^0.5·S^1.39·(d + S),   S = (0.34848 + 0.6497·A)·W
//
// with the pressure P in kPa, section width W and rim diameter d in whole mm and aspect ratio A (a tyre association's formula,
// seen). It gives 1148 kg for 265/70R17 at 240 kPa, whose load index 113 stands for 1150. NaN outside its range: 50 to 85
// series, 120 to 240 kPa.
func (s Size) PassengerLoad(pressure float64) float64 {
	if !(s.Aspect >= 0.50 && s.Aspect <= 0.85) || !(pressure >= 120e3 && pressure <= passengerPressure) {
		return math.NaN()
	}
	section := (0.34848 + 0.6497*s.Aspect) * s.Width * 1e3
	return 6.67e-5 * math.Sqrt(pressure/1e3) * math.Pow(section, 1.39) * (math.Round(s.RimDiameter*1e3) + section)
}

// Rating is the most that a tyre may carry, kg, and the gauge pressure, Pa, that it needs for it, as far as its designation
// tells; NaN for what it doesn't.
//
// The load is the smaller of what its load index and a load table say, or a passenger tyre's formula; the table is read at
// the pressure of the load range, where one is given, and never beyond its last row. A size that starts with "P" is a
// passenger tyre's, and a vehicle with arms like these a truck: its load is divided by 1.10. Whether a metric size
// without a letter is a passenger tyre's the designation doesn't tell.
func (s Size) Rating() (load, pressure float64) {
	load, pressure = s.LoadCapacity, math.NaN()
	if rated, ok := ratedPressures[s.LoadRange]; ok && (s.Service == "LT" || s.Form == Flotation) {
		pressure = rated * psi
	}
	if table := LightTruckLoads()[s.basic()]; table != nil {
		row := table[len(table)-1]
		for i := len(table) - 1; i > 0 && table[i].Pressure > pressure*(1+1e-9); i-- {
			row = table[i-1]
		}
		load, pressure = smaller(load, row.Load), row.Pressure
	}
	if s.Service == "P" {
		if !s.ExtraLoad {
			pressure = passengerPressure
			load = smaller(load, s.PassengerLoad(pressure))
		}
		load /= passengerOnTruck
	}
	return load, pressure
}

// smaller is the smaller of two loads, or the one that is known.
func smaller(a, b float64) float64 {
	if math.IsNaN(a) || b < a {
		return b
	}
	return a
}
