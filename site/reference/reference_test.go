package reference

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"turnplate/sim"
	"turnplate/sim/unit"
	"turnplate/site/notebook"
	"turnplate/site/vocabulary"
)

// Every model of the registry is explained, with a unit and a word for what needs one.
func TestEveryModelIsExplained(t *testing.T) {
	require.NotEmpty(t, Models())
	require.Len(t, Models(), len(sim.Models()))
	for _, e := range All() {
		assert.True(t, e.Kind == Topic || strings.HasPrefix(e.Synopsis, e.Name), "%s has a doc comment that starts with its name", e.Name)
		assert.True(t, e.Kind > Piece || len(e.Takes) > 0, e.Name)
		if e.Kind == Model {
			assert.NotEmpty(t, e.Gives, e.Name)
		}
		seen := map[string]bool{}
		for _, f := range append(e.Takes, e.Gives...) {
			assert.NotEmpty(t, f.Kind, "%s.%s", e.Name, f.Name)
			assert.NotEmpty(t, f.Words, "%s.%s", e.Name, f.Name)
		}
		for _, f := range e.Gives {
			assert.False(t, seen[f.Name], "%s gives %s twice", e.Name, f.Name)
			seen[f.Name] = true
		}
	}
}

func TestFind(t *testing.T) {
	for _, name := range Names() {
		found := Find(name)
		require.NotEmpty(t, found, name)
		assert.Equal(t, name, found[0].Name)
	}
	assert.Empty(t, Find("Nothing"))
	assert.Equal(t, "ParkingEffort", Find("parkingeffort")[0].Name, "in other capitals")
	assert.Len(t, Find("readings"), 2, "a function and a topic")
	assert.Len(t, Find("min"), 1)
}

func find(t *testing.T, list []Field, name string) Field {
	t.Helper()
	for _, f := range list {
		if f.Name == name {
			return f
		}
	}
	t.Fatalf("no field %s in %v", name, list)
	return Field{}
}

// What the tags and comments of package sim say arrives.
func TestFields(t *testing.T) {
	tyre := Find("Tyre")[0]
	assert.Equal(t, Field{Name: "LoadedRadius", Kind: "mm", US: "in", Default: "0.955 × Radius", Words: "wheel centre to ground, standing"}, find(t, tyre.Takes, "LoadedRadius"))
	assert.True(t, find(t, tyre.Takes, "Width").Must)
	corner := Find("Corner")[0]
	assert.Equal(t, "point in mm", find(t, corner.Takes, "UpperBall").Kind)
	assert.Equal(t, "direction", find(t, corner.Takes, "UpperStud").Kind)
	assert.Equal(t, "Adjusters", find(t, corner.Takes, "Adjust").Kind)
	assert.False(t, find(t, corner.Takes, "Adjust").Must, "a part stands with its own defaults")
	adjusters := Find("Adjusters")[0]
	assert.Equal(t, "mm per turn", find(t, adjusters.Takes, "TiePitch").Kind)
	park := Find("ParkingEffort")[0]
	assert.Equal(t, "the tyre", find(t, park.Takes, "Friction").Default)
	assert.Equal(t, "0°", find(t, park.Takes, "Angle").Default)
	assert.Equal(t, "N·m", find(t, park.Gives, "KingpinTorque.Scrub").Kind)
	find(t, park.Gives, "Right.…")
	alignment := Find("Alignment")[0]
	assert.Equal(t, "°", find(t, alignment.Gives, "Caster").Kind, "of a record inside the result")
}

// The text fits a plain terminal, except for formulas that the comments set off.
func TestText(t *testing.T) {
	var all bytes.Buffer
	List(&all)
	for _, e := range All() {
		var out bytes.Buffer
		e.Text(&out)
		for _, f := range e.Takes {
			assert.Contains(t, out.String(), "  "+f.Name+" ", e.Name)
		}
		all.Write(out.Bytes())
	}
	for _, line := range strings.Split(all.String(), "\n") {
		if !strings.HasPrefix(line, "\t") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), width+8, line)
		}
		assert.Equal(t, strings.TrimRight(line, " "), line)
	}
}

// Every page is Markdown in which each field stands as it is named, and nothing is taken for a number or
// HTML.
func TestPages(t *testing.T) {
	names, linked := map[string]bool{}, map[string]bool{}
	for _, p := range Pages() {
		assert.False(t, names[p.Name], p.Name)
		names[p.Name] = true
		nb := notebook.Read("reference/"+p.Name, []byte(p.Text))
		assert.Empty(t, nb.Faults, p.Name)
		assert.Empty(t, nb.Inserts, p.Name)
		assert.Empty(t, nb.Blocks, p.Name)
		assert.NotContains(t, p.Text, "turnplate tell", p.Name)
		for _, l := range nb.Links {
			if l.Picture {
				continue // a sketch of the glossary
			}
			to, ok := strings.CutSuffix(l.Dest, ".md")
			assert.True(t, ok, l.Dest)
			linked[to] = true
		}
		if found := Find(p.Explain); p.Explain != "" && len(found) > 0 {
			e := found[0]
			for _, f := range append(e.Takes, e.Gives...) {
				assert.True(t, strings.Contains(p.Text, "\n`"+f.Name+"` *"), "%s in %s", f.Name, p.Name)
			}
		} else {
			assert.Contains(t, append(slices.Clone(topics), "index", "functions", "units"), p.Name)
		}
	}
	for name := range linked {
		assert.True(t, names[name], "a page links to %s", name)
	}
	assert.Equal(t, Pages(), Pages())
	obstacle := Find("Obstacle")[0]
	assert.Contains(t, obstacle.markdown(), "\n`From` *point in mm (in)*\n:   one end, in the vehicle's axes. No default.\n")
	alignTo := Find("AlignTo")[0]
	assert.Contains(t, alignTo.markdown(), "\n`Caster` *° or [Sides](sides.md)*\n:   target; left out: as it is\n")
}

func TestPlain(t *testing.T) {
	const wild = "a*b_c `d` [e](f) <g> &amp; {h} $i$ | j # k ~l~ \\ m"
	nb := notebook.Read("a", []byte(plain(wild)))
	require.Empty(t, nb.Faults)
	para := nb.Root.FirstChild()
	assert.Equal(t, 1, nb.Root.ChildCount())
	words := ""
	for n := para.FirstChild(); n != nil; n = n.NextSibling() {
		text, ok := n.(*ast.Text)
		require.True(t, ok, "a %s", n.Kind())
		words += string(util.UnescapePunctuations(text.Segment.Value(nb.Source)))
	}
	assert.Equal(t, wild, words)
}

// Everything that the language is bound from is told, in the terminal and on a page.
func TestAllIsTold(t *testing.T) {
	var pages strings.Builder
	for _, p := range Pages() {
		pages.WriteString(p.Text)
	}
	for _, f := range slices.Concat(vocabulary.Functions, vocabulary.Methods) {
		assert.NotEmpty(t, Find(f.Name), f.Name)
		assert.Contains(t, pages.String(), "`"+f.Call+"`")
		assert.Contains(t, vocabulary.Groups, f.Group)
		assert.True(t, strings.HasSuffix(f.Words, "."), f.Name)
	}
	for _, name := range unit.Names() {
		assert.Contains(t, pages.String(), "\n| `"+name+"` |")
	}
	for _, e := range slices.Concat(vocabulary.Figures, vocabulary.Pieces) {
		require.Len(t, slices.DeleteFunc(Find(e.Name), func(found Entry) bool { return found.Kind == Function }), 1, e.Name)
		assert.True(t, strings.HasSuffix(e.Words, "."), e.Name)
		for _, f := range e.AllFields() {
			assert.NotEmpty(t, f.Words, e.Name+"."+f.Name)
			assert.NotEmpty(t, f.Kind, e.Name+"."+f.Name)
		}
	}
	assert.Equal(t, "9.80665 m/s²", size(must(unit.Lookup("gravity"))))
	assert.Equal(t, "0.0254 m", size(must(unit.Lookup("inch"))))
	assert.Equal(t, "6894.75729 Pa", size(must(unit.Lookup("psi"))), "NIST SP 811, appendix B.8: 6.894757 E+03")
	assert.Equal(t, "a unit of the SI itself", size(must(unit.Lookup("kg"))))
	for _, kind := range []string{"models", "figures", "functions", "units"} {
		var out strings.Builder
		assert.True(t, Describe(&out, kind))
		assert.Greater(t, strings.Count(out.String(), "\n"), 8, kind)
	}
}

func must(u unit.Unit, ok bool) unit.Unit {
	if !ok {
		panic("no such unit")
	}
	return u
}
