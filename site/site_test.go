package site

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/build"
	"turnplate/site/diag"
)

// look reads a folder: every file's bytes, by slash-separated name.
func look(t testing.TB, folder string) map[string]string {
	t.Helper()
	files := map[string]string{}
	require.NoError(t, filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		rel, _ := filepath.Rel(folder, name)
		files[filepath.ToSlash(rel)] = string(data)
		return err
	}))
	return files
}

// makeFolder writes a collection of files given as name, content, name, content.
func makeFolder(t testing.TB, pairs ...string) string {
	t.Helper()
	folder := t.TempDir()
	for i := 0; i < len(pairs); i += 2 {
		name := filepath.Join(folder, filepath.FromSlash(pairs[i]))
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
		require.NoError(t, os.WriteFile(name, []byte(pairs[i+1]), 0o644))
	}
	return folder
}

// Wherever the work is stopped, the earlier site is still there, and nothing is left beside it.
func TestStopped(t *testing.T) {
	const study = "# Study\n\n```go params\nx := span(1, 2, 5)\nCurves{Title: \"Squares\", X: x, Y: x*x}\n```\n"
	folder := makeFolder(t, "index.md", "# Notes", "a.md", study, "b.md", study)
	to := filepath.Join(t.TempDir(), "out")
	_, err := Write(context.Background(), folder, to, nil)
	require.NoError(t, err)
	before := look(t, to)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "new.md"), []byte("# New"), 0o644))
	stopped := 0
	for at := int64(1); ; at++ {
		ctx, cancel := context.WithCancel(context.Background())
		var seen atomic.Int64
		o, err := Write(ctx, folder, to, func(int, int) {
			if seen.Add(1) == at {
				cancel()
			}
		})
		cancel()
		if err == nil {
			assert.True(t, o.Written)
			assert.Contains(t, look(t, to), "new.html")
			break
		}
		stopped++
		require.ErrorIs(t, err, context.Canceled)
		require.True(t, maps.Equal(before, look(t, to)))
		entries, err := os.ReadDir(filepath.Dir(to))
		require.NoError(t, err)
		require.Len(t, entries, 1)
	}
	assert.Greater(t, stopped, 6)
}

func TestProgressReachesTotal(t *testing.T) {
	var most atomic.Int64
	var total atomic.Int64
	o, err := Write(context.Background(), makeFolder(t, "index.md", "# Notes", "a.md", "# A"), filepath.Join(t.TempDir(), "out"), func(done, of int) {
		total.Store(int64(of))
		for now := most.Load(); int64(done) > now && !most.CompareAndSwap(now, int64(done)); now = most.Load() {
		}
	})
	require.NoError(t, err)
	require.True(t, o.Good())
	assert.Equal(t, total.Load(), most.Load())
}

// A folder without an index page gets one that lists what is in it.
func TestSectionsWithoutIndex(t *testing.T) {
	folder := makeFolder(t, "spring-rates/soft.md", "# Soft springs", "spring-rates/hard.md", "---\ntitle: Hard springs\nsummary: For carrying.\n---\n")
	to := filepath.Join(t.TempDir(), "out")
	o, err := Write(context.Background(), folder, to, nil)
	require.NoError(t, err)
	require.Empty(t, o.Faults)
	files := look(t, to)
	require.Contains(t, files, "index.html")
	section := files["spring-rates/index.html"]
	assert.Contains(t, section, "Spring rates")
	assert.Contains(t, section, "soft.html")
	assert.Contains(t, section, "For carrying.")
	assert.Contains(t, files["index.html"], "spring-rates/hard.html")
}

// Pictures and readings that a page shows or links to are carried along; nothing else is.
func TestCarries(t *testing.T) {
	png := "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06\x00\x00\x00\x1f\x15\xc4\x89"
	folder := makeFolder(t, "a.md", "![one](pictures/one.png) [data](data.csv)", "pictures/one.png", png, "pictures/two.png", png, "data.csv", "a,b\n1,2\n", "private.txt", "x", "notes.docx", "x")
	to := filepath.Join(t.TempDir(), "out")
	o, err := Write(context.Background(), folder, to, nil)
	require.NoError(t, err)
	require.Empty(t, o.Faults)
	files := look(t, to)
	assert.Equal(t, png, files["pictures/one.png"])
	assert.Contains(t, files, "data.csv")
	for _, name := range []string{"pictures/two.png", "private.txt", "notes.docx", "a.md"} {
		assert.NotContains(t, files, name)
	}
}

// Nothing of a hostile notebook becomes markup, and no page of it asks another host for anything.
func TestHostileText(t *testing.T) {
	const attack = `</title></script><script>alert(1)</script><img src=x onerror=alert(2)>"><svg onload=alert(3)>'`
	yaml := strings.ReplaceAll(attack, "'", "''")
	block := "```go params\nx := span(0*mm, 1*mm, 5)\nname := Choices{`" + attack + "`: 1*mm, \"b\": 2*mm}\n" +
		"Curves{Title: `" + attack + "`, Caption: `" + attack + "`, Alt: `" + attack + "`, X: x, Y: x*name/mm, By: name}\n" +
		"Table{Title: `" + attack + "`, Rows: name, Columns: []Column{{`" + attack + "`, name}}}\n" +
		"Claim{`" + attack + "`, 1*mm < 2*mm}\n" +
		"Exercise{Ask: `" + attack + "`, Answer: 1*mm, Working: `" + attack + "`}\n```\n"
	folder := makeFolder(t, "index.md", "---\ntitle: '"+yaml+"'\nsummary: '"+yaml+"'\nauthor: '"+yaml+"'\n---\n\n# "+attack+"\n\n"+attack+"\n\n"+
		"[x](https://example.org/\"onmouseover=alert(4)) `"+attack+"` $"+attack+"$\n\n| "+attack+" |\n|---|\n| "+attack+" |\n\n```"+attack+"\n"+attack+"\n```\n\n```equation\n"+attack+"\n```\n\n"+block)
	to := filepath.Join(t.TempDir(), "out")
	o, err := Write(context.Background(), folder, to, nil)
	require.NoError(t, err)
	var faults bytes.Buffer
	o.PrintFaults(&faults)
	require.Empty(t, o.Faults, faults.String())
	page := look(t, to)["index.html"]
	require.Contains(t, page, "alert(1)", "the attack's text is shown")
	for _, data := range regexp.MustCompile(`(?s)<script type="application/json"[^>]*>(.*?)</script>`).FindAllStringSubmatch(page, -1) {
		assert.True(t, json.Valid([]byte(data[1])), "data for the script ends where it should: %s", data[1])
	}
	tags := regexp.MustCompile(`<[a-zA-Z][^>]*>`)
	for _, tag := range tags.FindAllString(page, -1) {
		bare := regexp.MustCompile(`"[^"]*"`).ReplaceAllString(tag, `""`)
		assert.NotRegexp(t, `(?i)\son[a-z]+\s*=`, bare, tag)
		if strings.HasPrefix(tag, "<script") && !strings.Contains(tag, `type="application/json"`) {
			assert.Regexp(t, `src="turnplate/`, tag)
		}
		assert.NotRegexp(t, `(?i)<(img|iframe|object|embed|link|source)\b[^>]*(src|href)="(https?:)?//`, tag)
	}
}

// Text from a notebook can't act on a terminal.
func TestVisible(t *testing.T) {
	o := &Outcome{Folder: "notes", Faults: diag.List{{File: "a.md", Pos: diag.Pos{Line: 1, Col: 3}, Message: "x\x1b]0;pwned\x07", Line: "a\t\u202eb"}},
		Claims: []build.Claim{{File: "a.md", Line: 2, Says: "c\x1b[2J", Detail: "d\r"}}, Drafts: []string{"e\x07.md"}}
	var out bytes.Buffer
	o.PrintFaults(&out)
	o.PrintFailing(&out)
	o.PrintClaims(&out)
	fmt.Fprintln(&out, o.Summary())
	for _, r := range out.String() {
		assert.False(t, r < ' ' && r != '\n' && r != '\t' || r == 0x202e, "%q", r)
	}
	assert.Contains(t, out.String(), filepath.Join("notes", "a.md")+":1:3: x")
}

func TestManyFaults(t *testing.T) {
	o := &Outcome{}
	for range maxShown + 7 {
		o.Faults = append(o.Faults, diag.Diagnostic{File: "a.md", Message: "m"})
	}
	var out bytes.Buffer
	o.PrintFaults(&out)
	assert.Equal(t, maxShown+1, strings.Count(out.String(), "\n"))
	assert.Contains(t, out.String(), "and 7 more")
}

func TestJSONHasNoNull(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, (&Outcome{}).WriteJSON(&out))
	assert.NotContains(t, out.String(), "null")
	assert.True(t, json.Valid(out.Bytes()))
}

func TestMisuse(t *testing.T) {
	var misuse Misuse
	_, err := Verify(context.Background(), filepath.Join(t.TempDir(), "none"), nil)
	assert.True(t, errors.As(err, &misuse))
	_, err = Write(context.Background(), "", "/", nil)
	assert.True(t, errors.As(err, &misuse))
}

// The newcomer's way, with no more than the README and the starter: begin, print the card, fill its file in, put it in
// the starter's place, mend what verify tells, and write a first study. So many commands in all.
func TestNewcomersWay(t *testing.T) {
	const most = 10
	ctx, home := context.Background(), t.TempDir()
	folder, out := filepath.Join(home, "notes"), filepath.Join(home, "site")
	commands := 1 // go build
	faults := func(o *Outcome, err error) string {
		t.Helper()
		commands++
		require.NoError(t, err)
		var text bytes.Buffer
		o.PrintFaults(&text)
		return text.String()
	}
	_, err := Begin(folder)
	commands++
	require.NoError(t, err)
	require.Empty(t, faults(Write(ctx, folder, out, nil)))

	// The card's file, measured on a truck that differs from the starter's; the right corner is left out, as the card
	// allows, and one reading is forgotten at first.
	card, err := os.ReadFile(filepath.Join(out, "vehicles", "card-figure-1.csv"))
	require.NoError(t, err)
	rows, err := csv.NewReader(bytes.NewReader(card)).ReadAll()
	require.NoError(t, err)
	filled := rows[:1]
	for _, r := range rows[1:] {
		if strings.HasPrefix(r[1], "Right.") {
			continue
		}
		r[3] = strconv.FormatFloat(math.Round(1e3*taped(r[0], r[1], r[2])), 'f', -1, 64)
		filled = append(filled, r)
	}
	points := filepath.Join(folder, "vehicles", "points.csv")
	save := func() {
		var text bytes.Buffer
		require.NoError(t, csv.NewWriter(&text).WriteAll(filled))
		require.NoError(t, os.WriteFile(points, text.Bytes(), 0o644))
	}
	forgotten := filled[7][3]
	filled[7][3] = ""
	save()
	commands++ // cp
	o, err := Verify(ctx, folder, nil)
	said := faults(o, err)
	assert.Contains(t, said, "vehicles/points.csv:8:")
	assert.Contains(t, said, "the first in vehicles/points.csv on line 8", "where others meet it")
	for _, c := range o.Claims {
		assert.True(t, c.Holds, "%s: a claim about points that are not there", c.Says)
	}
	filled[7][3] = forgotten
	save()

	require.NoError(t, os.WriteFile(filepath.Join(folder, "studies", "spacers.md"), []byte(readmeNotebook(t)), 0o644))
	require.Empty(t, faults(Write(ctx, folder, out, nil)))
	assert.Less(t, commands, most)
	truck, err := os.ReadFile(filepath.Join(out, "vehicles", "truck.html"))
	require.NoError(t, err)
	assert.Contains(t, string(truck), "Nothing: no reading is further off than chance explains.")
	assert.FileExists(t, filepath.Join(out, "studies", "spacers.html"))
}

// taped is what a tape, a rule or a square would read on a truck of the test's own.
func taped(kind, from, to string) float64 {
	at := map[string][3]float64{
		"UpperFront": {0.112, 0.428, 0.641}, "UpperRear": {-0.128, 0.433, 0.612}, "UpperBall": {-0.022, 0.668, 0.651},
		"LowerFront": {0.198, 0.322, 0.271}, "LowerRear": {-0.204, 0.326, 0.266}, "LowerBall": {0.008, 0.738, 0.252},
		"TieInner": {0.139, 0.357, 0.309}, "TieOuter": {0.148, 0.709, 0.297}, "WheelCentre": {0, 0.801, 0.392}, "Right.WheelCentre": {0, -0.801, 0.392},
	}
	a, b := at[from], at[to]
	switch kind {
	case "along":
		return a[0]
	case "across":
		return a[1]
	case "height":
		return a[2]
	case "floor":
		return math.Hypot(a[0]-b[0], a[1]-b[1])
	}
	return math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2])
}

// readmeNotebook is the README's first notebook.
func readmeNotebook(t *testing.T) string {
	t.Helper()
	readme, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(readme), "````markdown\n")
	require.True(t, found)
	text, _, found := strings.Cut(rest, "````\n")
	require.True(t, found)
	return text
}

// The README's first notebook does what the README says, in the starter collection.
func TestReadmeNotebook(t *testing.T) {
	text := readmeNotebook(t)
	folder := filepath.Join(t.TempDir(), "notes")
	_, err := Begin(folder)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "studies", "spacers.md"), []byte(text), 0o644))
	o, err := Verify(context.Background(), folder, nil)
	require.NoError(t, err)
	var faults bytes.Buffer
	o.PrintFaults(&faults)
	assert.True(t, o.Good(), faults.String())
	assert.Len(t, o.Claims, 5)
}

// README's file of options, and the block that reads it, work in the starter collection.
func TestReadmeOptions(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join("..", "README.md"))
	require.NoError(t, err)
	_, text, found := strings.Cut(string(readme), "\n- **Options**")
	require.True(t, found)
	var parts []string // what is indented, part by part
	for _, part := range strings.Split(text, "\n\n")[:4] {
		if strings.HasPrefix(part, "      ") {
			parts = append(parts, strings.ReplaceAll(part[6:], "\n      ", "\n")+"\n")
		}
	}
	require.Len(t, parts, 2)
	folder := filepath.Join(t.TempDir(), "notes")
	_, err = Begin(folder)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "arms.csv"), []byte(parts[0]), 0o644))
	page := "# Arms\n\n```go params\ntruck := use(\"vehicles/truck\").truck\n" + parts[1] + "```\n"
	require.NoError(t, os.WriteFile(filepath.Join(folder, "studies", "arms.md"), []byte(page), 0o644))
	o, err := Verify(context.Background(), filepath.Join(folder, "studies", "arms.md"), nil)
	require.NoError(t, err)
	assert.Empty(t, o.Faults)
	assert.Len(t, o.Notebooks, 1)
}
