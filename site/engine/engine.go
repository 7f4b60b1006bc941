// Package engine answers a page that shows its reader's own vehicle: the same notebooks, models and drawing as the
// written site's, run beside the page.
//
//	Engine    the notebooks of one site, unpacked
//	Open      a site's bundle -> what was wrong with it
//	Answer    a request as JSON -> what came of it, by name
//
// Package browser below it is the program that a browser runs; package carried holds that program as a site carries it,
// with the script that starts it.
package engine

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"turnplate/site/build"
	"turnplate/site/yours"
)

// Engine holds a site's notebooks and what they came to last.
type Engine struct{ live *build.Live }

// request is what a page asks. Do says which of the others count.
type request struct {
	Do       string        // "page" or "form"
	Page     string        // from the site's root: "studies/caster.html"
	Notebook string        // whose vehicle it is: "vehicles/corrie"
	Name     string        // the vehicle's: "truck"
	Changes  string        // the reader's values, as package yours reads them; "" is the page's own vehicle
	Still    []string      // where dials stand, which is then all that is worked out of them; nil is everywhere
	Hurry    bool          // what takes long, and what isn't seen, is left out for now, and the answer says so
	Seen     []string      // the figures in the reader's window; nil is all of them
	Command  yours.Command // what the reader does with them, carried out before all else
}

// answer is what came of it.
type answer struct {
	HTML  string // the whole page
	Stops string // why there is no page
	Later bool   // something is left out in a hurry: the same request without it is to follow
	form
}

// Open takes a site's bundle, in the place of an earlier one. The error says what is wrong with it.
func (e *Engine) Open(bundle []byte) (err error) {
	e.live, err = build.Unpack(context.Background(), bundle)
	return err
}

// Answer never fails: what is wrong is said in the answer. It gives texts, and a yes or no, because a browser's program
// hands such over as they are: as JSON, a page would be written and read once more.
func (e *Engine) Answer(ask []byte) map[string]any {
	var r request
	var a answer
	err := json.Unmarshal(ask, &r)
	if err == nil {
		a, err = e.answer(r)
	}
	if err != nil {
		a.Stops = err.Error()
	}
	return map[string]any{
		"html": a.HTML, "stops": a.Stops, "later": a.Later,
		"changes": a.Changes, "form": a.Form, "says": a.Says, "link": a.Link, "saved": a.Saved,
	}
}

func (e *Engine) answer(r request) (answer, error) {
	switch {
	case e.live == nil:
		return answer{}, errors.New("no notebooks were opened")
	case r.Do == "page":
		return e.page(r)
	case r.Do == "form":
		return e.fill(r)
	}
	return answer{}, fmt.Errorf("%q is no request", r.Do)
}

// page makes a page with the reader's values, and their form. With a mistake in them there is no page. In a hurry the form
// is made only where what the reader did has to be answered there.
func (e *Engine) page(r request) (answer, error) {
	done, err := e.done(r)
	if err != nil {
		return answer{}, err
	}
	theirs := done.Changes
	e.with(r, theirs, r.Hurry)
	doubts, faults, err := e.live.Told(r.Notebook)
	if err != nil {
		return answer{}, err
	}
	if r.Hurry && len(faults) > 0 {
		r.Hurry = false
		return e.page(r)
	}
	var a answer
	notes := append(theirs.Notes(doubts, true), theirs.Notes(faults, false)...)
	if len(faults) == 0 { // else no page that uses it has anything to show
		shown, err := e.live.Page(r.Page)
		if err != nil {
			return answer{}, err
		}
		faults = shown.Faults
		a.HTML, a.Later = string(shown.HTML), shown.Later
	}
	if len(faults) > 0 {
		a.HTML, a.Stops = "", faults[0].Message
	}
	a.form, err = e.form(r, done, notes, a.Stops)
	a.Later = a.Later || r.Hurry
	return a, err
}
