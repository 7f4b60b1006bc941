package notebook

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/diag"
)

func TestFrontMatter(t *testing.T) {
	nb := read(t, "---\n# a comment\ntitle: How much caster\nsummary: 'It''s about {x in deg}'\norder: -3\ndate: 2026-02-28\nauthor: A. Nother\nunits: us\ndraft: true\ndraws: 50\ncurrency: €\n---\n\n# Heading\n")
	f := nb.Front
	f.TitleAt, f.SummaryAt = nb.Front.TitleAt, nb.Front.SummaryAt
	assert.Equal(t, "How much caster", f.Title)
	assert.Equal(t, "It's about {x in deg}", f.Summary)
	assert.Equal(t, -3, f.Order)
	assert.Equal(t, "2026-02-28", f.Date)
	assert.Equal(t, "A. Nother", f.Author)
	assert.Equal(t, "us", f.Units)
	assert.True(t, f.Draft)
	assert.Equal(t, 50, f.Draws)
	assert.Equal(t, "€", f.Currency)
	parts := Parts(f.SummaryAt)
	require.Len(t, parts, 2)
	placesTrue(t, parts[1].Snippet)
}

func TestFrontDefaults(t *testing.T) {
	for text, lines := range map[string]int{"Words\n": 0, "---\n---\n\nWords\n": 2, "---\n# only a comment\n---\nWords\n": 3, "": 0} {
		f := read(t, text).Front
		assert.Equal(t, Front{Title: "caster", Units: "metric", Draws: 1000, Lines: lines}, f)
	}
}

// With its front matter known, as JSON carries it, a notebook is the one that Read gives.
func TestComplete(t *testing.T) {
	body := "\n# Heading {x}\n\n---\n\n```go params\nx := 1\n```\n\n- [a](b.md) {x} $y$\n\ntitle: no[^1]\n---\n\n[^1]: {x}\n"
	for _, front := range []string{
		"", "---\n---\n", "\n---\norder: 2\n---\n", "---\ntitle: \"It\\u2019s\\\n  {x}\"\nsummary: >\n  long {x}\n  and more\n---\n", "---\nyours: x\n---\n\n\n", "\ufeff---\ntitle: A\n---\n",
		"----\ntitle: A\n----\n", "---\r\ntitle: A\r\n---\r\n",
	} {
		want := Read("studies/one", []byte(front+body))
		require.Empty(t, want.Faults, front)
		carried, err := json.Marshal(want.Front)
		require.NoError(t, err)
		nb := &Notebook{Path: want.Path, File: want.File}
		require.NoError(t, json.Unmarshal(carried, &nb.Front))
		nb.Complete([]byte(front + body))
		for _, text := range []*diag.Snippet{&want.Front.TitleAt, &want.Front.SummaryAt, &want.Front.YoursAt} {
			if text.Source == nil { // of what isn't given the file is no matter
				text.File, text.Source = want.File, want.Source
			}
		}
		assert.Equal(t, want.Front, nb.Front)
		assert.True(t, reflect.DeepEqual(want, nb), front)
	}
}

// A rule of dashes is front matter at the very start only.
func TestRuleIsNotFront(t *testing.T) {
	assert.Equal(t, "Title", read(t, "# Title\n---\ntitle: no\n").Front.Title)
	assert.Equal(t, "caster", read(t, "> ---\n> title: no\n").Front.Title)
	assert.Equal(t, "yes", read(t, "\n---\ntitle: yes\n---\n").Front.Title)
	assert.Equal(t, "yes", read(t, "----\ntitle: yes\n----\n").Front.Title)
}

func TestFrontTextPlaces(t *testing.T) {
	for name, yaml := range map[string]string{
		"plain":          "title: The gain {x in deg} and {y in N}",
		"padded":         "title:    The gain {x in deg}   ",
		"single quotes":  "title: '{x in deg} ''and'' then'",
		"double quotes":  `title: "{x in deg}: é \" {y}"`,
		"escape beside":  `title: "\"{x in deg}\",\u00e9{y}\x41\t{z}, \\ {last}"`,
		"quote beside":   "title: 'it''s''{x in deg}'''",
		"escape, folded": "title: \"a \\\"{x}\n  b \\\"{y}\\\" {z}\"",
		"joined":         "title: \"a{x}b\\\n  c {y} d \\\n\\\n\t e \\\" {z}\"",
		"plain, folded":  "title: The gain\n  is {x in deg} and\n  {y\n  in N}",
		"folded":         "title: >\n  The gain\n  is {x in deg} and\n  {y\n  in N}",
		"literal":        "title: |-\n    The gain\n    is {x in deg}",
		"after accents":  "author: é\ntitle: \"é {x}\"",
		"not first":      "order: 3\n\n# words\ntitle: at {x}",
	} {
		for _, end := range []string{"\n", "\r\n"} {
			t.Run(name, func(t *testing.T) {
				nb := read(t, strings.ReplaceAll("---\n"+yaml+"\n---\n\nWords\n", "\n", end))
				found := 0
				for _, p := range Parts(nb.Front.TitleAt) {
					if p.Insert {
						found++
						placesTrue(t, p.Snippet)
					}
				}
				assert.Equal(t, strings.Count(nb.Front.Title, "{"), found)
				assert.Equal(t, nb.Front.Title, strings.Join(strings.Fields(nb.Front.TitleAt.Text), " "))
			})
		}
	}
}

func TestFrontFaults(t *testing.T) {
	const close = "\n---\n\nWords\n"
	const ends = "front matter is one document, which this line would end, and what follows would be lost (remove it, or write it within a text in quotes)"
	for text, want := range map[string][]string{
		"titel: A\norder: 1":      {`2:1: front matter has no key "titel" (did you mean title?)`},
		"layout: wide":            {`2:1: front matter has no key "layout" (there are title, summary, order, date, author, units, draft, draws, yours and currency)`},
		"yours: my truck":         {`2:8: yours is the name of a vehicle in this notebook's blocks, not "my truck" (as in yours: truck)`},
		"title:":                  {"2:1: title is empty: give it a value or leave it out"},
		"title: ''":               {"2:1: title is empty: give it a value or leave it out"},
		"title: {x} is it":        {"2:1: front matter can't be read: did not find expected key (a text that holds a colon, a brace or a quote mark needs quotes around it)"},
		"title: {x}":              {"2:8: title takes one plain value (a text that starts with a brace or a bracket needs quotes around it)"},
		"author: [a, b]":          {"2:9: author takes one plain value (a text that starts with a brace or a bracket needs quotes around it)"},
		"order: first":            {`2:8: order is a whole number from -1000000 to 1000000, not "first"`},
		"order: 1.5":              {`2:8: order is a whole number from -1000000 to 1000000, not "1.5"`},
		"draws: 0":                {`2:8: draws is a whole number from 1 to 100000, not "0"`},
		"draws: 100001":           {`2:8: draws is a whole number from 1 to 100000, not "100001"`},
		"date: 31.3.2026":         {`2:7: "31.3.2026" is not a date (write it as year, month and day: 2026-03-31)`},
		"date: 2026-02-30":        {`2:7: "2026-02-30" is not a date (write it as year, month and day: 2026-03-31)`},
		"units: imperial":         {`2:8: units is metric or us, not "imperial"`},
		"units: metrc":            {`2:8: units is metric or us, not "metrc" (did you mean metric?)`},
		"draft: yes":              {`2:8: draft is true or false, not "yes"`},
		"title: A\ntitle: B":      {"3:1: title is given twice"},
		"title: A\n...\ntitle: B": {"3:1: " + ends},
		"title: |\n  A\n--- B":    {"4:1: " + ends},
		"title: \"A\n...\tB\"":    {"3:1: " + ends},
		"just words":              {"2:1: front matter is lines of the form key: value"},
		"- a\n- b":                {"2:1: front matter is lines of the form key: value"},
		"title: &a A\nauthor: *a": {"2:8: title takes one plain value", "3:9: author takes one plain value"},
		"title: !!binary QQ==":    {"2:8: title takes one plain value"},
		"order: x\nunits: y":      {`2:8: order is a whole number from -1000000 to 1000000, not "x"`, `3:8: units is metric or us, not "y"`},
		"title: " + strings.Repeat("a", maxFrontLine+1): {"2:8: title is longer than 2000 characters"},
	} {
		t.Run(text[:min(len(text), 40)], func(t *testing.T) {
			assert.Equal(t, want, faults("---\n"+text+close))
		})
	}
	assert.Empty(t, faults("---\ntitle: |\n  A\n  ...\n  --- b\nsummary: ...and so on\n---\n"), "marks that end nothing")
	assert.Equal(t, []string{"1:1: this front matter never closes, so the rest of the file would be part of it (end it with a line ---)"}, faults("---\ntitle: A\n\nWords\n"))
	assert.Equal(t, []string{"1:1: this front matter never closes, so the rest of the file would be part of it (end it with a line ---)"}, faults("---"))
	assert.Equal(t, []string{"1:1: front matter starts with a line of dashes alone (remove the blanks at its end)"}, faults("--- \ntitle: A\n---\n"))
}
