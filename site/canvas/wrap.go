package canvas

import (
	"sort"
	"strings"
)

// Wrap breaks words into at most so many lines, each of which fits. What has no room is cut and marked with an ellipsis;
// cut tells.
func Wrap(words []string, most int, fits func(line string) bool) (lines []string, cut bool) {
	line := ""
	for len(words) > 0 {
		try := strings.TrimPrefix(line+" "+words[0], " ")
		if fits(try) {
			line, words = try, words[1:]
			continue
		}
		if len(lines) == most-1 || line == "" {
			// The last line, or a single word that is too long for any.
			return append(lines, shorten(try, fits)), true
		}
		lines, line = append(lines, line), ""
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines, false
}

func shorten(line string, fits func(string) bool) string {
	const dots = "…"
	letters := []rune(line)
	kept := sort.Search(len(letters), func(n int) bool { return !fits(string(letters[:n+1]) + dots) })
	return strings.TrimRight(string(letters[:kept]), " ") + dots
}
