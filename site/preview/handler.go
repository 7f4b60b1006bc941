package preview

import (
	"bytes"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strings"
	"time"

	"turnplate/site/diag"
)

// ownFolder holds what the preview adds to a site. No page can be there: a collection leaves names with an
// underscore alone.
const ownFolder = "_preview/"

//go:embed assets
var assets embed.FS

//go:embed templates
var templateFiles embed.FS

var templates = template.Must(template.ParseFS(templateFiles, "templates/*.html"))

// handler answers a browser. What it gives is looked up by name among the site's own files; no name from a
// request ever becomes one on the disk.
type handler struct {
	preview *Preview
	hosts   hosts
}

// headers go with every answer, and keep other sites from doing anything with it.
var headers = map[string]string{
	"X-Content-Type-Options": "nosniff", "Cross-Origin-Resource-Policy": "same-origin", "Cross-Origin-Opener-Policy": "same-origin",
	"X-Frame-Options": "DENY", "Referrer-Policy": "no-referrer", "Cache-Control": "no-store",
}

// bodyWait is how long a preview waits for what a request sends beside its header, which it has no use for.
const bodyWait = 2 * time.Second

func (h *handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	for name, value := range headers {
		w.Header().Set(name, value)
	}
	if r.ContentLength != 0 { // the server reads a body to its end before the next request, and it might never end
		http.NewResponseController(w).SetReadDeadline(time.Now().Add(bodyWait))
	}
	switch {
	case !h.hosts.allow(r.Host):
		http.Error(w, "This preview answers to "+h.hosts.url+" alone.", http.StatusMisdirectedRequest)
		return
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "A preview only shows.", http.StatusMethodNotAllowed)
		return
	}
	name := strings.TrimPrefix(r.URL.Path, "/")
	if name == "" || strings.HasSuffix(name, "/") {
		name += "index.html"
	}
	own, isOwn := strings.CutPrefix(name, ownFolder)
	switch {
	case !fs.ValidPath(name):
		http.NotFound(w, r)
	case own == "events" && isOwn && r.Method == http.MethodGet:
		h.events(w, r)
	case isOwn:
		data, err := assets.ReadFile("assets/" + own)
		send(w, r, own, data, err)
	case path.Ext(name) == ".html":
		h.page(w, r, name)
	default:
		data, err := h.preview.file(name)
		send(w, r, name, data, err)
	}
}

// types are the media types of a site's files. A browser is told not to guess them.
var types = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".csv": "text/csv; charset=utf-8", ".txt": "text/plain; charset=utf-8",
	".woff2": "font/woff2", ".svg": "image/svg+xml", ".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".gif": "image/gif", ".webp": "image/webp",
}

func send(w http.ResponseWriter, r *http.Request, name string, data []byte, err error) {
	kind, known := types[strings.ToLower(path.Ext(name))]
	if err != nil || !known {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", kind)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
}

// page serves a page with the preview's script in it, or its mistakes alone if it has had some since the start.
func (h *handler) page(w http.ResponseWriter, r *http.Request, name string) {
	s, err := h.preview.page(r.Context(), name)
	if err != nil {
		http.Error(w, "The preview has stopped.", http.StatusServiceUnavailable)
		return
	}
	body := s.HTML
	if body != nil {
		body, err = withScript(body, name, s.Digest())
	} else {
		body, err = standIn(s, name)
	}
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	if s.gone {
		w.WriteHeader(http.StatusNotFound)
	}
	if r.Method != http.MethodHead {
		w.Write(body)
	}
}

// withScript adds the preview's script and style to a page, and lets the page ask for news. They stand
// before the page's own, so that the script sees the page as it was sent.
func withScript(html []byte, name, digest string) ([]byte, error) {
	const policy = `<meta http-equiv="Content-Security-Policy" content="`
	at := bytes.Index(html, []byte(policy))
	if at < 0 {
		return nil, errors.New("the page has no content security policy to add to")
	}
	end := at + bytes.IndexByte(html[at:], '>') + 1
	var out bytes.Buffer
	out.Write(html[:at])
	out.WriteString(policy + "connect-src 'self'; ")
	out.Write(html[at+len(policy) : end])
	if err := templates.ExecuteTemplate(&out, "script.html", standInView{Page: name, Digest: digest}); err != nil {
		return nil, err
	}
	out.Write(html[end:])
	return out.Bytes(), nil
}

// standInView is what the templates read.
type standInView struct {
	Page, Digest string
	Notice       template.HTML
}

// standIn is a page of mistakes alone.
func standIn(s state, name string) ([]byte, error) {
	text, err := notice(s, name)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = templates.ExecuteTemplate(&out, "standin.html", standInView{Page: name, Notice: text})
	return out.Bytes(), err
}

// noticeView is what the notice's template reads.
type noticeView struct {
	Kept      bool // the page below is an earlier version
	Gone      string
	Faults    diag.List
	More      int           // faults that are not shown
	Drawn     template.HTML // the corners that they are about
	Elsewhere diag.List
}

// mostShown bounds the mistakes on a page; a reader mends them from the top.
const mostShown = 20

// notice says, in HTML, what is wrong with a page; "" if nothing is.
func notice(s state, name string) (template.HTML, error) {
	v := noticeView{Kept: s.HTML != nil, Drawn: s.Drawn, Faults: slices.Concat(s.trouble, s.Faults), Elsewhere: s.elsewhere}
	if s.gone {
		v.Gone = name
	}
	if more := len(v.Faults) - mostShown; more > 0 {
		v.Faults, v.More = v.Faults[:mostShown], more
	}
	if v.Gone == "" && len(v.Faults)+len(v.Elsewhere) == 0 {
		return "", nil
	}
	var out strings.Builder
	err := templates.ExecuteTemplate(&out, "notice.html", v)
	return template.HTML(out.String()), err // made by a template
}

// message is one piece of news for an open page.
type message struct {
	Digest string `json:"digest"` // of the page; "" if there is none to show
	HTML   string `json:"html,omitempty"`
	Notice string `json:"notice"`
}

// How often a silent stream shows that it is alive, and how long a browser may take to read.
const (
	heartbeat   = 20 * time.Second
	slowest     = 10 * time.Second
	retryMillis = 500
)

// events streams the news of one page, as server-sent events (HTML standard, section 9.2). `have` is the
// digest of what the browser shows.
func (h *handler) events(w http.ResponseWriter, r *http.Request) {
	name := r.URL.Query().Get("page")
	defer h.preview.show(name)()
	w.Header().Set("Content-Type", "text/event-stream")
	stream := http.NewResponseController(w)
	write := func(text string) bool {
		stream.SetWriteDeadline(time.Now().Add(slowest))
		_, err := w.Write([]byte(text))
		return err == nil && stream.Flush() == nil
	}
	if !write(fmt.Sprintf("retry: %d\n\n", retryMillis)) {
		return
	}
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	last := message{Digest: r.URL.Query().Get("have"), Notice: "\x00"} // no notice is like this one, so the first is sent
	for {
		s, err := h.preview.page(r.Context(), name)
		if err != nil {
			return
		}
		news, err := newsOf(s, name, last.Digest)
		if err != nil {
			return
		}
		if news.HTML != "" || news.Notice != last.Notice {
			var text bytes.Buffer
			out := json.NewEncoder(&text)
			out.SetEscapeHTML(false)
			if out.Encode(news) != nil || !write("data: "+text.String()+"\n") {
				return
			}
			news.HTML = ""
			last = news
		}
	wait:
		for {
			select {
			case <-s.updated:
				break wait
			case <-beat.C:
				if !write(":\n\n") {
					return
				}
			case <-r.Context().Done():
				return
			}
		}
	}
}

// newsOf is what to tell a browser that shows the page of a digest.
func newsOf(s state, name, have string) (message, error) {
	text, err := notice(s, name)
	if err != nil {
		return message{}, err
	}
	m := message{Digest: s.Digest(), Notice: string(text)}
	if s.HTML == nil {
		m.Digest = have // what is shown stays
	} else if s.Digest() != have {
		m.HTML = string(s.HTML)
	}
	return m, nil
}
