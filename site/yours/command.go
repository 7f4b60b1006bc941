package yours

import (
	"path"
	"strings"

	"turnplate/sim"
	"turnplate/site/diag"
	"turnplate/site/model"
	"turnplate/site/value"
)

// Command is what a reader did.
type Command struct {
	Do     string            // one of the words of Do
	Path   string            // of the box that was filled in
	Text   string            // what was typed there; or a link's values, or a file's text
	File   string            // the file's name
	Values map[string]string // of a printout
	US     bool              // the reader sees US units
}

// Reader reads a survey's file; see eval.SurveyReadings.
type Reader func(file string, data []byte) ([]sim.SurveyReading, []int, diag.List)

// Answer is what came of a command.
type Answer struct {
	Changes Changes // unchanged where it was a mistake
	Notes   []Note  // mistakes
	Said    string  // what the reader should know of what was done
}

// Do carries out what a reader did; now is the vehicle with the changes so far.
//
//	set       Path, Text          a value is typed, or taken away
//	file      File, Text          a file is loaded: saved values, which take the place of all others, or a survey's CSV
//	printout  Values              the truck is to stand as an alignment printout says
//	link      Text                values come with a link, in the place of all others
//	clear                         all values are taken away
func (c Changes) Do(cmd Command, now *value.Record, read Reader) Answer {
	switch cmd.Do {
	case "set":
		return c.set(cmd)
	case "file":
		if strings.EqualFold(path.Ext(cmd.File), ".csv") {
			return c.surveyFile(cmd, now, read)
		}
		return c.replaced(Read(c.Name, cmd.Text))
	case "printout":
		if now == nil {
			return Answer{Changes: c, Notes: []Note{{Path: printout, Message: "put right what is wrong below, then enter the printout again"}}}
		}
		out, said, err := c.Printout(model.Settled(now), cmd.Values)
		if err != nil {
			return Answer{Changes: c, Notes: []Note{{Path: printout, Message: err.Error()}}}
		}
		return Answer{Changes: out, Said: said}
	case "link":
		return c.replaced(Unpack(c.Name, cmd.Text))
	case "clear":
		return Answer{Changes: Changes{Name: c.Name}, Said: "All values are the page's again."}
	}
	return Answer{Changes: c}
}

// printout is the path of what is said of a printout's boxes.
const printout = "printout"

func (c Changes) set(cmd Command) Answer {
	out, faults := c.Set(cmd.Path, cmd.Text, cmd.US)
	a := Answer{Changes: out}
	for _, d := range faults {
		a.Notes = append(a.Notes, Note{Path: cmd.Path, Message: d.Message, Hint: d.Hint, Typed: cmd.Text})
	}
	return a
}

// replaced is what came of values that take the place of all others. What could be read of them counts.
func (c Changes) replaced(read Changes, faults diag.List) Answer {
	a := Answer{Changes: read}
	for _, d := range faults {
		a.Notes = append(a.Notes, Note{Message: d.Error()})
	}
	if len(read.List) == 0 && len(faults) > 0 {
		a.Changes = c
	}
	return a
}

func (c Changes) surveyFile(cmd Command, now *value.Record, read Reader) Answer {
	wrong := func(text string) Answer {
		return Answer{Changes: c, Notes: []Note{{Message: cmd.File + ", " + text}}}
	}
	if now == nil {
		return wrong("which needs a truck to start from: put right what is wrong below first")
	}
	readings, lines, faults := read(cmd.File, []byte(cmd.Text))
	if len(faults) > 0 {
		return Answer{Changes: c, Notes: []Note{{Message: faults[0].Error()}}}
	}
	out, said, err := c.Survey(model.Settled(now), readings, lines)
	if err != nil {
		return wrong(err.Error())
	}
	return Answer{Changes: out, Said: said}
}
