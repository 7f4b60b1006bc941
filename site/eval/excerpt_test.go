package eval

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What may be picked is every name behind a dot, whatever blanks and comments stand between.
func FuzzPicks(f *testing.F) {
	behindDot := regexp.MustCompile(`\.(?:[ \t\r\n]|//[^\n]*\n|/\*(?:[^*]|\*+[^*/])*\*+/)*([\pL_][\pL\p{Nd}_]*)`)
	for _, text := range []string{"a.B", "a.B.C2 {c.Ä_1 in mm}", "1.5 .5 ..a .7x", "a. // of p. 3\n\tB.", "a./* b.c **/ /**/D", "a./*/b", "a.//b", "€.é.", "\xff.\xffa.b"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var names []string
		for _, m := range behindDot.FindAllStringSubmatch(text, -1) {
			names = append(names, m[1])
		}
		assert.Equal(t, names, picks(text))
	})
}
