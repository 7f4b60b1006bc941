package glossary

import (
	"encoding/xml"
	"errors"
	"io"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTerms(t *testing.T) {
	ids, words := map[string]bool{}, map[string]string{}
	var names []string
	for _, term := range Terms() {
		names = append(names, strings.ToLower(term.Name))
		assert.Regexp(t, "^[a-z][a-z0-9-]*$", term.ID())
		assert.False(t, ids[term.ID()], term.Name)
		ids[term.ID()] = true
		for _, text := range []string{term.Plain, term.Standard} {
			assert.Regexp(t, `\S\.$`, text, term.Name)
		}
		assert.Regexp(t, `from memory|trade|7\.1\.\d`, term.Where, term.Name)
		assert.Less(t, len(term.Brief()), 190, "the brief of %s has to fit where it is shown", term.Name)
		for _, see := range term.See {
			assert.NotNil(t, named(see), "%s sees %s", term.Name, see)
		}
		// Each way to write a term is found as that term, and as no other.
		for _, w := range strings.Split(term.words, ",") {
			w = strings.TrimSpace(w)
			if bare, other := strings.CutPrefix(w, "!"); other {
				assert.Empty(t, In("We met "+bare+"."), bare)
				continue
			}
			assert.Empty(t, words[w], "%q belongs to %s and %s", w, words[w], term.Name)
			words[w] = term.Name
			found := In("The " + w + ".")
			if assert.Len(t, found, 1, w) {
				assert.Same(t, term, found[0].Term, w)
				assert.Equal(t, w, ("The " + w + ".")[found[0].Start:found[0].End])
			}
		}
	}
	assert.True(t, slices.IsSorted(names), "the terms are in the order of the alphabet")
}

// found lists what In finds as "text=Term".
func found(text string) (list []string) {
	for _, m := range In(text) {
		list = append(list, text[m.Start:m.End]+"="+m.Term.Name)
	}
	return list
}

func TestIn(t *testing.T) {
	for text, want := range map[string][]string{
		"Steering-axis inclination and the steering axis": {"Steering-axis inclination=Steering-axis inclination", "steering axis=Steering axis"},
		"the scrub\nradius, the scrub \t radius":          {"scrub\nradius=Scrub radius", "scrub \t radius=Scrub radius"},
		"CASTER's, (caster) caster’s":                     {"CASTER=Caster", "caster=Caster", "caster=Caster"},
		"casters and sandcaster, caster2, cross-caster":   {"cross-caster=Cross-caster"},
		"anti-caster caster-like a_caster caster_b":       nil,
		"caster - and caster-":                            {"caster=Caster", "caster=Caster"},
		"toes; toe-in, TOE-OUT":                           {"toe-in=Toe", "TOE-OUT=Toe"},
		"on the trail, the trail, trails":                 {"trail=Trail"},
		"Turnplate and a turnplate; Turnplates":           {"turnplate=Turnplate", "Turnplates=Turnplate"},
		"the rim’s offset":                                {"rim’s offset=Rim offset"},
		"scrub, radius; scrub":                            nil,
		"the upper":                                       nil,
		"":                                                nil,
		"\xff\xfecaster\xff":                              {"caster=Caster"},
		"écaster castér caster":                           {"caster=Caster"},
		"upper arm":                                       {"upper arm=Arm"},
		"wheel rate of a coil; motion ratios":             {"wheel rate=Motion ratio", "motion ratios=Motion ratio"},
	} {
		assert.Equal(t, want, found(text), text)
	}
}

func FuzzIn(f *testing.F) {
	f.Add("the steering\u00a0axis-inclination, on the trail")
	f.Add("caster\xff camber")
	f.Fuzz(func(t *testing.T, text string) {
		last := 0
		for _, m := range In(text) {
			if m.Start < last || m.End <= m.Start || m.End > len(text) {
				t.Fatalf("%d to %d after %d in %q", m.Start, m.End, last, text)
			}
			last = m.End
			if again := In(text[m.Start:m.End]); len(again) != 1 || again[0].Term != m.Term {
				t.Fatalf("%q alone is not %s", text[m.Start:m.End], m.Term.Name)
			}
		}
	})
}

// Each term has its sketch and each sketch its term. Sketches are well-formed, say in words what they show, use only
// looks that the style sheet knows, and stay on their canvas; the demo's browser test measures their texts.
func TestSketches(t *testing.T) {
	css, err := os.ReadFile("../page/assets/page.css")
	require.NoError(t, err)
	files, err := sketches.ReadDir("sketches")
	require.NoError(t, err)
	assert.Len(t, files, len(Terms()))
	seen := map[string]string{}
	for _, term := range Terms() {
		svg := term.Sketch()
		root := marks(t, svg, "svg")[0]
		assert.Regexp(t, `\.$`, root["aria-label"], term.Name)
		assert.Equal(t, "0 0 280 200", root["viewBox"], term.Name)
		assert.Empty(t, seen[svg], term.Name)
		seen[svg] = term.Name
		for _, m := range marks(t, svg) {
			for _, name := range strings.Fields(m["class"]) {
				known := regexp.MustCompile(`\.` + regexp.QuoteMeta(name) + `\b`).Match(css)
				assert.True(t, known || name == "sketch", "the class %s in %s has no looks", name, term.Name)
			}
			for _, own := range []string{"style", "fill", "stroke"} {
				assert.NotContains(t, m, own, "%s: looks come from the style sheet", term.Name)
			}
		}
		for _, m := range regexp.MustCompile(`[ML](-?[\d.]+) (-?[\d.]+)`).FindAllStringSubmatch(svg, -1) {
			for i, most := range []float64{280, 200} {
				v := parse(t, m[i+1])
				assert.True(t, v >= -1 && v <= most+1, "%s reaches %v", term.Name, m)
			}
		}
	}
}

// The sketched corners obey the signs that the entries state.
func TestSketchSigns(t *testing.T) {
	balls := marks(t, named("Caster").Sketch(), "circle", "ball") // the front is at the left; the upper one comes first
	assert.Less(t, parse(t, balls[0]["cy"]), parse(t, balls[1]["cy"]))
	assert.Greater(t, parse(t, balls[0]["cx"]), parse(t, balls[1]["cx"]), "caster: the axis leans back")
	ahead := func(term string) float64 { // the contact's middle less where the axis meets the ground
		svg := named(term).Sketch()
		return parse(t, marks(t, svg, "circle", "contact")[0]["cx"]) - parse(t, marks(t, svg, "circle", "meet")[0]["cx"])
	}
	assert.Positive(t, ahead("Trail"), "trail: the axis meets the ground ahead of the contact")
	balls = marks(t, named("Steering-axis inclination").Sketch(), "circle", "ball") // inboard is at the left
	assert.Less(t, parse(t, balls[0]["cy"]), parse(t, balls[1]["cy"]))
	assert.Less(t, parse(t, balls[0]["cx"]), parse(t, balls[1]["cx"]), "inclination: the axis leans inward")
	assert.Positive(t, ahead("Scrub radius"), "scrub radius: the contact is outboard")
	lean := regexp.MustCompile(`M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)`).FindStringSubmatch(marks(t, named("Camber").Sketch(), "path", "steer")[0]["d"])
	assert.Less(t, parse(t, lean[4]), parse(t, lean[2]), "from the ground up")
	assert.Greater(t, parse(t, lean[3]), parse(t, lean[1]), "camber: the top leans outward")
}

// marks are the attributes of a sketch's elements, of all or of those with a name and a class.
func marks(t *testing.T, svg string, only ...string) (list []map[string]string) {
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		attributes := map[string]string{}
		for _, a := range start.Attr {
			attributes[a.Name.Local] = a.Value
		}
		if len(only) == 0 || start.Name.Local == only[0] && (len(only) == 1 || attributes["class"] == only[1]) {
			list = append(list, attributes)
		}
	}
	require.NotEmpty(t, list, "%v in %s", only, svg)
	return list
}

func TestBody(t *testing.T) {
	html := string(Body())
	assert.Equal(t, html, string(Body()))
	for _, term := range Terms() {
		assert.Equal(t, 1, strings.Count(html, `<h2 id="`+term.ID()+`">`), term.Name)
	}
	for _, m := range regexp.MustCompile(`href="#([^"]*)"`).FindAllStringSubmatch(html, -1) {
		assert.Contains(t, html, `id="`+m[1]+`"`)
	}
	assert.Less(t, len(html), 90_000)
}

func parse(t *testing.T, s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}
