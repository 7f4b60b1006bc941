package build

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/collection"
	"turnplate/site/model"
	"turnplate/site/page"
)

// previewed is a site under preview that a test changes.
type previewed struct {
	t     *testing.T
	files fstest.MapFS
	c     *collection.Collection
	*Live
}

func preview(t *testing.T, files fstest.MapFS) *previewed {
	t.Helper()
	c, err := collection.Open(files, "notes")
	require.NoError(t, err)
	return &previewed{t, files, c, NewLive(context.Background(), c, Options{Version: "test", Cache: model.NewCache()})}
}

// save writes files given as name, content, name, content, and moves on to the next Live. Content "" removes.
func (p *previewed) save(pairs ...string) {
	p.t.Helper()
	var changed []string
	for i := 0; i < len(pairs); i += 2 {
		changed = append(changed, pairs[i])
		if delete(p.files, pairs[i]); pairs[i+1] != "" {
			p.files[pairs[i]] = &fstest.MapFile{Data: []byte(pairs[i+1])}
		}
	}
	c, err := p.c.Again(p.files, func(name string) bool { return slices.Contains(changed, name) })
	require.NoError(p.t, err)
	p.c, p.Live = c, p.Next(context.Background(), c, changed)
}

func (p *previewed) show(name string) Shown {
	p.t.Helper()
	shown, err := p.Page(name)
	require.NoError(p.t, err)
	return shown
}

// evaluated lists the notebooks whose values the Live has or has taken over.
func (p *previewed) evaluated() []string {
	var list []string
	for name, e := range p.entries {
		if e.now.Load() != nil {
			list = append(list, name)
		}
	}
	slices.Sort(list)
	return list
}

// A page under preview is the very page that write makes, whatever was changed on the way to it.
func TestLiveIsTheSite(t *testing.T) {
	p := preview(t, files("index.md", "# Home"))
	sample := sample()
	_, err := p.All()
	require.NoError(t, err)
	for _, name := range []string{"studies/one.md", "parts/arm.md", "studies/two.md", "data.csv", "parts/other.md"} {
		p.save(name, string(sample[name].Data))
		for page := range p.entries {
			p.show(page + ".html")
		}
	}
	want := rendered(t, sample)
	for name, data := range want {
		if strings.HasSuffix(name, ".html") {
			assert.Equal(t, data, string(p.show(name).HTML), name)
			assert.Equal(t, digest(data), p.show(name).Digest())
			continue
		}
		got, err := p.File(name)
		require.NoError(t, err, name)
		assert.Equal(t, data, string(got), name)
	}
	for _, name := range []string{"data.csv", "studies/one.md", "studies/one", "none.html", "studies/two-figure-9.csv", page.AssetFolder + "/../page.go", "../build.go", ""} {
		_, err := p.File(name)
		assert.ErrorIs(t, err, ErrNoPage, name)
	}
	_, err = p.Page("none.html")
	assert.ErrorIs(t, err, ErrNoPage)
}

// What a change doesn't touch is neither evaluated nor rendered again.
func TestLiveTakesOver(t *testing.T) {
	p := preview(t, sample())
	assert.Empty(t, p.evaluated())
	p.show("studies/one.html")
	assert.Equal(t, []string{"studies/one"}, p.evaluated(), "a page asked for is evaluated, and no other")
	all, err := p.All()
	require.NoError(t, err)
	assert.Empty(t, all.Claims)
	assert.Equal(t, []string{"data.csv"}, all.Readings)

	pages := []string{"index", "parts/arm", "parts/other", "studies/one", "studies/two"}
	without := func(names ...string) []string {
		return slices.DeleteFunc(slices.Clone(pages), func(s string) bool { return slices.Contains(names, s) })
	}
	for _, test := range []struct{ file, content, again string }{
		{"parts/other.md", "# Other\n\nMore words.\n", ""},
		{"parts/arm.md", "More words.\n\n```go params\nlength := 2*mm\n```\n", ""},
		{"parts/arm.md", "More words.\n\n```go params\nlength := 3*mm\n```\n", "parts/arm studies/one"},
		{"data.csv", "Part,Mass (kg)\na,2\n", "studies/two"},
		{"studies/one.md", "```go params\nx := use(\"parts/arm\").length\n```\n\nIt is {x in cm}.\n", "studies/one"},
		{"studies/data.csv", "Part,Mass (kg)\na,2\n", "studies/two"},
		{"parts/other.md", "# Another title\n", "parts/other"},
	} {
		p.save(test.file, test.content)
		assert.Equal(t, without(strings.Fields(test.again)...), p.evaluated(), "%s", test.file)
		_, err := p.All()
		require.NoError(t, err)
		assert.Equal(t, pages, p.evaluated())
	}
	assert.Contains(t, string(p.show("studies/one.html").HTML), "0.3")

	before, err := p.render("studies/two")
	require.NoError(t, err)
	p.save("studies/one.md", "```go params\nx := use(\"parts/arm\").length\n```\n\nThe same title, {x in cm}.\n")
	after, err := p.render("studies/two")
	require.NoError(t, err)
	assert.Same(t, before, after)
	p.save("studies/one.md", "# Another title")
	p.show("studies/one.html")
	after, err = p.render("studies/two")
	require.NoError(t, err)
	assert.NotSame(t, before, after, "the pages around it are in its navigation")
}

// Claims keep their lines when words above them come and go.
func TestLiveClaimsMove(t *testing.T) {
	block := "```go params\nx := 2*mm\n\nClaim{\"small\", x < 1*mm}\n```\n"
	p := preview(t, files("a.md", "Words.\n\n"+block))
	all, err := p.All()
	require.NoError(t, err)
	require.Len(t, all.Claims, 1)
	assert.Equal(t, 6, all.Claims[0].Line)
	old := p.entries["a"].now.Load().Eval
	p.save("a.md", "Words.\n\nMore.\n\nAnd more.\n\n"+block)
	require.Equal(t, []string{"a"}, p.evaluated())
	all, err = p.All()
	require.NoError(t, err)
	assert.Equal(t, 10, all.Claims[0].Line)
	assert.Equal(t, []int{6}, old.Blocks[0].Lines, "what others still read stays as it was")
	p.save("a.md", "Words.\n\n- item\n\n  "+strings.ReplaceAll(block, "\n", "\n  "))
	require.Equal(t, []string{"a"}, p.evaluated())
	all, err = p.All()
	require.NoError(t, err)
	assert.Equal(t, 8, all.Claims[0].Line)
}

// With a mistake the last good page stays; its mistakes are told, with those of the notebooks it uses.
func TestLiveKeepsTheLastGoodPage(t *testing.T) {
	p := preview(t, sample())
	good := p.show("studies/one.html")
	require.Empty(t, good.Faults)

	p.save("studies/one.md", "```go params\nx := use(\"parts/arm\").lenth\n```\n")
	bad := p.show("studies/one.html")
	require.Len(t, bad.Faults, 1)
	assert.Contains(t, bad.Faults[0].Error(), "studies/one.md:2:")
	assert.Equal(t, string(good.HTML), string(bad.HTML))

	p.save("studies/one.md", string(sample()["studies/one.md"].Data), "parts/arm.md", "```go params\nlength := 2*mmm\n```\n")
	bad = p.show("studies/one.html")
	require.Len(t, bad.Faults, 2)
	assert.Equal(t, "parts/arm.md", bad.Faults[0].File, "the cause comes first")
	assert.Equal(t, "studies/one.md", bad.Faults[1].File)
	assert.Contains(t, string(bad.HTML), "It is ")
	all, err := p.All()
	require.NoError(t, err)
	assert.Len(t, all.Faults, 2)

	p.save("parts/arm.md", "```go params\nlength := 4*mm\n```\n")
	mended := p.show("studies/one.html")
	assert.Empty(t, mended.Faults)
	assert.Contains(t, string(mended.HTML), ">4")

	p.save("new.md", "{nothing}")
	assert.Nil(t, p.show("new.html").HTML)
	assert.Len(t, p.show("new.html").Faults, 1)
	p.save("new.md", "[gone](b.md)")
	assert.Len(t, p.show("new.html").Faults, 1)
	p.save("b.md", "# B")
	assert.Empty(t, p.show("new.html").Faults, "what was missing has come")
	p.save("b.md", "")
	assert.Len(t, p.show("new.html").Faults, 1, "and gone")
	assert.NotEmpty(t, p.show("new.html").HTML)
}

// A vehicle with a wrong sign is drawn with its mistake, and one in doubt on its page.
func TestLiveDrawsWhatIsWrong(t *testing.T) {
	const corner = "```go params\ncar := Vehicle{Front: Corner{\nUpperFront: at(90, 420, 610)*mm, UpperRear: at(-130, 425, 595)*mm, UpperBall: at(-22, 665, 620)*mm,\n" +
		"LowerFront: at(180, 340, 265)*mm, LowerRear: at(-200, 345, 262)*mm, LowerBall: at(12, 735, 245)*mm,\n" +
		"TieInner: at(135, 360, 300)*mm, TieOuter: at(150, 718, 288)*mm, WheelCentre: at(0, 800, 385)*mm}}\n"
	p := preview(t, sample())
	p.save("car.md", corner+"car.Front.TieOuter.Y = -718*mm\n```\n")
	bad := p.show("car.html")
	require.Len(t, bad.Faults, 1)
	assert.Contains(t, string(bad.Drawn), "TieOuter at 150, −718, 288 mm")
	assert.Contains(t, string(bad.Drawn), `<svg class="drawing wide"`)
	p.save("car.md", corner+"car.Front.UpperBall.X = 120*mm\n```\n")
	doubted := p.show("car.html")
	assert.Empty(t, doubted.Faults)
	assert.Empty(t, doubted.Drawn)
	assert.Contains(t, string(doubted.HTML), "UpperBall at 120, 665, 620; LowerBall at 12, 735, 245 mm")
	p.save("car.md", corner+"```\n")
	assert.NotContains(t, string(p.show("car.html").HTML), "as typed")
}

// A picture's new version is asked for under a new name.
func TestLivePictures(t *testing.T) {
	p := preview(t, files("a.md", "![one](pictures/one.png) [data](data.csv#row)", "pictures/one.png", pngHead, "data.csv", "a"))
	before := p.show("a.html")
	assert.Contains(t, string(before.HTML), `src="pictures/one.png?21-`)
	assert.Contains(t, string(before.HTML), `href="data.csv#row"`)
	brighter := pngHead + "\x00\x00\x00\x04gAMA\x00\x00\xb1\x8f\x0b\xfc\x61\x05"
	p.save("pictures/one.png", brighter)
	after := p.show("a.html")
	assert.Contains(t, string(after.HTML), `src="pictures/one.png?31-`)
	assert.NotEqual(t, before.Digest(), after.Digest())
	data, err := p.File("pictures/one.png")
	require.NoError(t, err)
	assert.Equal(t, brighter, string(data))
}

// A Live that is given up keeps what it has, and the next one goes on from there.
func TestLiveGivenUp(t *testing.T) {
	fsys := sample()
	c, err := collection.Open(fsys, "notes")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	l := NewLive(ctx, c, Options{Version: "test"})
	_, err = l.Page("parts/arm.html")
	require.NoError(t, err)
	cancel()
	_, err = l.Page("studies/one.html")
	assert.ErrorIs(t, err, context.Canceled)
	_, err = l.Page("parts/arm.html")
	assert.NoError(t, err, "what was evaluated can still be shown")
	_, err = l.All()
	assert.ErrorIs(t, err, context.Canceled)
	next := l.Next(context.Background(), c, nil)
	assert.NotNil(t, next.entries["parts/arm"].now.Load())
	shown, err := next.Page("studies/one.html")
	require.NoError(t, err)
	assert.NotEmpty(t, shown.HTML)
}

// Many readers at once see whole pages, each of some Live.
func TestLiveConcurrently(t *testing.T) {
	p := preview(t, sample())
	var mu sync.Mutex
	current := p.Live
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 200 {
				mu.Lock()
				l := current
				mu.Unlock()
				for _, name := range []string{"studies/one.html", "studies/two.html", "index.html"} {
					shown, err := l.Page(name)
					if assert.NoError(t, err) && assert.NotEmpty(t, shown.HTML) {
						assert.Equal(t, digest(string(shown.HTML)), shown.Digest())
					}
				}
			}
		})
	}
	for i := range 50 {
		p.files = fstest.MapFS{}
		for name, f := range sample() {
			p.files[name] = f
		}
		text := fmt.Sprintf("```go params\nlength := %d*mm\n```\n", i+1)
		p.files["parts/arm.md"] = &fstest.MapFile{Data: []byte(text)}
		c, err := collection.Open(p.files, "notes")
		require.NoError(t, err)
		next := p.Next(context.Background(), c, []string{"parts/arm.md"})
		mu.Lock()
		current, p.Live = next, next
		mu.Unlock()
	}
	wg.Wait()
	assert.Contains(t, string(p.show("studies/one.html").HTML), ">50")
}

// Finished pages are kept within bounds, the latest ones longest.
func TestRenderingsAreBounded(t *testing.T) {
	rs := newRenderings(100)
	made := 0
	get := func(name string) {
		t.Helper()
		r, err := rs.get(name, inputs{digest: name}, func(*page.Drawings) (page.Output, error) {
			made++
			return page.Output{HTML: make([]byte, 30), Files: []page.File{{Data: make([]byte, 10)}}}, nil
		})
		require.NoError(t, err)
		require.Len(t, r.out.HTML, 30)
	}
	get("a")
	get("b")
	get("a")
	assert.Equal(t, 2, made)
	get("c")
	assert.Equal(t, 3, made)
	assert.Equal(t, 80, rs.held)
	get("a")
	assert.Equal(t, 3, made, "the one that wasn't shown for longest goes first")
	get("b")
	assert.Equal(t, 4, made)
	assert.LessOrEqual(t, rs.held, 100)
	assert.Len(t, rs.byName, rs.order.Len())
}
