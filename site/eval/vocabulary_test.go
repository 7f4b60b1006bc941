package eval

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"turnplate/site/vocabulary"
)

// A figure asks for just those fields that its words call required, the first of them or all at once.
func TestRequiredFieldsAreTold(t *testing.T) {
	for _, f := range vocabulary.Figures {
		p := page(t, "```go params\n"+f.Name+"{}\n```\n")
		var must []string
		for _, field := range f.Fields {
			if field.Must {
				must = append(must, f.Name+" needs "+field.Name)
			}
		}
		var said []string
		for _, fault := range p.Faults {
			if strings.HasPrefix(fault.Message, f.Name+" needs ") { // a card wants one of two, in words of its own
				said = append(said, fault.Message)
			}
		}
		assert.Equal(t, must, said, f.Name)
	}
}

// Where a name isn't known, the message says which there are.
func TestKnownNamesAreListed(t *testing.T) {
	for block, want := range map[string]string{
		"Gauges{Zzz: 1}":                 "Gauges has no field Zzz (there are Rows, Title, Caption, Alt and Share)",
		"a := at(1, 2, 3)*mm\nb := a.Qq": "(there are X, Y and Z)",
		"t := Tyre{Foo: 3*kg}":           "Tyre has no field Foo (there are Name, Radius, ",
		"x := 3*zzz":                     "zzz isn't known here",
		"x := zzzzzz(3)":                 "zzzzzz isn't a function known here (there are abs, acos, ",
		"x := 3*mm\nClaim{Text: \"{x in zzzzzz}\", Holds: x > 1*mm}": "zzzzzz isn't a unit (there are Hz, N, W, bar, ",
	} {
		p := page(t, "```go params\n"+block+"\n```\n")
		if assert.NotEmpty(t, p.Faults, block) {
			assert.True(t, strings.Contains(p.Faults[0].Error(), want), "%s: %s", block, p.Faults[0].Error())
		}
	}
}
