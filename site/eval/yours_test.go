package eval

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// mine are a reader's own values for the vehicle of a collection's notebook "car".
func mine(values string) map[string]diag.Snippet {
	return map[string]diag.Snippet{"car": {File: "yours", Source: []byte(values), Text: values, Starts: []diag.Pos{{Line: 1, Col: 1}, {Line: 2, Col: 1}}}}
}

// yours evaluates a page of a collection with them.
func yours(lib library, page, values string) *Page {
	return New(lib, Options{Yours: mine(values)}).Page(context.Background(), page)
}

const offering = "---\nyours: truck\n---\n# Car\n\n```go params\n" + truck + "\ntruck.Mass = 2000*kg\nlight := truck\nlight.Mass = truck.Mass - 100*kg\n```\n\n{truck.Mass in kg} {light.Mass in kg} {truck.Wheelbase in mm}\n"

func TestYours(t *testing.T) {
	lib := library{"car.md": offering, "study.md": "# Study\n\n```go params\nc := use(\"car\").truck\nc.Wheelbase = 3000*mm\n```\n\n{c.Mass in kg} {c.Wheelbase in mm}\n"}
	own := yours(lib, "car", "truck.Mass = 1500*kg\ntruck.Wheelbase = 2700*mm")
	require.Empty(t, own.Faults)
	assert.Equal(t, []string{"1500 kg", "1400 kg", "2700 mm"}, texts(own), "their fields come after the last write, and what is derived follows")
	study := yours(lib, "study", "truck.Mass = 1500*kg\ntruck.Wheelbase = 2700*mm")
	require.Empty(t, study.Faults)
	assert.Equal(t, []string{"1500 kg", "3000 mm"}, texts(study), "what another page writes to its copy stays")
	assert.Equal(t, []string{"2000 kg", "1900 kg", "2850 mm"}, texts(New(lib, Options{}).Page(context.Background(), "car")))
}

func texts(p *Page) (list []string) {
	for _, in := range p.Inserts {
		list = append(list, strings.ReplaceAll(in.String(), "\u00a0", " "))
	}
	return list
}

func TestYoursIsToldAtTheReadersOwnLine(t *testing.T) {
	lib := library{"car.md": offering, "study.md": "# Study\n\n```go params\nc := use(\"car\").truck\n```\n\n{c.Mass in kg}\n"}
	p := yours(lib, "car", "truck.Mass = 1500*kg\ntruck.Wheelbase = 2700*kg")
	require.Len(t, p.Faults, 1)
	assert.Equal(t, "yours:2:1", p.Faults[0].Error()[:9])
	p = yours(lib, "car", "truck.Mass = 1500*kg\ntruck.Tyre.LoadedRadius = 450*mm")
	require.Len(t, p.Faults, 1, "loaded, a tyre is no taller than free")
	assert.Equal(t, "yours", p.Faults[0].File)
	assert.Equal(t, 2, p.Faults[0].Pos.Line)
	p = yours(lib, "car", "truck.Mass = 1500*kg\ntruck.Wheelbase = 5000*mm")
	require.Empty(t, p.Faults)
	require.NotEmpty(t, p.Doubts)
	assert.Equal(t, "yours", p.Doubts[0].File)
	assert.Equal(t, 2, p.Doubts[0].Pos.Line)
	assert.Equal(t, "truck.Wheelbase = 5000*mm", p.Doubts[0].Line)
}

func TestOfferedVehicles(t *testing.T) {
	for front, want := range map[string]string{
		"yours: truk":  "car.md:2:8: no block here gives truk a value (did you mean truck?)",
		"yours: light": "",
		"yours: heavy": "car.md:2:8: readers can put their own values in the place of a Vehicle, and heavy is a mass",
		"yours: early": "car.md:2:8: line 24 reads early, which is last written on line 25: readers' own values would come too late for it (write it to the end before anything reads it, or read a copy)",
	} {
		text := "---\n" + front + "\n---\n# Car\n\n```go params\n" + truck + "light := truck\nheavy := truck.Mass\nearly := truck\nlate := early.Mass\nearly.Wheelbase = 3*m\n```\n"
		p := New(library{"car.md": text}, Options{}).Page(context.Background(), "car")
		if want == "" {
			assert.Empty(t, p.Faults)
			continue
		}
		require.Len(t, p.Faults, 1, front)
		assert.Equal(t, want, p.Faults[0].Error())
	}
}

// A page has one switch, so a second vehicle on offer is refused where it comes in.
func TestOneVehicleIsOffered(t *testing.T) {
	used := "# Study\n\n```go params\nc := use(\"car\").truck\nv := use(\"van\").truck\n```\n"
	lib := library{"car.md": offering, "van.md": offering, "study.md": used, "between.md": strings.Replace(used, "v := use(\"van\").truck\n", "", 1),
		"both.md":  "---\nyours: truck\n---\n# Both\n\n```go params\ntruck := use(\"between\").c\n```\n",
		"again.md": "# Again\n\n```go params\nb := use(\"between\").c\nc := use(\"car\").truck\n```\n"}
	for page, want := range map[string]string{
		"study": "study.md:5:10: readers put their truck in one place on a page, and both car.md and van.md say yours in their front matter (leave it to one of them)",
		"both":  "both.md:2:8: readers put their truck in one place on a page, and car.md, which is used here, offers its truck (leave it to one of them)",
		"again": "",
	} {
		p := New(lib, Options{}).Page(context.Background(), page)
		if want == "" {
			assert.Empty(t, p.Faults)
			continue
		}
		require.Len(t, p.Faults, 1, page)
		assert.Equal(t, want, p.Faults[0].Error())
	}
}

// A page tells what its vehicle is without the reader's fields and with them.
func TestOffered(t *testing.T) {
	lib := library{"car.md": offering}
	mass := func(r *value.Record) float64 { return r.Fields["Mass"].(*value.Array).Num[0] }
	own := yours(lib, "car", "truck.Mass = 1500*kg").Offered
	assert.Equal(t, 2000.0, mass(own.Page))
	assert.Equal(t, 1500.0, mass(own.Now))
	assert.Nil(t, yours(lib, "car", "truck.Mass = 1500*mm").Offered.Now)
	assert.NotNil(t, New(lib, Options{}).Page(context.Background(), "car").Offered.Now)
	lib["car.md"] = strings.TrimPrefix(offering, "---\nyours: truck\n---\n")
	assert.Nil(t, New(lib, Options{}).Page(context.Background(), "car").Offered)
}

// What another vehicle has no value for is a gap on the page, told calmly, and costs nothing else.
func TestYoursLeavesGaps(t *testing.T) {
	study := "# Study\n\n```go params\nc := use(\"car\").truck\nx := span(0*kg, 3000*kg, 4)\nleft := (x - c.Mass).At(x, c.Mass + 500*kg)\n" +
		"Curves{Title: \"From {c.Mass in kg}\", X: x, Y: x + left}\nTable{Columns: []Column{{\"Mass\", c.Mass, kg}}}\nClaim{\"Some {left in kg} is left\", left > 0*kg}\n```\n\n{left in kg}, {c.Mass in kg}\n"
	lib := library{"car.md": offering, "study.md": study}
	require.Empty(t, New(lib, Options{}).Page(context.Background(), "study").Faults)
	p := yours(lib, "study", "truck.Mass = 2800*kg")
	require.Empty(t, p.Faults)
	require.NotEmpty(t, p.Gaps)
	assert.Equal(t, []string{"–", "2800 kg"}, texts(p))
	require.Len(t, p.Blocks[0].Figures, 3)
	missing := p.Blocks[0].Figures[0].(*figure.Missing)
	assert.Equal(t, "From 2800 kg", strings.ReplaceAll(missing.Title.String(), "\u00a0", " "))
	assert.IsType(t, &figure.Table{}, p.Blocks[0].Figures[1])
	claim := p.Blocks[0].Figures[2].(*figure.Claim)
	assert.False(t, claim.Holds)
	assert.Equal(t, "Some – is left", claim.Says.String())
	assert.Empty(t, yours(lib, "study", "truck.Mass = 1500*kg").Gaps)
}

// With dials that stand still the page is made for where they stand.
func TestStill(t *testing.T) {
	lib := library{"car.md": offering, "study.md": "# Study\n\n```go params\nc := use(\"car\").truck\nload := dial(100*kg, 0*kg, 200*kg, 3)\nall := c.Mass + load\nmost := all.At(load, 200*kg)\n```\n\n{all in kg} {most in kg}\n"}
	p := New(lib, Options{Still: []string{"200\u00a0kg"}}).Page(context.Background(), "study")
	require.Empty(t, p.Faults)
	assert.Equal(t, []string{"2200 kg", "2200 kg"}, texts(p))
	assert.Len(t, p.Dials[0].Positions, 1)
	p = New(lib, Options{Still: []string{}}).Page(context.Background(), "study")
	require.Empty(t, p.Faults)
	assert.Equal(t, []string{"2100 kg", "–"}, texts(p), "what only another position has comes later")
	p = New(lib, Options{Still: []string{"200\u00a0kg", "100\u00a0kg"}}).Page(context.Background(), "study")
	require.Empty(t, p.Faults)
	assert.Equal(t, []string{"2100 kg", "–"}, texts(p), "where it starts, if that is given: the other may be another dial's")
}

// One of several gauges without a value for another vehicle has a dash.
func TestYoursLeavesAGauge(t *testing.T) {
	study := "# Study\n\n```go params\nc := use(\"car\").truck\nleft := sqrt((2000*kg - c.Mass)/(1*kg))*kg\n" +
		"Gauges{Rows: []Gauge{{Head: \"Mass\", Value: c.Mass, In: kg, From: 0*kg, Until: 3000*kg}, {Head: \"Left\", Value: left, In: kg, From: 0*kg, Until: 50*kg}}}\n```\n"
	lib := library{"car.md": offering, "study.md": study}
	require.Empty(t, New(lib, Options{}).Page(context.Background(), "study").Faults)
	p := yours(lib, "study", "truck.Mass = 2800*kg")
	require.Empty(t, p.Faults)
	require.IsType(t, &figure.Gauges{}, p.Blocks[0].Figures[0])
	rows := p.Blocks[0].Figures[0].(*figure.Gauges).Rows
	assert.Equal(t, "2800\u00a0kg", rows[0].Value.Text.Metric)
	assert.Equal(t, "–", rows[1].Value.Text.Metric)
	assert.Equal(t, "no value here", rows[1].Says())
}

// In a hurry the page has its numbers in prose and the figures in its reader's window, its cautions, and what is posed,
// which the numbers follow. The rest says that it comes later, and what only that reads isn't worked out.
func TestWindow(t *testing.T) {
	const study = "# Study\n\n```go params\nc := use(\"car\").truck\nx := span(0*kg, 10*kg, 3)\nunread := c.Mass + x\nheavy := c.Mass*2\n" +
		"Curves{Title: \"Seen, {heavy in kg}\", X: x, Y: x + c.Mass}\n" +
		"Curves{Title: \"Not seen, {unseen in kg}\", X: x, Y: x + unread}\nunseen := c.Mass*3\n" +
		"Claim{\"It is over {c.Mass in kg}\", unread > 0*kg}\n" +
		"Table{Title: \"Seen\", Columns: []Column{{\"Mass\", c.Mass, kg}}}\n```\n\nIt is {c.Mass in kg}.\n"
	lib := library{"car.md": offering, "study.md": study}
	o := Options{Hurry: time.Hour, Shown: "study", Seen: []string{"figure-1", "figure-4"}, Yours: mine("truck.Mass = 1500*kg")}
	p := New(lib, o).Page(context.Background(), "study")
	require.Empty(t, p.Faults)
	assert.True(t, p.Later)
	assert.False(t, p.Cautions)
	assert.Equal(t, []string{"1500 kg"}, texts(p))
	figures := p.Blocks[0].Figures
	require.Len(t, figures, 4)
	assert.Equal(t, "Seen, 3000\u00a0kg", figures[0].(*figure.Curves).Title.String())
	assert.True(t, figures[1].(*figure.Missing).Later)
	assert.Equal(t, "figure-2", figure.HeadOf(figures[1]).ID)
	claim := figures[2].(*figure.Claim)
	assert.True(t, claim.Later)
	assert.Equal(t, "It is over 1500\u00a0kg", claim.Says.String())
	assert.IsType(t, &figure.Table{}, figures[3])
	car := New(lib, o).Page(context.Background(), "car")
	require.NotNil(t, car.Offered)
	assert.NotNil(t, car.Offered.Now)

	o.Hurry = 0
	p = New(lib, o).Page(context.Background(), "study")
	assert.False(t, p.Later)
	assert.IsType(t, &figure.Curves{}, p.Blocks[0].Figures[1])

	warned := library{"car.md": offering, "study.md": "# Study\n\n```go params\nc := use(\"car\").truck\nloads := JointLoads{Vehicle: c}\nTable{Columns: []Column{{\"Load\", loads.LowerBall, N}}}\n```\n"}
	o.Hurry, o.Seen = time.Hour, []string{}
	assert.True(t, New(warned, o).Page(context.Background(), "study").Cautions, "the cautions stay")
}

// The numbers in prose that are worked out first are those from the figure before the window to the one after it.
func TestWindowOfText(t *testing.T) {
	const study = "# Study {a to 1}\n\n```go params\nc := use(\"car\").truck\na := 1\nb := 2\nd := 3\n```\n\n{a to 1}\n\n```go params\nClaim{\"One {a to 1}\", a > 0}\n```\n\n{b to 1}\n\n" +
		"```go params%s\nClaim{\"Two {b to 1}\", b > 0}\n```\n\n{d to 1}\n\n```go params\nClaim{\"Three {d to 1}\", d > 0}\n```\n\n{c.Mass in kg}\n"
	for _, c := range []struct {
		fold  string
		seen  []string
		title string
		texts []string
		says  []string
	}{
		{"", []string{"figure-1"}, "Study 1", []string{"1", "1", "2", "…", "…"}, []string{"One 1", "Two 2", "Three …"}},
		{"", []string{"figure-2"}, "Study …", []string{"…", "…", "2", "3", "…"}, []string{"One …", "Two 2", "Three 3"}},
		{"", []string{"figure-3"}, "Study …", []string{"…", "…", "…", "3", "1500 kg"}, []string{"One …", "Two …", "Three 3"}},
		{"", []string{}, "Study 1", []string{"1", "1", "2", "3", "1500 kg"}, []string{"One 1", "Two 2", "Three 3"}},
		{" lead", []string{"figure-2"}, "Study 1", []string{"1", "1", "…", "…", "…"}, []string{"One 1", "Two 2", "Three …"}},
		{" lead", []string{"figure-2", "figure-1"}, "Study 1", []string{"1", "1", "2", "3", "…"}, []string{"One 1", "Two 2", "Three 3"}},
	} {
		lib := library{"car.md": offering, "study.md": fmt.Sprintf(study, c.fold)}
		p := New(lib, Options{Hurry: time.Hour, Shown: "study", Seen: c.seen, Yours: mine("truck.Mass = 1500*kg")}).Page(context.Background(), "study")
		require.Empty(t, p.Faults)
		assert.Equal(t, c.title, p.Title.String(), c.seen)
		assert.Equal(t, c.texts, texts(p), c.seen)
		var says []string
		for _, b := range p.Blocks {
			for _, f := range b.Figures {
				claim := f.(*figure.Claim)
				assert.Equal(t, !slices.Contains(c.seen, claim.ID), claim.Later)
				says = append(says, claim.Says.String())
			}
		}
		assert.Equal(t, c.says, says, c.seen)
		assert.Equal(t, []string{"car"}, p.Uses, "what it depends on stays")
	}
}
