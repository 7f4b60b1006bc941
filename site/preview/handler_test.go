package preview

import (
	"context"
	"io"
	"io/fs"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/collection"
	"turnplate/site/page"
)

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
<script src="/turnplate/exchange.js" data-page defer></script>
<script src="/_preview/preview.js" data-page="studies/two.html" data-digest="`
	at := strings.Index(body, own)
	require.Positive(t, at)
	end := at + len(own) + strings.Index(body[at+len(own):], "</script>\n") + len("</script>\n")
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

// A request that announces a body and never sends it is closed, whatever it asks for.
func TestBodyThatNeverComes(t *testing.T) {
	p := begin(t, "a.md", "# A")
	p.settled()
	host := strings.TrimSuffix(strings.TrimPrefix(p.url, "http://"), "/")
	for _, head := range []string{
		"POST / HTTP/1.1\r\nContent-Length: 1000",
		"GET /a.html HTTP/1.1\r\nContent-Length: 1000",
		"GET /a.html HTTP/1.1\r\nTransfer-Encoding: chunked",
		"GET /_preview/events?page=a.html HTTP/1.1\r\nContent-Length: 1000",
	} {
		conn, err := net.Dial("tcp", host)
		require.NoError(t, err)
		defer conn.Close()
		_, err = io.WriteString(conn, head+"\r\nHost: "+host+"\r\n\r\n")
		require.NoError(t, err)
		require.NoError(t, conn.SetReadDeadline(time.Now().Add(30*time.Second)))
		_, err = io.Copy(io.Discard, conn) // to the end, which comes when the preview closes
		assert.NoError(t, err, head)
	}
}
