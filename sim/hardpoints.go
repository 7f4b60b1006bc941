package sim

import "sync"

// hardpointNames are the measured places that a corner's geometry hangs on, in the order of Corner.
var hardpointNames = [...]string{
	"UpperFront", "UpperRear", "UpperBall", "LowerFront", "LowerRear", "LowerBall", "TieInner", "TieOuter", "WheelCentre",
}

// coordinateNames are their coordinates: "UpperFront.X", "UpperFront.Y", …
var coordinateNames = sync.OnceValue(func() (names []string) {
	for _, p := range hardpointNames {
		names = append(names, p+".X", p+".Y", p+".Z")
	}
	return names
})

// hardpointWords are what the trade calls them, and coordinateWords their coordinates, for sentences.
var hardpointWords = [...]string{
	"upper front pivot", "upper rear pivot", "upper ball joint", "lower front pivot", "lower rear pivot", "lower ball joint",
	"inner tie-rod joint", "outer tie-rod joint", "wheel centre",
}

var coordinateWords = sync.OnceValue(func() (words []string) {
	for _, p := range hardpointWords {
		words = append(words, p+" fore and aft", p+" across", p+" up and down")
	}
	return words
})

// places gives where a corner keeps them.
func (c *Corner) places() [len(hardpointNames)]*Point {
	return [...]*Point{
		&c.UpperFront, &c.UpperRear, &c.UpperBall, &c.LowerFront, &c.LowerRear, &c.LowerBall, &c.TieInner, &c.TieOuter, &c.WheelCentre,
	}
}

// coordinates gives where a corner keeps their coordinates.
func (c *Corner) coordinates() (list []*float64) {
	for _, p := range c.places() {
		list = append(list, &p.X, &p.Y, &p.Z)
	}
	return list
}

// Measured visits every point of a corner that a survey can give, by its field's name: those that the geometry hangs on,
// and the drive shaft's joints.
func (c *Corner) Measured(visit func(name string, at *Point)) {
	for i, p := range c.places() {
		visit(hardpointNames[i], p)
	}
	visit("ShaftInner", &c.ShaftInner)
	visit("ShaftOuter", &c.ShaftOuter)
}

// oneSided describes a vehicle by one of its corners alone, as its left one and mirrored, with the body
// pitched as it is: what is said of one wheel then needs no other.
func (v *Vehicle) oneSided(right bool) Vehicle {
	w := *v
	w.Right = nil
	if v.Right == nil {
		return w
	}
	mean := (v.Front.Lift + v.Right.Lift) / 2
	if right {
		w.Front = *v.Right
	}
	w.RearLift += w.Front.Lift - mean
	return w
}
