package build

import (
	"bytes"
	"context"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/notebooks"
	"turnplate/site/collection"
	"turnplate/site/diag"
	"turnplate/site/value"
)

// measured is the demo's vehicle in a notebook by itself, without what is derived from it.
func measured(t *testing.T) string {
	t.Helper()
	source, err := notebooks.FS.ReadFile("vehicles/corrie.md")
	require.NoError(t, err)
	block := regexp.MustCompile("(?s)```go params\nfactory := .*?```\n").Find(source)
	require.NotNil(t, block)
	return "---\nyours: car\ndraws: 20\n---\n# Car\n\n" + strings.Replace(string(block), "factory :=", "car :=", 1)
}

// between stand two notebooks between the vehicle and the page: they give more than the page reads, change what they
// gave, and hand on each other's.
const between = `---
draws: 20
---

# Set

~~~go params
car    := use("car").car
set    := AlignTo{Vehicle: car, Caster: 4*deg, Camber: 0*deg, Toe: 0.05*deg, UseUpper: yes, LegTravel: 15*mm, ShiftTravel: 10*mm}
stands := set.Nearest
unread := ParkingEffort{Vehicle: car}
before := stands.Tyre.Mass
stands.Spring.Rate = car.Spring.Rate*uniform(0.9, 1.1)
Claim{"It is a wheel", before > 0*kg}
~~~
`

const handsOn = `---
draws: 20
---

# Rolls

~~~go params
set   := use("set")
rolls := ReturnTorque{Vehicle: set.stands, Speed: 60*kph, LateralAcceleration: 0.2*gravity}
lost  := Alignment{Vehicle: set.car}
~~~
`

const readerPage = `---
draws: 20
---

# Page

~~~go params
by     := use("rolls")
car    := use("car").car
park   := ParkingEffort{Vehicle: by. /* what it uses */ set.
	stands}
ride   := Ride{Vehicle: by.set.stands, Speed: 60*kph}
up     := span(-40*mm, 40*mm, 5)
travel := Travel{Vehicle: by.set.stands, Bump: up}
clear  := Clearance{Vehicle: car, BumpFrom: -40*mm, BumpTo: 40*mm}
found  := Survey{Readings: readings("read.csv"), Start: car}
tried  := dial(0*mm, -20*mm, 20*mm, 5)
turned := Travel{Vehicle: car, Bump: tried}
Curves{Title: "Camber, and {by.rolls.Total in N*m to 0.0001} of return torque", X: up, Y: travel.Camber}
Drawing{Title: "The corner", Vehicle: car, View: "front"}
~~~

{park.RimForce in N to 0.0001} {clear.SmallestGap in mm to 0.0001} {found.Front.UpperBall.X in mm to 0.0001}
{found.Misfit to 0.0001} {turned.Camber in deg to 0.0001} {by.set.before in kg to 0.0001}
`

func readersCollection(t *testing.T) fstest.MapFS {
	read, err := notebooks.FS.ReadFile("vehicles/corrie-points.csv")
	require.NoError(t, err)
	files := fstest.MapFS{"read.csv": {Data: read}, "car.md": {Data: []byte(measured(t))}}
	for name, text := range map[string]string{"set.md": between, "rolls.md": handsOn, "page.md": readerPage} {
		files[name] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(text, "~~~", "```"))}
	}
	return files
}

// numbersOf lists the fields of a record that are single numbers, by dotted paths.
func numbersOf(r *value.Record) (paths []string) {
	for _, name := range slices.Sorted(maps.Keys(r.Fields)) {
		switch v := r.Fields[name].(type) {
		case *value.Record:
			for _, below := range numbersOf(v) {
				paths = append(paths, name+"."+below)
			}
		case *value.Array:
			if v.Kind == value.Number && len(v.Axes) == 0 {
				paths = append(paths, name)
			}
		}
	}
	return paths
}

// calculated finds the numbers in prose that no dial moves.
var calculated = regexp.MustCompile(`<span class="calc">.*?</span>[^<]*`)

var madeFrom = regexp.MustCompile(`From inputs</dt><dd><code>[0-9a-f]+</code>`)

// What is kept from one set of a reader's values to the next never shows in the page: after each field in turn it is the
// page that a site has whose notebook says the same.
func TestEachOfYours(t *testing.T) {
	files := readersCollection(t)
	bundle, err := evaluatedSite(t, files).Bundle()
	require.NoError(t, err)
	live, err := Unpack(context.Background(), bundle)
	require.NoError(t, err)
	offered, err := live.Offered("car")
	require.NoError(t, err)
	paths := numbersOf(offered.Page)
	require.Greater(t, len(paths), 60)
	changed := 0
	var before []byte
	const hurry = time.Nanosecond
	left := 0
	for i, path := range paths {
		text := "car." + path + " = car." + path + "*0.99"
		given := map[string]diag.Snippet{"car": theirs(text)}
		first := Visit{Page: "page.html", Yours: given, Still: []string{""}, Hurry: hurry}
		if i%2 == 1 {
			first.Seen, first.Hurry = []string{"figure-2"}, time.Hour
		}
		live = live.With(context.Background(), first)
		still, err := live.Page("page.html")
		require.NoError(t, err)
		require.NotEmpty(t, still.HTML, "%s: %v", path, still.Faults)
		if still.Later && bytes.Contains(still.HTML, []byte("This is being worked out.")) {
			left++
		}
		live = live.With(context.Background(), Visit{Page: "page.html", Yours: given})
		shown, err := live.Page("page.html")
		require.NoError(t, err)
		if !bytes.Equal(shown.HTML, before) {
			changed++
		}
		before = shown.HTML
		now := calculated.FindAllString(string(shown.HTML), -1)
		for k, number := range calculated.FindAllString(string(still.HTML), -1) {
			if !strings.Contains(number, "…") {
				assert.Equal(t, now[k], number, path)
			}
		}
		said := maps.Clone(files)
		said["car.md"] = &fstest.MapFile{Data: []byte(strings.Replace(string(files["car.md"].Data), "}\n```", "}\n"+text+"\n```", 1))}
		s := evaluatedSite(t, said)
		want, err := s.page("page", s.shared())
		require.NoError(t, err)
		assert.Equal(t, madeFrom.ReplaceAllString(string(want.HTML), ""), madeFrom.ReplaceAllString(string(shown.HTML), ""), path)
	}
	assert.Greater(t, left, 10)
	assert.Greater(t, changed, 30)
}

// What can't be shown for a reader's values says so in the figure's place, below its title if it has one.
func TestGapsOfYours(t *testing.T) {
	const page = "# Page\n\n~~~go params\ncar := use(\"car\").car\nx := span(0*kg, 2000*kg, 3)\nleft := x.At(x, car.Mass)\n" +
		"Gauges{Rows: []Gauge{{Head: \"Mass\", Value: car.Mass, In: kg, From: 0*kg, Until: 3000*kg, Limit: left, Better: \"less\"}}}\nTable{Title: \"What is left\", Columns: []Column{{\"Left\", left, kg}}}\n~~~\n"
	files := fstest.MapFS{"car.md": {Data: []byte(measured(t))}, "page.md": {Data: []byte(strings.ReplaceAll(page, "~~~", "```"))}}
	bundle, err := evaluatedSite(t, files).Bundle()
	require.NoError(t, err)
	live, err := Unpack(context.Background(), bundle)
	require.NoError(t, err)
	live = live.With(context.Background(), Visit{Page: "page.html", Yours: map[string]diag.Snippet{"car": theirs("car.Mass = 2500*kg")}})
	shown, err := live.Page("page.html")
	require.NoError(t, err)
	require.Empty(t, shown.Faults)
	assert.Equal(t, 2, bytes.Count(shown.HTML, []byte("With these values there is nothing to show here")))
	titles := regexp.MustCompile(`<p class="figure-title"[^>]*>(.*?)</p>`).FindAllSubmatch(shown.HTML, -1)
	require.Len(t, titles, 1)
	assert.Contains(t, string(titles[0][1]), "What is left")
}

// theirs is a reader's line.
func theirs(text string) diag.Snippet {
	return diag.Snippet{File: "yours", Source: []byte(text), Text: text, Starts: slices.Repeat([]diag.Pos{{Line: 1, Col: 1}}, len(text))}
}

// The words of the demo hold for a truck that is small where the page's is large: no page stops, and no number below zero is
// said to be more, or higher, or further of something.
func TestWordsForASmallerTruck(t *testing.T) {
	values := strings.Join([]string{
		`truck.Tyre = tyreSize("205/80R16 104T", truck.Tyre)`, "truck.Tyre.LoadedRadius = 345*mm", "truck.Tyre.Mass = 12*kg", "truck.Tyre.Inertia = 1.3*kg*m*m",
		"truck.Tyre.OffsetChange = 60*mm", "truck.Mass = 1350*kg", "truck.Both.Lift = 0*mm", "truck.RearLift = 0*mm",
		"truck.Spring.DroopTravel = 80*mm", "truck.Front.UpperBall = at(-2, 672, 640)*mm",
	}, "\n")
	c, err := collection.Open(notebooks.FS, "demo")
	require.NoError(t, err)
	live := NewLive(context.Background(), c, Options{})
	tags, drawn := regexp.MustCompile(`<[^>]*>`), regexp.MustCompile(`(?s)<svg.*?</svg>|<span class="in-us">.*?</span>|<table.*?</table>|<pre.*?</pre>`)
	falls := regexp.MustCompile(`−[\d.,]+\s?\S{1,4}\s+(?:more|less|fewer|higher|lower|heavier|lighter|taller|harder|further|longer|outward|inward)\b.{0,40}`)
	for _, page := range []string{"vehicles/index", "vehicles/corrie", "studies/tyre", "studies/bumpsteer", "studies/caster", "workshop/axis", "workshop/tyres", "workshop/travel"} {
		live = live.With(context.Background(), Visit{Page: page + ".html", Yours: map[string]diag.Snippet{"vehicles/corrie": theirs(values)}, Still: []string{""}})
		shown, err := live.Page(page + ".html")
		require.NoError(t, err)
		require.Empty(t, shown.Faults, page)
		words := tags.ReplaceAllString(drawn.ReplaceAllString(string(shown.HTML), " "), "")
		assert.Empty(t, falls.FindAllString(words, -1), page)
		if page == "workshop/axis" { // a wheel moved out starts where the reader's stands
			scrub := regexp.MustCompile(`(?:At the ground|the scrub radius is)\s+(−\d+)`).FindAllStringSubmatch(words, -1)
			require.Len(t, scrub, 2)
			assert.Equal(t, scrub[0][1], scrub[1][1])
		}
	}
}
