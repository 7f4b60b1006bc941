package reference

import (
	"embed"
	"fmt"
	"strings"

	"turnplate/site/glossary"
)

// exampleFiles has a file for each model and each part of a vehicle, by its name. It opens with what a model does at a
// glance: its formula, what stands for what in it, and a sketch of the glossary. The model's doc comment has the same in
// full, with the source. Then come a parameter block as one would paste it, and a sentence that shows what came of it.
//
//go:embed examples
var exampleFiles embed.FS

// readExample gives a model or a part what its file says; a test wants one of each.
func (e *Entry) readExample() {
	text, _ := exampleFiles.ReadFile("examples/" + e.Name + ".md")
	glance, rest, _ := strings.Cut(string(text), "```go params\n")
	for _, t := range glossary.Terms() { // the glossary's words serve whoever can't see the sketch
		sketch := fmt.Sprintf("![%s](%s.svg)", t.Name, t.ID())
		worded := fmt.Sprintf("![%s: %s](%s.svg \"%s\")", t.Name, plain(t.Brief()), t.ID(), t.Name)
		glance = strings.Replace(glance, sketch, worded, 1)
	}
	block, sentence, _ := strings.Cut(rest, "```\n")
	e.Glance, e.Block, e.Sentence = glance, withTruck(block), strings.TrimSpace(sentence)
}

// withTruck puts the line that names the reader's vehicle before a block that is about it.
func withTruck(block string) string {
	if strings.Contains(block, "truck") && !strings.Contains(block, "truck :=") && !strings.Contains(block, "use(") {
		return "truck := use(\"vehicles/truck\").truck // the page that describes your vehicle\n" + block
	}
	return block
}
