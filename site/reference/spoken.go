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
	for _, u := range units() {
		name := u.Name
		words := fmt.Sprintf("%[1]s is a unit of %[2]s%[3]s. %[1]s is %[4]s.", name, u.Dim, shown(u), size(u))
		list = append(list, written(vocabulary.Entry{Name: name, Words: words}, Unit))
	}
	for _, t := range vocabulary.Topics {
		list = append(list, written(t, Topic))
	}
	return list
}

// written makes an entry of what the vocabulary says.
func written(v vocabulary.Entry, kind Kind) Entry {
	first, _, _ := strings.Cut(v.Words, ". ")
	e := Entry{Name: v.Name, Kind: kind, Doc: new(comment.Parser).Parse(v.Words), Synopsis: strings.TrimSuffix(first, ".") + ".", Sentence: v.Prose}
	if v.Example != "" {
		e.Block = withTruck(v.Example + "\n")
	}
	for _, f := range v.Fields {
		e.Takes = append(e.Takes, Field{Name: f.Name, Kind: f.Kind, Words: f.Words, Must: f.Must})
	}
	return e
}

// units lists the units.
func units() []unit.Unit {
	var list []unit.Unit
	for _, name := range unit.Names() {
		u, _ := unit.Lookup(name)
		list = append(list, u)
	}
	return list
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
	for _, v := range units() {
		if v.Dim == u.Dim && v.SI == 1 {
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
