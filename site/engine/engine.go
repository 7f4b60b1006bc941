// Package engine answers a page that shows its reader's own vehicle: the same notebooks, models and drawing as the
// written site's, run beside the page.
//
//	Engine    the notebooks of one site, unpacked
//	Answer    a request as JSON -> what came of it as JSON
//
// Package browser below it is the program that a browser runs; package carried holds that program as a site carries it,
// with the script that starts it.
package engine

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"

	"turnplate/site/build"
	"turnplate/site/diag"
	"turnplate/site/yours"
)

// Engine holds a site's notebooks and what they came to last.
type Engine struct{ live *build.Live }

// request is what a page asks. Do says which of the others count.
type request struct {
	Do       string // "open": Bundle; "page": the others
	Bundle   string // base64
	Page     string // from the site's root: "studies/caster.html"
	Notebook string // whose vehicle it is: "vehicles/corrie"
	Name     string // the vehicle's: "truck"
	Changes  string // the reader's values, as package yours reads them; "" is the page's own vehicle
}

// answer is what came of it.
type answer struct {
	HTML  string `json:"html,omitempty"`  // the whole page
	Notes []note `json:"notes,omitempty"` // mistakes and doubts in the reader's values
	Stops string `json:"stops,omitempty"` // why there is no page
}

// note is a mistake or a doubt.
type note struct {
	Path    string `json:"path,omitempty"` // of the field whose value it is about, as in Changes: "Tyre.LoadedRadius"
	Message string `json:"message"`
	Hint    string `json:"hint,omitempty"`
	Doubt   bool   `json:"doubt,omitempty"`
}

// Answer never fails: what is wrong is said in the answer.
func (e *Engine) Answer(ask []byte) []byte {
	var r request
	var a answer
	err := json.Unmarshal(ask, &r)
	if err == nil {
		a, err = e.answer(r)
	}
	if err != nil {
		a.Stops = err.Error()
	}
	out, err := json.Marshal(a)
	if err != nil {
		panic("engine: " + err.Error()) // an answer holds texts alone
	}
	return out
}

func (e *Engine) answer(r request) (answer, error) {
	switch {
	case r.Do == "open":
		bundle, err := base64.StdEncoding.DecodeString(r.Bundle)
		if err == nil {
			e.live, err = build.Unpack(context.Background(), bundle)
		}
		return answer{}, err
	case e.live == nil:
		return answer{}, errors.New("no notebooks were opened")
	case r.Do == "page":
		return e.page(r)
	}
	return answer{}, fmt.Errorf("%q is no request", r.Do)
}

// page makes a page with the reader's values. With a mistake in them there is no page.
func (e *Engine) page(r request) (answer, error) {
	theirs, faults := yours.Parse(r.Name, r.Changes)
	a := answer{Notes: notes(theirs, faults, false)}
	if len(faults) > 0 {
		a.Stops = "a value can't be what it says"
		return a, nil
	}
	values := map[string]diag.Snippet{}
	if len(theirs.List) > 0 {
		values[r.Notebook] = snippet(theirs.Text())
	}
	e.live = e.live.With(context.Background(), values)
	shown, err := e.live.Page(r.Page)
	if err != nil {
		return a, err
	}
	doubts, err := e.live.Doubts(r.Notebook)
	if err != nil {
		return a, err
	}
	a.Notes = append(a.Notes, notes(theirs, doubts, true)...)
	if len(shown.Faults) > 0 {
		a.Notes = append(a.Notes, notes(theirs, shown.Faults, false)...)
		a.Stops = shown.Faults[0].Message
		return a, nil
	}
	a.HTML = string(shown.HTML)
	return a, nil
}

// notes are the mistakes or doubts among the reader's own lines.
func notes(theirs yours.Changes, list diag.List, doubts bool) (all []note) {
	for _, d := range list {
		if d.File != yours.File {
			continue
		}
		n := note{Message: d.Message, Hint: d.Hint, Doubt: doubts}
		if one := theirs.At(d.Pos.Line); one != nil {
			n.Path = one.Path
		}
		all = append(all, n)
	}
	return all
}

func snippet(text string) diag.Snippet {
	s := diag.Snippet{File: yours.File, Source: []byte(text), Text: text}
	for i := range text {
		if i == 0 || text[i-1] == '\n' {
			s.Starts = append(s.Starts, diag.Pos{Line: len(s.Starts) + 1, Col: 1})
		}
	}
	return s
}
