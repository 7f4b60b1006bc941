package sim

// CardReading is one reading that a card to measure with asks for, of either side of the vehicle.
type CardReading struct {
	Kind, From, To string // as in a SurveyReading of the left corner
	Twice          bool   // to be taken again, afresh: what too little else would check
}

// CardReadings lists what a card asks for, in the order of the work: first from the floor, then with a tape between
// the joints. With all of it every reading has a redundancy of about 0.2 or more, and of three readings that check only one
// another one is taken twice: otherwise nothing could tell which of them is wrong.
func CardReadings() []CardReading {
	return []CardReading{
		{"floor", "WheelCentre", "Right.WheelCentre", true},
		{"across", "WheelCentre", "", false}, {"height", "WheelCentre", "", true},
		{"along", "LowerFront", "", false}, {"across", "LowerFront", "", false}, {"height", "LowerFront", "", true},
		{"along", "LowerRear", "", false}, {"across", "LowerRear", "", false}, {"height", "LowerRear", "", true},
		{"along", "LowerBall", "", true}, {"across", "LowerBall", "", false}, {"height", "LowerBall", "", true},
		{"along", "TieInner", "", true}, {"across", "TieInner", "", false}, {"height", "TieInner", "", true},
		{"along", "TieOuter", "", true}, {"across", "TieOuter", "", false}, {"height", "TieOuter", "", true},
		{"along", "UpperFront", "", false}, {"across", "UpperFront", "", false}, {"height", "UpperFront", "", true},
		{"along", "UpperRear", "", false}, {"across", "UpperRear", "", false}, {"height", "UpperRear", "", true},
		{"along", "UpperBall", "", true}, {"across", "UpperBall", "", false}, {"height", "UpperBall", "", true},
		{"tape", "LowerFront", "LowerRear", false},
		{"tape", "LowerFront", "LowerBall", false}, {"tape", "LowerRear", "LowerBall", false},
		{"tape", "TieInner", "TieOuter", true}, {"tape", "TieOuter", "LowerBall", false},
		{"tape", "UpperFront", "UpperRear", false},
		{"tape", "UpperFront", "UpperBall", false}, {"tape", "UpperRear", "UpperBall", false},
	}
}

// Side is the reading to take of the left corner (0) or of the right one (1), as often as it is to be taken; none of the
// right one where the left one's serves both.
func (c CardReading) Side(side int) (rows []SurveyReading) {
	r := SurveyReading{Kind: c.Kind, From: c.From, To: c.To}
	if side == 1 {
		if c.Both() {
			return nil
		}
		r.From = "Right." + r.From
		if r.To != "" {
			r.To = "Right." + r.To
		}
	}
	rows = append(rows, r)
	if c.Twice {
		rows = append(rows, r)
	}
	return rows
}

// Both tells whether one reading serves both sides.
func (c CardReading) Both() bool { return c.To == "Right."+wheelCentre }
