package size

import "fmt"

// The load index runs from FirstIndex to LastIndex here: car, light-truck and light commercial tyres.
const (
	FirstIndex = 60
	LastIndex  = 150
)

// loads is the load in kg that a tyre of each index carries at the speed of its symbol (UN R30 and R54,
// annex 4). Indices 71 to 119 were seen in two sellers' tables that agree, and 111, 117, 118, 121, 123, 124, 126, 127 and 130
// beside pounds in load tables; the rest are from memory, held together by the rule the table was made with: 80 steps to a factor of ten.
var loads = [...]int{
	250, 257, 265, 272, 280, 290, 300, 307, 315, 325, // 60
	335, 345, 355, 365, 375, 387, 400, 412, 425, 437, // 70
	450, 462, 475, 487, 500, 515, 530, 545, 560, 580, // 80
	600, 615, 630, 650, 670, 690, 710, 730, 750, 775, // 90
	800, 825, 850, 875, 900, 925, 950, 975, 1000, 1030, // 100
	1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360, // 110
	1400, 1450, 1500, 1550, 1600, 1650, 1700, 1750, 1800, 1850, // 120
	1900, 1950, 2000, 2060, 2120, 2180, 2240, 2300, 2360, 2430, // 130
	2500, 2575, 2650, 2725, 2800, 2900, 3000, 3075, 3150, 3250, // 140
	3350, // 150
}

// LoadOfIndex gives the load of a load index in kg.
func LoadOfIndex(index int) (float64, error) {
	if index < FirstIndex || index > LastIndex {
		return 0, fmt.Errorf("load index %d is outside the table (%d to %d)", index, FirstIndex, LastIndex)
	}
	return float64(loads[index-FirstIndex]), nil
}

// speeds gives the speed of each symbol in km/h (UN R30 and R54, from memory).
var speeds = map[string]float64{
	"F": 80, "G": 90, "J": 100, "K": 110, "L": 120, "M": 130, "N": 140, "P": 150, "Q": 160, "R": 170,
	"S": 180, "T": 190, "U": 200, "H": 210, "V": 240, "W": 270, "Y": 300,
}
