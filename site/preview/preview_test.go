package preview

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"net/url"
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
	"turnplate/site/page"
)

// running is a preview at work.
type running struct {
	t       testing.TB
	folder  string
	url     string
	start   Start
	reports chan Report
	stop    func() // and wait until it has stopped
}

// begin previews a folder of files given as name, content, name, content.
func begin(t testing.TB, pairs ...string) *running {
	t.Helper()
	folder := t.TempDir()
	for i := 0; i < len(pairs); i += 2 {
		write(t, folder, pairs[i], pairs[i+1])
	}
	return run(t, Options{Folder: folder, Listen: "127.0.0.1:0"})
}

func run(t testing.TB, options Options) *running {
	t.Helper()
	out := &running{t: t, folder: options.Folder, reports: make(chan Report, 10000)}
	started := make(chan Start, 1)
	options.Version = "test"
	options.Started = func(s Start) { started <- s }
	options.Report = func(r Report) { out.reports <- r }
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- Run(ctx, options) }()
	out.stop = func() {
		cancel()
		if done != nil {
			assert.NoError(t, <-done)
		}
		done = nil
	}
	t.Cleanup(out.stop)
	select {
	case out.start = <-started:
	case err := <-done:
		done = nil
		require.NoError(t, err)
		t.Fatal("it stopped by itself")
	}
	out.url = out.start.URL
	return out
}

// report waits for the first report that fits.
func (p *running) report(fits func(Report) bool) Report {
	p.t.Helper()
	limit := time.After(soonEnough)
	for {
		select {
		case r := <-p.reports:
			if fits(r) {
				return r
			}
		case <-limit:
			p.t.Fatal("no such report")
		}
	}
}

func (p *running) settled() Report { return p.report(func(Report) bool { return true }) }

func faulty(n int) func(Report) bool { return func(r Report) bool { return len(r.Faults) == n } }

// get asks for a path as it stands, which net/http's client would tidy up.
func (p *running) get(path string, headers ...string) (status int, body string) {
	p.t.Helper()
	at, err := url.Parse(p.url)
	require.NoError(p.t, err)
	conn, err := net.Dial("tcp", at.Host)
	require.NoError(p.t, err)
	defer conn.Close()
	if len(headers) == 0 {
		headers = []string{"Host: " + at.Host}
	}
	_, err = fmt.Fprintf(conn, "GET %s HTTP/1.1\r\n%s\r\nConnection: close\r\n\r\n", path, strings.Join(headers, "\r\n"))
	require.NoError(p.t, err)
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	require.NoError(p.t, err)
	data, err := io.ReadAll(answer.Body)
	require.NoError(p.t, err)
	return answer.StatusCode, string(data)
}

// follower is an open page without a browser.
type follower struct {
	t    testing.TB
	news chan message
	stop func()
}

func (p *running) follow(page string) *follower {
	p.t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	request, err := http.NewRequestWithContext(ctx, "GET", p.url+"_preview/events?page="+url.QueryEscape(page), nil)
	require.NoError(p.t, err)
	answer, err := http.DefaultTransport.RoundTrip(request)
	require.NoError(p.t, err)
	require.Equal(p.t, "text/event-stream", answer.Header.Get("Content-Type"))
	f := &follower{t: p.t, news: make(chan message, 1000)}
	done := make(chan struct{})
	go func() {
		defer close(done)
		defer answer.Body.Close()
		lines := bufio.NewScanner(answer.Body)
		lines.Buffer(nil, 16<<20)
		for lines.Scan() {
			if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				var m message
				assert.NoError(p.t, json.Unmarshal([]byte(data), &m))
				f.news <- m
			}
		}
	}()
	f.stop = func() {
		cancel()
		<-done
	}
	p.t.Cleanup(f.stop)
	return f
}

// next waits for the first news that fits.
func (f *follower) next(fits func(message) bool) message {
	f.t.Helper()
	limit := time.After(soonEnough)
	for {
		select {
		case m := <-f.news:
			if fits(m) {
				return m
			}
		case <-limit:
			f.t.Fatal("no such news")
		}
	}
}

func (f *follower) shows(text string) message {
	f.t.Helper()
	return f.next(func(m message) bool { return strings.Contains(m.HTML, text) })
}

func (f *follower) tells(text string) message {
	f.t.Helper()
	return f.next(func(m message) bool { return strings.Contains(m.Notice, text) })
}

func small() []string {
	return []string{"index.md", "# Home", "parts/arm.md", "# Arm\n\n```go params\nlength := 2*mm\n```\n",
		"studies/one.md", "# One\n\n```go params\nx := use(\"parts/arm\").length\n```\n\nIt is {x in mm} long.\n",
		"studies/two.md", "# Two\n\n```go params\nr := readings(\"data.csv\")\nTable{Rows: r.Part, Columns: []Column{{\"Mass\", r.Mass}}}\n```\n",
		"data.csv", "Part,Mass (kg)\nwheel,1\n"}
}

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
	truck, err := fs.ReadFile(notebooks.FS, "vehicles/corrie.md")
	require.NoError(t, err)
	const quick = "# Slow\n\nNot yet.\n"
	truck = regexp.MustCompile(`\]\([^)]*\)`).ReplaceAll(truck, []byte("]")) // what it links to isn't here
	p := begin(t, "vehicles/corrie.md", string(truck), "vehicles/index.md", "# Vehicles", "slow.md", quick, "other.md", "# Other\n\nWords.\n")
	slow, other := p.follow("slow.html"), p.follow("other.html")
	slow.shows("Not yet.")
	other.shows("Words.")
	require.Empty(t, p.settled().Faults)
	// 33 000 runs of the slowest model take far longer than the pause between these saves.
	heavy := func(n int) string {
		return fmt.Sprintf("# Slow\n\n```go params\ncar := use(\"vehicles/corrie\").lifted\ncar.Front.Adjust.UpperFrontLeg = normal(%d*mm, 0.1*mm)\n"+
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

// Names of any language, with spaces, are pages like others.
func TestPreviewNames(t *testing.T) {
	p := begin(t, "meine hefte/größe 2.md", "# Größe\n\nWorte. [Bild](<a b.csv>)\n", "meine hefte/a b.csv", "a\n")
	p.settled()
	status, body := p.get("/meine%20hefte/gr%C3%B6%C3%9Fe%202.html")
	assert.Equal(t, 200, status)
	assert.Contains(t, body, `data-page="meine hefte/größe 2.html"`)
	status, _ = p.get("/meine%20hefte/a%20b.csv?2-1")
	assert.Equal(t, 200, status)
	f := p.follow("meine hefte/größe 2.html")
	f.shows("Worte.")
	replace(t, p.folder, "meine hefte/größe 2.md", "# Größe\n\nAndere Worte.\n")
	f.shows("Andere Worte.")
}

func TestPreviewListens(t *testing.T) {
	err := Run(context.Background(), Options{Folder: t.TempDir(), Listen: "127.0.0.1:0"})
	assert.ErrorIs(t, err, collection.ErrNone, "there is nothing to show")

	folder := t.TempDir()
	write(t, folder, "a.md", "# A")
	first, second := run(t, Options{Folder: folder}), run(t, Options{Folder: folder})
	assert.NotEqual(t, first.url, second.url)
	assert.True(t, second.start.Taken)
	assert.False(t, second.start.Beyond)
	for _, p := range []*running{first, second} {
		status, _ := p.get("/")
		assert.Equal(t, 200, status)
		at, err := url.Parse(p.url)
		require.NoError(t, err)
		assert.Equal(t, "127.0.0.1", at.Hostname())
	}
	third := Options{Folder: folder, Listen: strings.TrimSuffix(strings.TrimPrefix(first.url, "http://"), "/")}
	assert.Error(t, Run(context.Background(), third), "an address that was asked for is not changed")

	// Stopped, even with pages open, it lets go of the port at once.
	first.follow("a.html").shows("A")
	idle, err := net.Dial("tcp", strings.TrimSuffix(strings.TrimPrefix(first.url, "http://"), "/"))
	require.NoError(t, err)
	defer idle.Close()
	before := time.Now()
	first.stop()
	assert.Less(t, time.Since(before), 5*time.Second)
	l, err := net.Listen("tcp", strings.TrimSuffix(strings.TrimPrefix(first.url, "http://"), "/"))
	require.NoError(t, err)
	l.Close()
}

func TestPreviewRefuses(t *testing.T) {
	parent := t.TempDir()
	folder := filepath.Join(parent, "notes")
	const secret = "A SECRET"
	write(t, parent, "secret.md", secret)
	write(t, parent, "secret.html", secret)
	png := "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06\x00\x00\x00\x1f\x15\xc4\x89"
	for name, text := range map[string]string{
		"index.md": "# Home\n\n![pic](pics/a.png) [linked](linked.csv)\n", "pics/a.png": png, "pics/b.png": png + secret, "linked.csv": "a,b\n",
		"private.txt": secret, ".hidden": secret, "_drafts/x.md": secret, "draft.md": "---\ndraft: true\n---\n" + secret, "own.html": secret,
		"_preview/preview.js": secret, "turnplate/page.js": secret,
	} {
		write(t, folder, name, text)
	}
	require.NoError(t, os.Symlink("../secret.md", filepath.Join(folder, "link.md")))
	p := run(t, Options{Folder: folder, Listen: "127.0.0.1:0"})
	p.settled()
	for path, want := range map[string]int{
		"/": 200, "/index.html": 200, "/pics/a.png": 200, "/pics/a.png?8-1": 200, "/linked.csv": 200, "/_preview/preview.js": 200, "/turnplate/page.css": 200, "/turnplate/page.js": 200,
		"/index.md": 404, "/draft.html": 404, "/draft.md": 404, "/private.txt": 404, "/.hidden": 404, "/_drafts/x.html": 404, "/_drafts/x.md": 404, "/own.html": 404, "/link.html": 404,
		"/pics/b.png": 404, "/pics": 404, "/pics/": 404, "/none.html": 404, "/../secret.md": 404, "/../secret.html": 404, "/..%2fsecret.html": 404, "/%2e%2e/secret.html": 404, "/pics/../../secret.html": 404,
		"/pics/..%2f..%2fsecret.md": 404, "/..%5csecret.html": 404, "//secret.html": 404, "/./index.html": 404, "/index.html/": 404, "/%00.html": 404, "/_preview/": 404, "/_preview/../preview.go": 404,
		"/_preview/..%2fpreview.go": 404, "/turnplate/../index.html": 404, "/turnplate/": 404, "/etc/passwd": 404, parent + "/secret.md": 404,
	} {
		status, body := p.get(path)
		assert.Equal(t, want, status, path)
		assert.NotContains(t, body, secret, path)
	}
	require.NoError(t, fs.WalkDir(page.Assets(), ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			status, _ := p.get("/" + page.AssetFolder + "/" + name)
			assert.Equal(t, 200, status, name)
		}
		return err
	}))
	at, err := url.Parse(p.url)
	require.NoError(t, err)
	for host, want := range map[string]int{
		at.Host: 200, "localhost:" + at.Port(): 200, "LOCALHOST": 200, "127.0.0.1": 200, "127.9.9.9:80": 200, "[::1]:" + at.Port(): 200,
		"example.org": 421, "example.org:" + at.Port(): 421, "127.0.0.1.example.org": 421, "localhost.example.org": 421, "192.168.1.2": 421, "0.0.0.0": 421, "[::2]": 421, "": 421,
	} {
		for _, path := range []string{"/", "/_preview/events?page=index.html", "/turnplate/page.css"} {
			if want == 200 && strings.Contains(path, "events") {
				continue // it would not end
			}
			status, body := p.get(path, "Host: "+host)
			assert.Equal(t, want, status, "%s of %q", path, host)
			if want != 200 {
				assert.NotContains(t, body, "Home")
			}
		}
	}
	for _, method := range []string{"POST", "PUT", "DELETE", "OPTIONS"} {
		request, err := http.NewRequest(method, p.url, strings.NewReader("x"))
		require.NoError(t, err)
		answer, err := http.DefaultClient.Do(request)
		require.NoError(t, err)
		answer.Body.Close()
		assert.Equal(t, http.StatusMethodNotAllowed, answer.StatusCode, method)
	}
	answer, err := http.Head(p.url)
	require.NoError(t, err)
	answer.Body.Close()
	assert.Equal(t, 200, answer.StatusCode)
	assert.Equal(t, "nosniff", answer.Header.Get("X-Content-Type-Options"))
	assert.Equal(t, "no-store", answer.Header.Get("Cache-Control"))
}

// Beyond the loopback, only names that can't be made to lead here by somebody else.
func TestHostsBeyond(t *testing.T) {
	all := hostsFor(fakeListener{net.IPv4zero}, "0.0.0.0:4470")
	assert.True(t, all.beyond)
	assert.Equal(t, "http://localhost:4470/", all.url)
	name, err := os.Hostname()
	require.NoError(t, err)
	for host, want := range map[string]bool{"192.168.1.2:4470": true, "[fe80::1]:4470": true, "localhost": true, name: true, strings.ToUpper(name) + ".local:4470": true, "example.org": false, "example.org:4470": false, "": false} {
		assert.Equal(t, want, all.allow(host), host)
	}
	one := hostsFor(fakeListener{net.IPv4(192, 168, 1, 2)}, "garage.lan:4470")
	assert.True(t, one.beyond)
	assert.True(t, one.allow("Garage.lan:4470"))
	assert.False(t, one.allow("example.org"))
	assert.False(t, hostsFor(fakeListener{net.IPv4(127, 0, 0, 1)}, "localhost:0").beyond)
	assert.False(t, hostsFor(fakeListener{net.IPv6loopback}, "[::1]:0").beyond)
}

type fakeListener struct{ ip net.IP }

func (fakeListener) Accept() (net.Conn, error) { return nil, io.EOF }
func (fakeListener) Close() error              { return nil }
func (f fakeListener) Addr() net.Addr          { return &net.TCPAddr{IP: f.ip, Port: 4470} }

// What is served is the page that write would write, and the script beside it.
func TestPreviewAddsOnlyItsScript(t *testing.T) {
	p := begin(t, small()...)
	p.settled()
	_, body := p.get("/studies/two.html")
	own := `
<link rel="stylesheet" href="/_preview/preview.css">
<script src="/_preview/preview.js" data-page="studies/two.html" data-digest="`
	at := strings.Index(body, own)
	require.Positive(t, at)
	end := at + strings.Index(body[at:], "</script>\n") + len("</script>\n")
	bare := strings.Replace(body[:at]+body[end:], "connect-src 'self'; ", "", 1)
	m := p.follow("studies/two.html").shows("wheel")
	assert.Equal(t, m.HTML, bare)
	assert.Contains(t, body[at:end], `data-digest="`+m.Digest+`"`)
	assert.Equal(t, 1, strings.Count(body, "connect-src"))
	assert.NotContains(t, m.HTML, "_preview")
	assert.Less(t, strings.Index(body, "Content-Security-Policy"), strings.Index(body, "<script"))
	assert.Less(t, strings.Index(body, "preview.js"), strings.Index(body, "page.js"), "it must see the page before the page's own script")
	_, err := withScript([]byte("<html>"), "a.html", "")
	assert.Error(t, err, "a page that changed beyond recognition is noticed")
}
