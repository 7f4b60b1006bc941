package preview

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/notebooks"
	"turnplate/site/build"
	"turnplate/site/collection"
)

func TestPreviewFollowsSaves(t *testing.T) {
	p := begin(t, small()...)
	assert.Empty(t, p.settled().Changed)
	one, two := p.follow("studies/one.html"), p.follow("studies/two.html")
	first := one.shows("It is ")
	assert.Empty(t, first.Notice)
	two.shows("wheel")

	write(t, p.folder, "studies/one.md", "# One\n\n```go params\nx := use(\"parts/arm\").length\n```\n\nIt was {x in mm} long.\n")
	m := one.shows("It was ")
	assert.NotEqual(t, first.Digest, m.Digest)
	r := p.settled()
	assert.Equal(t, []string{"studies/one.md"}, r.Changed)
	assert.Positive(t, r.Took)

	replace(t, p.folder, "parts/arm.md", "# Arm\n\n```go params\nlength := 345*mm\n```\n")
	one.shows("345") // it uses what was saved
	assert.Contains(t, p.settled().Changed, "parts/arm.md")
	write(t, p.folder, "data.csv", "Part,Mass (kg)\naxle,1\n")
	two.shows("axle")
	p.settled()

	write(t, p.folder, "studies/knuckle.md", "# The knuckle")
	one.shows("The knuckle") // in the navigation
	status, body := p.get("/studies/knuckle.html")
	assert.Equal(t, 200, status)
	assert.Contains(t, body, "The knuckle")
	require.NoError(t, os.Remove(filepath.Join(p.folder, "studies", "knuckle.md")))
	one.next(func(m message) bool { return m.HTML != "" && !strings.Contains(m.HTML, "The knuckle") })
	status, _ = p.get("/studies/knuckle.html")
	assert.Equal(t, 404, status)
}

// With a mistake, the page stays and the mistake is told; both end when it is mended.
func TestPreviewTellsMistakes(t *testing.T) {
	p := begin(t, small()...)
	good := small()[5]
	one, two, home := p.follow("studies/one.html"), p.follow("studies/two.html"), p.follow("index.html")
	one.shows("It is ")
	two.shows("wheel")
	home.shows("Home")
	p.settled()

	write(t, p.folder, "studies/one.md", strings.Replace(good, "in mm", "in kg", 1))
	m := one.tells("studies/one.md:7:")
	assert.Empty(t, m.HTML)
	for _, want := range []string{"This is the page before its last change", "kg is a unit of", "<pre>    It is {x in kg} long.", "\n                ^^</pre>"} {
		assert.Contains(t, m.Notice, want)
	}
	r := p.report(faulty(1))
	assert.Equal(t, []string{"studies/one.md"}, r.Changed)
	assert.Equal(t, "studies/one.md", r.Faults[0].File)
	_, body := p.get("/studies/one.html")
	assert.Contains(t, body, "It is ", "the last good page")
	elsewhere := home.tells("A mistake elsewhere")
	assert.Contains(t, elsewhere.Notice, "studies/one.md:7:")
	two.tells("A mistake elsewhere")

	write(t, p.folder, "studies/one.md", good)
	assert.Empty(t, one.next(func(m message) bool { return m.Notice == "" }).HTML, "it is the page that is shown")
	home.next(func(m message) bool { return m.Notice == "" })
	p.report(faulty(0))

	// A mistake in what it uses is told too, and first.
	write(t, p.folder, "parts/arm.md", "# Arm\n\n```go params\nlength := 2*mmm\n```\n")
	m = one.tells("parts/arm.md:4:")
	assert.Less(t, strings.Index(m.Notice, "parts/arm.md:4:"), strings.Index(m.Notice, "studies/one.md:4:"))
	p.report(faulty(2))
	write(t, p.folder, "parts/arm.md", "# Arm\n\n```go params\nlength := 7*mm\n```\n")
	one.shows(">7")
	p.report(faulty(0))

	// A page that never was good shows the mistake alone, and is followed all the same.
	write(t, p.folder, "new.md", "# New\n\n{nothing} here <script>alert(1)</script>\n")
	p.report(faulty(1))
	status, body := p.get("/new.html")
	assert.Equal(t, 200, status)
	assert.Contains(t, body, "This page can’t be shown yet")
	assert.Contains(t, body, "new.md:3:2")
	assert.NotContains(t, body, "<script>alert")
	assert.Contains(t, body, "preview.js")
	fresh := p.follow("new.html")
	fresh.tells("new.md:3:2")
	write(t, p.folder, "new.md", "# New\n\nNothing here.\n")
	fresh.shows("Nothing here.")

	// A notebook that goes leaves its page on show, with a word about it.
	require.NoError(t, os.Remove(filepath.Join(p.folder, "new.md")))
	fresh.tells("There is no page new.html")
	write(t, p.folder, "new.md", "# New\n\nBack again.\n")
	fresh.shows("Back again.")
}

// Half of a save is never told, neither to readers nor on the terminal.
func TestPreviewIgnoresHalfOfASave(t *testing.T) {
	bePatient(t)
	p := begin(t, small()...)
	one := p.follow("studies/one.html")
	one.shows("It is ")
	p.settled()
	text := small()[5]
	f, err := os.Create(filepath.Join(p.folder, "studies", "one.md"))
	require.NoError(t, err)
	time.Sleep(patience / 10)
	_, err = f.WriteString(text[:len(text)/2]) // ends within the block
	require.NoError(t, err)
	time.Sleep(patience / 10)
	_, err = f.WriteString(text[len(text)/2:] + "\nAnd it is saved.\n")
	require.NoError(t, err)
	require.NoError(t, f.Close())
	m := one.next(func(m message) bool { return true })
	assert.Contains(t, m.HTML, "And it is saved.")
	assert.Empty(t, m.Notice)
	assert.Empty(t, p.settled().Faults)
}

// The folder may lose its notebooks, or itself, and get them back.
func TestPreviewSurvivesTheFolder(t *testing.T) {
	p := begin(t, "a.md", "# A\n\nWords.\n")
	a := p.follow("a.html")
	a.shows("Words.")
	p.settled()
	require.NoError(t, os.Remove(filepath.Join(p.folder, "a.md")))
	a.tells(collection.ErrNone.Error())
	assert.Len(t, p.settled().Faults, 1)
	write(t, p.folder, "a.md", "# A\n\nOther words.\n")
	assert.Empty(t, a.shows("Other words.").Notice)
	assert.Empty(t, p.settled().Faults)

	require.NoError(t, os.Rename(p.folder, p.folder+"-away"))
	a.tells("no such file")
	assert.Len(t, p.settled().Faults, 1)
	_, body := p.get("/a.html")
	assert.Contains(t, body, "Other words.")
	write(t, p.folder, "a.md", "# A\n\nNew words.\n")
	a.shows("New words.")
	p.report(faulty(0))
	write(t, p.folder, "a.md", "# A\n\nNewest words.\n")
	a.shows("Newest words.")
}

// A build is given up when the next save comes: the page that is waited for shows the last.
func TestPreviewGivesUp(t *testing.T) {
	read := func(name string) string {
		text, err := fs.ReadFile(notebooks.FS, "vehicles/"+name)
		require.NoError(t, err)
		return string(text)
	}
	truck := []byte(read("corrie.md"))
	const quick = "# Slow\n\nNot yet.\n"
	truck = regexp.MustCompile(`\]\([^)]*\)`).ReplaceAll(truck, []byte("]")) // what it links to isn't here
	p := begin(t, "vehicles/corrie.md", string(truck), "vehicles/index.md", "# Vehicles", "vehicles/corrie-first.csv", read("corrie-first.csv"), "vehicles/corrie-points.csv", read("corrie-points.csv"), "slow.md", quick, "other.md", "# Other\n\nWords.\n")
	slow, other := p.follow("slow.html"), p.follow("other.html")
	slow.shows("Not yet.")
	other.shows("Words.")
	require.Empty(t, p.settled().Faults)
	// 33 000 runs of the slowest model take far longer than the pause between these saves.
	heavy := func(n int) string {
		return fmt.Sprintf("# Slow\n\n```go params\ncar := use(\"vehicles/corrie\").truck\ncar.Front.Adjust.UpperFrontLeg = normal(%d*mm, 0.1*mm)\n"+
			"car.Front.Adjust.UpperShift = span(0*mm, 20*mm, 33)\nset := SteerRelease{Vehicle: car, Speed: 60*kph, LateralAcceleration: 0.3*gravity}\nmost := quantile(set.TimeToHalf.Max(), 0.5)\n```\n\nIt is {most in s}.\n", n)
	}
	for i := range 5 {
		write(t, p.folder, "slow.md", heavy(i))
		time.Sleep(2 * longest)
	}
	write(t, p.folder, "slow.md", strings.Replace(quick, "Not yet", "Now", 1))
	m := slow.next(func(m message) bool { return true })
	assert.Contains(t, m.HTML, "Now.", "none of the builds that were overtaken came to anything: %s", m.Notice)
	write(t, p.folder, "other.md", "# Other\n\nOther words.\n")
	other.shows("Other words.")
}

// Two changes may wake it twice and be taken as one. The second time there is nothing to build.
func TestPreviewWokenTwice(t *testing.T) {
	c, err := collection.Open(fstest.MapFS{"a.md": &fstest.MapFile{Data: []byte("# A")}}, "notes")
	require.NoError(t, err)
	reports := make(chan Report, 10)
	p := &Preview{
		options: Options{Report: func(r Report) { reports <- r }}, collection: c, updated: make(chan struct{}),
		wake: make(chan struct{}, 1), known: map[string]bool{}, giveUp: func() {},
	}
	ctx, stop := context.WithCancel(t.Context())
	p.live = build.NewLive(ctx, c, build.Options{})
	done := make(chan struct{})
	go func() {
		p.keepBuilding(ctx, ctx)
		close(done)
	}()
	<-reports
	for range 3 { // the last is taken once the first is done with
		p.wake <- struct{}{}
	}
	stop()
	<-done
	assert.Empty(t, reports)
}

// A notebook may be a link to another file of the collection. A site written into the collection is no part of it.
func TestPreviewLinksAndSites(t *testing.T) {
	folder := t.TempDir()
	write(t, folder, "a.md", "# A\n\nWords.\n")
	write(t, folder, "_kept/text.md", "# Linked\n\nFirst words.\n")
	require.NoError(t, os.Symlink(filepath.Join("_kept", "text.md"), filepath.Join(folder, "link.md")))
	p := run(t, Options{Folder: folder, Listen: "127.0.0.1:0"})
	p.settled()
	link := p.follow("link.html")
	link.shows("First words.")
	replace(t, folder, "_kept/text.md", "# Linked\n\nSecond words.\n")
	link.shows("Second words.")
	p.report(func(r Report) bool { return slices.Contains(r.Changed, "link.md") })

	out := filepath.Join(folder, ".turnplate-out", "new")
	write(t, out, collection.Marker, "")
	write(t, out, "page.md", "# Page")
	require.NoError(t, os.Rename(out, filepath.Join(folder, "out")))
	write(t, folder, "out/page.md", "# Page\n\n{a mistake}\n")
	write(t, folder, "a.md", "# A\n\nOther words.\n")
	r := p.settled()
	assert.Equal(t, []string{"a.md"}, r.Changed)
	assert.Empty(t, r.Faults)
	status, _ := p.get("/out/page.html")
	assert.Equal(t, 404, status)
}
