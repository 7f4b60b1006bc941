package notebook

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFootnotes(t *testing.T) {
	for _, text := range []string{
		"Words[^1] and more[^source]!\n\n[^1]: One.\n[^source]: Two, and[^1].\n",
		"The note stands first.\n\n[^a]: Note.\n\n# Heading[^a]\n\n| a[^a] |\n|---|\n| b[^a] |\n",
		"> quoted[^n]\n>\n> [^n]: A note in the quotation.\n",
		"No mark: `[^x]`, \\[^x], [^x](b.md) and [^ ].\n\n    [^x]\n\n```\n[^x]\n```\n",
		"A formula $a[^x]$ and {x[1]}.\n",
	} {
		assert.Empty(t, faults(text), text)
	}
	for _, c := range []struct{ text, want string }{
		{"Words[^1].\n", `1:6: no note goes with this mark; it would start with [^1]: (write \[^1] if it is meant as text)`},
		{"Words\n\n- item [^sorce]\n\n[^source]: Book.\n", `3:8: no note goes with this mark; it would start with [^sorce]: (did you mean [^source]?)` + "\n" +
			`5:1: no mark [^source] leads to this note, so nobody would read it`},
		{"So![^x] And[^y]\n\n  [^y]: Y\n", `1:4: no note goes with this mark; it would start with [^x]: (did you mean [^y]?)`},
		{"Words[^1].\n\n[^1]: One.\n[^1]: Again.\n", `4:1: there is a note [^1] already`},
		{"| a |\n|---|\n| b[^t] |\n", `3:4: no note goes with this mark; it would start with [^t]: (write \[^t] if it is meant as text)`},
		{"# Heading[^h]\n", `1:10: no note goes with this mark; it would start with [^h]: (write \[^h] if it is meant as text)`},
	} {
		assert.Equal(t, c.want, strings.Join(faults(c.text), "\n"), c.text)
	}
}
