package reference

import (
	"embed"
	"fmt"
	"strings"

	"turnplate/site/glossary"
)

// files hold what is told beside the program's own text. In examples there is one for each model, part, figure and piece,
// by its name: a parameter block as one would paste it, and a sentence that shows what came of it. A model's file opens
// with what it does at a glance: its formula, what stands for what in it, and a sketch of the glossary. The model's doc
// comment has the same in full, with the source. In topics there is one for each topic: its title, its text, which is
// written like a doc comment, and an example.
//
//go:embed examples topics
var files embed.FS

// readExample gives an entry the example of a file, and gives back what stands before that. A test wants the file.
func (e *Entry) readExample(name string) string {
	text, _ := files.ReadFile(name + ".md")
	before, rest, _ := strings.Cut(string(text), "```go params\n")
	block, sentence, _ := strings.Cut(rest, "```\n")
	e.Block, e.Sentence = withTruck(block), strings.TrimSpace(sentence)
	return before
}

// sketched words the sketch in a model's formula by the glossary, for whoever can't see it.
func sketched(glance string) string {
	for _, t := range glossary.Terms() {
		sketch := fmt.Sprintf("![%s](%s.svg)", t.Name, t.ID())
		worded := fmt.Sprintf("![%s: %s](%s.svg \"%s\")", t.Name, plain(t.Brief()), t.ID(), t.Name)
		glance = strings.Replace(glance, sketch, worded, 1)
	}
	return glance
}

// withTruck puts the line that names the reader's vehicle before a block that is about it.
func withTruck(block string) string {
	if strings.Contains(block, "truck") && !strings.Contains(block, "truck :=") && !strings.Contains(block, "use(") {
		return "truck := use(\"vehicles/truck\").truck // the page that describes your vehicle\n" + block
	}
	return block
}
