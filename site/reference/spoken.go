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
		list = append(list, worded(f.Name, Figure, f.Words, f.AllFields()))
	}
	for _, p := range vocabulary.Pieces {
		list = append(list, worded(p.Name, Piece, p.Words, p.Fields))
	}
	for i := range list {
		list[i].readExample("examples/" + list[i].Name)
	}
	for _, f := range slices.Concat(vocabulary.Functions, vocabulary.Methods) {
		name := f.Name
		if strings.HasPrefix(f.Call, ".") {
			name = "." + name
		}
		e := worded(name, Function, name+" "+f.Words, nil)
		e.Call, e.Group, e.Block = f.Call, f.Group, withTruck(f.Example+"\n")
		list = append(list, e)
	}
	for _, u := range units() {
		words := fmt.Sprintf("%[1]s is a unit of %[2]s%[3]s. %[1]s is %[4]s.", u.Name, u.Dim, shown(u), size(u))
		list = append(list, worded(u.Name, Unit, words, nil))
	}
	for _, name := range topics {
		list = append(list, topic(name))
	}
	return list
}

// topics are told in sentences. Each name is a word that tell understands.
var topics = []string{"blocks", "choices", "both", "doubts", "measuring", "numbers", "front-matter", "readings"}

// topic reads what is told of one.
func topic(name string) Entry {
	var example Entry
	text := example.readExample("topics/" + name)
	title, words, _ := strings.Cut(strings.TrimPrefix(text, "# "), "\n")
	var fields []vocabulary.Field
	if name == "front-matter" {
		fields = vocabulary.FrontKeys
	}
	e := worded(name, Topic, words, fields)
	e.heading, e.Block, e.Sentence = title, example.Block, example.Sentence
	return e
}

// worded makes an entry of what is said of something and of its fields.
func worded(name string, kind Kind, text string, fields []vocabulary.Field) Entry {
	s := words()
	e := Entry{Name: name, Kind: kind, Doc: new(comment.Parser).Parse(text), Synopsis: s.pkg.Synopsis(text)}
	for _, f := range fields {
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
