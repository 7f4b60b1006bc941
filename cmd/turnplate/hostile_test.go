//go:build unix

package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
	"unicode"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What one hostile collection may take. Time is the processor's, since other tests run beside this one.
const (
	hostileTime   = 30 * time.Second
	hostileMemory = 400 // MiB, unless its file allows more
	hostileWait   = 3 * time.Minute
)

// secret lies beside every hostile collection, where none may reach it.
const secret = "nobody-may-read-this-2718"

// hostile is one file of testdata/hostile: a collection in txtar's form, with what is wanted of it above.
//
//	exit STATUS        of write; 0 unless given
//	fault TEXT         a line of the program's complaint, from its start; those given are all there are
//	memory MIB         what it may take
//	link NAME TARGET   a symbolic link that the test makes; {outside} in the target is the folder above
//
// The name of a file may be followed by the word escaped: then \x00, \u202e and \r stand for that byte or
// character in its name and text, and <<words * 1000>> for the words so many times.
type hostile struct {
	exit   int
	faults []string
	memory int
	links  [][2]string
	files  []txtar.File
}

var escapes = regexp.MustCompile(`\\x[0-9a-fA-F]{2}|\\u[0-9a-fA-F]{4}|\\r|\\n`)
var repeats = regexp.MustCompile(`(?s)<<(.*?) \* (\d+)>>`)

func unescape(text string) string {
	text = repeats.ReplaceAllStringFunc(text, func(s string) string {
		m := repeats.FindStringSubmatch(s)
		n, _ := strconv.Atoi(m[2])
		return strings.Repeat(m[1], n)
	})
	return escapes.ReplaceAllStringFunc(text, func(s string) string {
		out, err := strconv.Unquote(`"` + s + `"`)
		if err != nil {
			panic(err)
		}
		return out
	})
}

func readHostile(t *testing.T, name string) hostile {
	t.Helper()
	archive, err := txtar.ParseFile(name)
	require.NoError(t, err)
	h := hostile{memory: hostileMemory}
	for line := range strings.Lines(string(archive.Comment)) {
		line = strings.TrimSuffix(line, "\n")
		word, rest, _ := strings.Cut(line, " ")
		switch word {
		case "#", "":
		case "exit":
			h.exit, err = strconv.Atoi(rest)
		case "fault":
			h.faults = append(h.faults, rest)
		case "memory":
			h.memory, err = strconv.Atoi(rest)
		case "link":
			link, target, _ := strings.Cut(rest, " ")
			h.links = append(h.links, [2]string{link, target})
		default:
			t.Fatalf("%s: what is %q?", name, line)
		}
		require.NoError(t, err)
	}
	for _, f := range archive.Files {
		if bare, escaped := strings.CutSuffix(f.Name, " escaped"); escaped {
			f = txtar.File{Name: unescape(bare), Data: []byte(unescape(string(f.Data)))}
		}
		h.files = append(h.files, f)
	}
	require.NotEmpty(t, h.files, name)
	return h
}

// lay writes a hostile collection below a folder, beside a secret.
func (h *hostile) lay(t *testing.T, above string) {
	t.Helper()
	require.NoError(t, os.WriteFile(filepath.Join(above, "secret.md"), []byte("# "+secret), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(above, "secret.csv"), []byte("A\n"+secret+"\n"), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(above, "secret.png"), []byte("\x89PNG\r\n\x1a\n"+secret), 0o644))
	for _, f := range h.files {
		name := filepath.Join(above, "notes", filepath.FromSlash(f.Name))
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
		require.NoError(t, os.WriteFile(name, f.Data, 0o644))
	}
	for _, l := range h.links {
		require.NoError(t, os.Symlink(strings.ReplaceAll(l[1], "{outside}", above), filepath.Join(above, "notes", l[0])))
	}
}

// tool is the program as its users run it, which this test binary also is (see TestMain).
func tool(t *testing.T, folder string, args ...string) (stdout, stderr string, exit int, usage *syscall.Rusage) {
	t.Helper()
	name, err := exec.LookPath("turnplate")
	require.NoError(t, err)
	ctx, stop := context.WithTimeout(context.Background(), hostileWait)
	defer stop()
	// Should a bound on memory fail, the shell's keeps the machine alive. The runtime reserves more than it uses.
	cmd := exec.CommandContext(ctx, "sh", append([]string{"-c", `ulimit -v 4000000; exec "$0" "$@"`, name}, args...)...)
	cmd.Dir = folder
	var out, complaints bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaints
	err = cmd.Run()
	require.NoError(t, ctx.Err(), "it hangs")
	var status *exec.ExitError
	if !errors.As(err, &status) {
		require.NoError(t, err)
	}
	return out.String(), complaints.String(), cmd.ProcessState.ExitCode(), cmd.ProcessState.SysUsage().(*syscall.Rusage)
}

// TestHostile writes the site of each collection in testdata/hostile. It ends within bounds of time and memory,
// says what is wrong and where, or writes pages that do no harm; it reads nothing outside the collection and
// writes nothing outside its site.
func TestHostile(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes half a minute, and its bounds are not those of a program that looks for races")
	}
	names, err := filepath.Glob("../../testdata/hostile/*.txt")
	require.NoError(t, err)
	require.Greater(t, len(names), 10)
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txt"), func(t *testing.T) {
			h := readHostile(t, name)
			above := t.TempDir()
			h.lay(t, above)
			before := tree(t, above)

			stdout, stderr, exit, usage := tool(t, above, "write", "notes", "--to", "out")
			spent := time.Duration(usage.Utime.Nano() + usage.Stime.Nano())
			peak := int(usage.Maxrss >> 10) // KiB, but bytes where the system is Apple's
			if runtime.GOOS == "darwin" {
				peak >>= 10
			}
			t.Logf("%.2f s, %d MiB", spent.Seconds(), peak)
			if *update {
				h.exit, h.faults = exit, complaints(stderr)
				h.rewrite(t, name)
			}
			assert.Less(t, spent, hostileTime)
			assert.Less(t, peak, h.memory, "MiB")
			assert.Equal(t, h.exit, exit, "exit status; it says\n%s", stderr)
			checkComplaints(t, h.faults, stderr)
			for _, said := range []string{stdout, stderr} {
				assert.NotContains(t, said, secret)
				assert.NotContains(t, said, "Turnplate itself failed")
				assert.NotRegexp(t, `goroutine \d`, said)
				for _, r := range said {
					if unicode.IsControl(r) && r != '\n' && r != '\t' || unicode.Is(unicode.Bidi_Control, r) {
						t.Errorf("%q reaches the terminal", r)
						break
					}
				}
			}

			after := tree(t, above)
			site := map[string]string{}
			for file, data := range after {
				if in, ok := strings.CutPrefix(file, "out/"); ok {
					site[in] = data
					delete(after, file)
				}
			}
			assert.Equal(t, before, after, "only the site may be written")
			if len(h.faults) > 0 {
				assert.Empty(t, site, "nothing is written with a mistake")
			} else {
				assert.NotEmpty(t, site)
			}
			checkSite(t, site)

			asJSON, _, again, _ := tool(t, above, "verify", "notes", "--json")
			if exit < 2 {
				assert.Equal(t, exit, again)
				assert.True(t, json.Valid([]byte(asJSON)), "%.300s", asJSON)
			}
		})
	}
}

// tree gives every file below a folder, and where each link leads.
func tree(t *testing.T, folder string) map[string]string {
	t.Helper()
	files := map[string]string{}
	require.NoError(t, filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, _ := filepath.Rel(folder, name)
		if d.Type() == fs.ModeSymlink {
			to, err := os.Readlink(name)
			files[rel] = "-> " + to
			return err
		}
		data, err := os.ReadFile(name)
		files[rel] = string(data)
		return err
	}))
	return files
}

// complaint is the start of a line that says what is wrong and where.
var complaint = regexp.MustCompile(`^(notes/|turnplate: |and \d+ more)`)

func complaints(stderr string) (all []string) {
	for line := range strings.Lines(stderr) {
		if complaint.MatchString(line) {
			all = append(all, strings.TrimPrefix(strings.TrimSuffix(line, "\n"), "notes/"))
		}
	}
	return all
}

// rewrite puts what was found into the file; the difference is for a person to read.
func (h *hostile) rewrite(t *testing.T, name string) {
	t.Helper()
	archive, err := txtar.ParseFile(name)
	require.NoError(t, err)
	var head []string
	for line := range strings.Lines(string(archive.Comment)) {
		if !strings.HasPrefix(line, "exit ") && !strings.HasPrefix(line, "fault ") {
			head = append(head, line)
		}
	}
	if h.exit != 0 {
		head = append(head, fmt.Sprintln("exit", h.exit))
	}
	for _, f := range h.faults {
		head = append(head, fmt.Sprintln("fault", f))
	}
	archive.Comment = []byte(strings.Join(head, ""))
	require.NoError(t, os.WriteFile(name, txtar.Format(archive), 0o644))
}

// checkComplaints wants the complaints given, in their order, and no others.
func checkComplaints(t *testing.T, want []string, stderr string) {
	t.Helper()
	got := complaints(stderr)
	if !assert.Len(t, got, len(want), "complaints:\n%.3000s", stderr) {
		return
	}
	for i := range want {
		assert.True(t, strings.HasPrefix(got[i], want[i]), "%q doesn't start with %q", got[i], want[i])
	}
}

// What a page is made of. An element or attribute that isn't listed is not ours, or wants to be thought about.
var (
	elementsOfPages = strings.Fields(`html head meta title link script body header nav main article aside footer section div span p a
		h1 h2 h3 h4 h5 h6 ul ol li dl dt dd table thead tbody tr th td figure figcaption details summary blockquote pre code
		em strong b i sup br hr img time output
		svg g path circle text tspan rect desc
		math mrow mi mn mo mtext mspace mfrac msqrt mroot msub msup msubsup munder mover munderover mtable mtr mtd mstyle mpadded menclose`)
	attributesOfPages = strings.Fields(`lang charset content http-equiv name href rel type src defer id class title role tabindex alt width height
		loading datetime scope start download colspan
		viewBox preserveAspectRatio d x y cx cy r rx fill opacity stroke-width stroke-dasharray font-size text-anchor transform
		display alttext lspace rspace stretchy accent accentunder columnalign mathvariant form fence separator linethickness largeop movablelimits symmetric minsize maxsize voffset depth`)
	prefixesOfAttributes = []string{"aria-", "data-"}
)

const policy = "default-src 'none'; style-src 'self' file:; script-src 'self' file:; img-src 'self' file:; font-src 'self' file:; base-uri 'none'; form-action 'none'"

// checkSite finds what could do a reader harm.
func checkSite(t *testing.T, site map[string]string) {
	t.Helper()
	for name, data := range site {
		assert.NotContains(t, data, secret, name)
		switch ext := path.Ext(name); {
		case strings.HasPrefix(name, "turnplate/") && ext != ".html", name == ".turnplate":
		case ext == ".html":
			checkHTML(t, site, name, data)
		case ext == ".csv":
			checkCSV(t, name, data)
		case !slices.Contains([]string{".png", ".jpg", ".gif", ".webp", ".txt"}, ext):
			t.Errorf("a site has no file such as %q", name)
		}
	}
}

func checkHTML(t *testing.T, site map[string]string, name, data string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(strings.TrimPrefix(data, "<!doctype html>")))
	d.AutoClose, d.Entity, d.Strict = xml.HTMLAutoClose, xml.HTMLEntity, false
	depth, policies, inScript, scripts := 0, 0, false, 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if !assert.NoError(t, err, name) {
			return
		}
		switch token := token.(type) {
		case xml.StartElement:
			depth++
			element := token.Name.Local
			assert.Contains(t, elementsOfPages, element, "an element in %s", name)
			attributes := map[string]string{}
			for _, a := range token.Attr {
				key := a.Name.Local
				_, twice := attributes[key]
				assert.False(t, twice, "%s twice in %s of %s", key, element, name)
				attributes[key] = a.Value
				known := slices.Contains(attributesOfPages, key)
				for _, prefix := range prefixesOfAttributes {
					known = known || strings.HasPrefix(key, prefix)
				}
				assert.True(t, known, "attribute %s=%q of %s in %s", key, a.Value, element, name)
			}
			inScript = element == "script"
			switch element {
			case "script":
				scripts++
				if attributes["type"] != "application/json" {
					assert.Regexp(t, `^(\.\./)*turnplate/(page|dials)\.js$`, attributes["src"], name)
				}
			case "link":
				assert.Contains(t, []string{"icon", "stylesheet"}, attributes["rel"])
				assert.Regexp(t, `^(\.\./)*turnplate/[a-z]+\.(css|svg)$`, attributes["href"], name)
			case "img":
				checkPlace(t, site, name, attributes["src"])
			case "a":
				u, err := url.Parse(attributes["href"])
				if assert.NoError(t, err) && u.Scheme != "" {
					assert.Contains(t, []string{"http", "https", "mailto"}, u.Scheme, "%s in %s", attributes["href"], name)
					assert.Equal(t, "noopener", attributes["rel"])
				} else if err == nil {
					checkPlace(t, site, name, attributes["href"])
				}
			case "meta":
				if attributes["http-equiv"] != "" {
					policies++
					assert.Equal(t, "Content-Security-Policy", attributes["http-equiv"])
					assert.Equal(t, policy, attributes["content"])
				}
			}
		case xml.EndElement:
			depth--
			inScript = false
		case xml.CharData:
			text := strings.TrimSpace(string(token))
			if inScript && text != "" {
				assert.True(t, json.Valid([]byte(text)), "a script in %s holds more than data: %.100s", name, text)
			}
		case xml.Comment, xml.ProcInst, xml.Directive:
			t.Errorf("%T in %s", token, name)
		}
	}
	assert.Zero(t, depth, name)
	assert.Equal(t, 1, policies, name)
	// What a browser's reader counts mustn't differ from what this one does.
	assert.Equal(t, scripts, len(regexp.MustCompile(`(?i)<\s*script`).FindAllString(data, -1)), "scripts in %s", name)
	assert.NotRegexp(t, `(?i)<(style|iframe|object|embed|base|form|template|foreignObject|animate|set|use|image)\b`, data, name)
	assert.NotContains(t, data, "NaN", name)
	assert.NotRegexp(t, `[+-]Inf\b`, data, name)
	for _, r := range data {
		if r < ' ' && r != '\n' && r != '\t' && r != '\r' || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 {
			t.Errorf("%q in %s", r, name)
			break
		}
	}
}

// checkPlace wants a link to lead to a file of the site.
func checkPlace(t *testing.T, site map[string]string, from, href string) {
	t.Helper()
	u, err := url.Parse(href)
	if !assert.NoError(t, err) || !assert.Empty(t, u.Scheme+u.Host, "%s in %s", href, from) || u.Path == "" {
		return
	}
	assert.Contains(t, site, path.Join(path.Dir(from), u.Path), "%s in %s", href, from)
}

// checkCSV wants no cell that a spreadsheet would take for a formula. (Readings that a page links to are carried as
// they are; the corpus has none that would fail here.)
func checkCSV(t *testing.T, name, data string) {
	t.Helper()
	in := csv.NewReader(strings.NewReader(strings.TrimPrefix(data, "\ufeff")))
	in.FieldsPerRecord = -1
	rows, err := in.ReadAll()
	assert.NoError(t, err, name)
	number := regexp.MustCompile(`^-\d+(\.\d+)?(e[+-]?\d+)?$`)
	for _, row := range rows {
		for _, cell := range row {
			if cell != "" && strings.ContainsRune("=+@\t\r", rune(cell[0])) || strings.HasPrefix(cell, "-") && !number.MatchString(cell) && strings.ContainsAny(cell, "(+*/|!^&=") {
				t.Errorf("%s holds %q", name, cell)
			}
		}
	}
}

// The check itself must be able to fail.
func TestHostileBites(t *testing.T) {
	page := `<!doctype html><html><head><meta http-equiv="Content-Security-Policy" content="` + policy + `"></head><body>%s</body></html>`
	for text, bad := range map[string]bool{
		`<p class="x">y</p>`: false, `<a href="https://a.example" rel="noopener">y</a>`: false, `<script type="application/json" class="values">{"a":1}</script>`: false,
		`<p onclick="x">y</p>`: true, `<p style="x">y</p>`: true, `<script>alert(1)</script>`: true, `<style>x</style>`: true, `<a href="javascript:x">y</a>`: true,
		`<img src="https://a.example/x.png" alt="">`: true, `<iframe src="x"></iframe>`: true, `<script type="application/json">}</script>`: true, "\u202e": true,
		`<a href="../../x">y</a>`: true, `<meta http-equiv="refresh" content="0">`: true, `<p>NaN</p>`: true, `<!-- x -->`: true, `<img src="//a.example/x.png" alt="">`: true,
	} {
		var found testing.T
		ok := make(chan bool)
		go func() { // a failed check may end its goroutine
			defer func() { ok <- !found.Failed() }()
			checkSite(&found, map[string]string{"a.html": fmt.Sprintf(page, text)})
		}()
		assert.Equal(t, bad, !<-ok, text)
	}
}
