package reference

import (
	"fmt"
	"go/doc/comment"
	"slices"
	"strconv"
	"strings"

	"turnplate/sim/unit"
	"turnplate/site/vocabulary"
)

// spoken lists what the language has beside models and parts: figures, their pieces, functions, units, topics.
func spoken() []Entry {
	var list []Entry
	for _, f := range vocabulary.Figures {
		f.Fields = f.AllFields()
		list = append(list, written(f, Figure))
	}
	for _, p := range vocabulary.Pieces {
		list = append(list, written(p, Piece))
	}
	for _, f := range slices.Concat(vocabulary.Functions, vocabulary.Methods) {
		name := f.Name
		if strings.HasPrefix(f.Call, ".") {
			name = "." + name
		}
		e := written(vocabulary.Entry{Name: name, Words: name + " " + f.Words, Example: f.Example}, Function)
		e.Call, e.Group = f.Call, f.Group
		list = append(list, e)
	}
	for _, name := range unit.Names() {
		u, _ := unit.Lookup(name)
		e := written(vocabulary.Entry{Name: name, Words: name + " is a unit of " + u.Dim.String() + shown(u) + ". " + name + " is " + size(u) + "."}, Unit)
		e.unit = u
		list = append(list, e)
	}
	for _, t := range vocabulary.Topics {
		list = append(list, written(t, Topic))
	}
	return list
}

func written(v vocabulary.Entry, kind Kind) Entry {
	first, _, _ := strings.Cut(v.Words, ". ")
	e := Entry{Name: v.Name, Kind: kind, Doc: new(comment.Parser).Parse(v.Words), Synopsis: strings.TrimSuffix(first, ".") + ".", use: use{block: v.Example, sentence: v.Prose}}
	for _, f := range v.Fields {
		e.Takes = append(e.Takes, Field{Name: f.Name, Kind: f.Kind, Words: f.Words, Must: f.Must})
	}
	return e
}

// shown says how a unit is printed where that isn't its name.
func shown(u unit.Unit) string {
	switch {
	case u.Name == "money":
		return ", printed as the front matter's currency"
	case u.Symbol != u.Name:
		return ", printed as " + u.Symbol
	}
	return ""
}

// size says how large a unit is in the coherent units of the SI.
func size(u unit.Unit) string {
	coherent := "" // of the SI, or a plain number
	for _, name := range unit.Names() {
		if v, _ := unit.Lookup(name); v.Dim == u.Dim && v.SI == 1 {
			coherent = v.Symbol
		}
	}
	for symbol, product := range map[string]string{"Pa": "N/m/m", "m/s": "m/s", "m/s²": "m/s/s"} {
		if v, err := unit.Parse(product); err == nil && v.Dim == u.Dim {
			coherent = symbol
		}
	}
	number := strconv.FormatFloat(u.SI, 'g', 9, 64)
	if u.Name == "money" {
		return "what the prices are in"
	}
	if coherent == u.Symbol {
		return "a unit of the SI itself"
	}
	return strings.TrimSpace(number + " " + coherent)
}

const unitsIntro = "A unit is a name to multiply by: `2850*mm`, `2.5*N*m`, `60*km/hour`. Products and quotients of units are units too, in braces in the text as well. " +
	"Dimensions are checked, and angle is one: divide by `rad` to drop it. Sizes are from the SI brochure (9th edition) and NIST SP 811; the inch and the pound are exact by " +
	"the international yard and pound agreement of 1959, gravity by the 3rd CGPM (1901)."

// unitsPage lists the units.
func unitsPage(units []Entry) Page {
	var b strings.Builder
	b.WriteString(unitsIntro + "\n\n| Unit | Printed as | Of | Size | In the other system |\n|---|---|---|---|---|\n")
	for _, e := range units {
		other := ""
		for _, us := range []bool{true, false} {
			if o := e.unit.Counterpart(us); o.Name != e.unit.Name {
				other = "`" + o.Name + "`"
			}
		}
		symbol := e.unit.Symbol
		if symbol == "money" {
			symbol = "the currency"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s |\n", e.Name, plain(symbol), e.unit.Dim, plain(strings.Replace(size(e.unit), "a unit of the SI itself", "SI", 1)), other)
	}
	return Page{Name: "units", Title: "Units", Summary: "Names to multiply by, and how large they are.", Text: b.String()}
}

// functionsPage lists the functions, group by group.
func functionsPage(functions []Entry) Page {
	var b strings.Builder
	b.WriteString("Functions are called by name, methods on a value, after a full stop. Where an argument varies over axes, so does what they give.\n")
	for _, group := range vocabulary.Groups {
		fmt.Fprintf(&b, "\n## %s\n", group)
		for _, e := range functions {
			if e.Group != group {
				continue
			}
			fmt.Fprintf(&b, "\n`%s`\n:   %s\n\n", e.Call, strings.TrimSpace(e.prose(e.coder())))
			block, _ := e.example()
			b.WriteString("    ````go\n")
			for line := range strings.Lines(block) {
				b.WriteString("    " + line)
			}
			b.WriteString("    ````\n")
		}
	}
	return Page{Name: "functions", Title: "Functions", Summary: "What can be called by name, and on a value.", Text: b.String()}
}

// topicTitles name the pages of the topics.
var topicTitles = map[string]string{
	"blocks": "Parameter blocks", "choices": "Choices", "both": "Both sides at once", "doubts": "Doubts", "measuring": "Measuring the rest", "numbers": "Numbers in prose", "front-matter": "Front matter", "readings": "Readings",
}
