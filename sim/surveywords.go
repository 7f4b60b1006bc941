package sim

import (
	"slices"
	"strconv"
	"strings"
)

// readingKinds are what a reading's Kind says of its one point, or of the way between its two.
var readingKinds = map[string]string{"along": "along the truck", "across": "across the truck", "height": "height", "floor": "on the floor", "tape": "by tape"}

// times are what a reading that was taken more than once is called.
var times = []string{"second", "third", "fourth", "fifth"}

// TakenApart takes a reading's row, as Survey names it, apart: "tape sill to UpperBall (2)" is a tape reading from the one to the
// other, taken for the second time.
func TakenApart(row string) (r SurveyReading, time int) {
	kind, rest, _ := strings.Cut(row, " ")
	time = 1
	if at := strings.LastIndex(rest, " ("); at > 0 && strings.HasSuffix(rest, ")") {
		if n, err := strconv.Atoi(rest[at+2 : len(rest)-1]); err == nil {
			rest, time = rest[:at], n
		}
	}
	from, to, _ := strings.Cut(rest, " to ")
	return SurveyReading{Kind: kind, From: from, To: to}, time
}

// ReadingWords says a reading's row in the trade's words: "upper ball joint, along the truck, second reading". Points that
// readers named themselves keep their names.
func ReadingWords(row string) string {
	r, time := TakenApart(row)
	kind, known := readingKinds[r.Kind]
	if !known {
		return row
	}
	words := placeWords(r.From)
	if r.To != "" {
		words += " to " + placeWords(r.To)
	}
	words += ", " + kind
	switch {
	case time > 1 && time < len(times)+2:
		words += ", " + times[time-2] + " reading"
	case time > 1:
		words += ", reading " + strconv.Itoa(time)
	}
	return words
}

func placeWords(name string) string {
	place, right := strings.CutPrefix(name, "Right.")
	i := slices.Index(hardpointNames[:], place)
	switch {
	case i < 0:
		return name
	case right:
		return "right " + hardpointWords[i]
	}
	return hardpointWords[i]
}
