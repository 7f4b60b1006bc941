package preview

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
