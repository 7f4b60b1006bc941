package engine

import (
	"context"
	"time"

	"turnplate/site/build"
	"turnplate/site/diag"
	"turnplate/site/eval"
	"turnplate/site/value"
	"turnplate/site/yours"
)

// form is what a reader sees of their own values, beside the page.
type form struct {
	Changes string // the values as text, after what was done
	Form    string // HTML
	Says    string // at the head of the page
	Link    string // the values as a link's fragment carries them
	Saved   string // the values as a file
}

// modelsFirst is what each model may take before the page is shown without it. Few are run for what a reader sees, most take a
// tenth of it, and the first time all take much longer.
const modelsFirst = 250 * time.Millisecond

// with is the site with a reader's values. In a hurry it is for what the page shows first, or for the vehicle alone.
func (e *Engine) with(r request, theirs yours.Changes, hurried bool) {
	values := map[string]diag.Snippet{}
	if len(theirs.List) > 0 {
		values[r.Notebook] = theirs.Snippet()
	}
	var hurry time.Duration
	if hurried {
		hurry = modelsFirst
	}
	e.live = e.live.With(context.Background(), build.Visit{Page: r.Page, Yours: values, Still: r.Still, Hurry: hurry, Seen: r.Seen})
}

// done carries out what the reader did, if anything.
func (e *Engine) done(r request) (yours.Answer, error) {
	theirs, faults := yours.Parse(r.Name, r.Changes)
	a := yours.Answer{Changes: theirs, Notes: theirs.Notes(faults, false)}
	if r.Command.Do == "" {
		return a, nil
	}
	var now *value.Record
	if r.Command.Do == "file" || r.Command.Do == "printout" {
		e.with(r, theirs, true)
		offered, err := e.live.Offered(r.Notebook)
		if err != nil {
			return a, err
		}
		if offered != nil {
			now = offered.Now
		}
	}
	return theirs.Do(r.Command, now, eval.SurveyReadings), nil
}

// form makes the form as it stands after what was done, with what the page found.
func (e *Engine) form(r request, done yours.Answer, notes []yours.Note, stops string) (out form, err error) {
	out = form{Changes: done.Changes.Text(), Saved: done.Changes.File(e.live.Title())}
	if r.Command.Do == "link" && len(done.Notes) == 0 {
		out.Link = r.Command.Text
	} else {
		out.Link = done.Changes.Pack()
	}
	offered, err := e.live.Offered(r.Notebook)
	if err != nil || offered == nil {
		return out, err
	}
	f := yours.Form{
		Changes: done.Changes, Page: offered.Page, Now: offered.Now, Notes: append(done.Notes, notes...), Said: done.Said, Stops: stops, US: r.Command.US,
		Remark: func(at value.Mark) string { return yours.Remark(e.live.Source(at.File), at.Line) },
	}
	out.Says = f.Says()
	if r.Hurry && len(done.Notes) == 0 && done.Said == "" && stops == "" {
		return out, nil
	}
	html, err := f.HTML()
	out.Form = string(html)
	return out, err
}

// fill makes the form alone, for a reader who has given nothing yet: their page is the one on show.
func (e *Engine) fill(r request) (a answer, err error) {
	done, err := e.done(r)
	if err != nil {
		return a, err
	}
	e.with(r, done.Changes, true)
	a.form, err = e.form(r, done, nil, "")
	return a, err
}
