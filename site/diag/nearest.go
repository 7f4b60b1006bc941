package diag

import (
	"fmt"
	"strings"
)

// Nearest gives the known name closest to a misspelt one, or "" when none is close: at most a third of
// the letters (and never fewer than one) may differ by insertion, removal, exchange or swap of neighbours
// (optimal string alignment distance, Damerau 1964). Case alone never counts as a difference. Of equally
// close names one with the same first letter wins, then one of the same length, then the first by letters.
func Nearest(name string, known []string) string {
	if name == "" || len(name) > maxName {
		return ""
	}
	best, bestDistance := "", max(len(name)/3, 1)+1
	for _, k := range known {
		if k == "" || len(k) > 2*maxName {
			continue
		}
		d := distance(strings.ToLower(name), strings.ToLower(k))
		if d == len([]rune(name)) {
			continue // nothing in common: x is not a misspelt N
		}
		if d < bestDistance || d == bestDistance && best != "" && closer(name, k, best) {
			best, bestDistance = k, d
		}
	}
	return best
}

// maxName bounds the names that are compared, in bytes. Nobody misspells a longer one, and comparing takes memory as the
// product of two lengths.
const maxName = 200

func closer(name, a, b string) bool {
	if x, y := a[:1] == name[:1], b[:1] == name[:1]; x != y {
		return x
	}
	if x, y := len(a) == len(name), len(b) == len(name); x != y {
		return x
	}
	return a < b
}

// DidYouMean phrases Nearest as a hint, or gives "".
func DidYouMean(name string, known []string) string {
	if n := Nearest(name, known); n != "" {
		return "did you mean " + n + "?"
	}
	return ""
}

// OneOf phrases Nearest as a hint, or else lists what there is.
func OneOf(name string, known []string) string {
	if near := DidYouMean(name, known); near != "" || len(known) == 0 {
		return near
	}
	const most = 400 // bytes of names
	shown := 1
	for size := len(known[0]); shown < len(known) && size+len(known[shown]) <= most; shown++ {
		size += len(known[shown]) + len(", ")
	}
	last := fmt.Sprintf("%d more", len(known)-shown)
	if shown == len(known) {
		shown--
		last = known[shown]
	}
	if shown == 0 {
		return "there is " + last
	}
	return "there are " + strings.Join(known[:shown], ", ") + " and " + last
}

// distance counts the letters that differ, as Nearest says.
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	rows := make([][]int, len(s)+1)
	for i := range rows {
		rows[i] = make([]int, len(t)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(s); i++ {
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(s)][len(t)]
}
