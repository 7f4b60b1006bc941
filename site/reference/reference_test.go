package reference

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"turnplate/sim"
	"turnplate/site/notebook"
)

// Every model of the registry is explained, with a unit and a word for what needs one.
func TestEveryModelIsExplained(t *testing.T) {
	require.NotEmpty(t, Models())
	require.Len(t, Models(), len(sim.Models()))
	for _, e := range append(Models(), Parts()...) {
		assert.True(t, strings.HasPrefix(e.Synopsis, e.Name), "%s has a doc comment that starts with its name", e.Name)
		assert.NotEmpty(t, e.Takes, e.Name)
		if e.Model {
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
		e, ok := Find(name)
		require.True(t, ok)
		assert.Equal(t, name, e.Name)
	}
	_, ok := Find("Nothing")
	assert.False(t, ok)
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
	tyre, _ := Find("Tyre")
	assert.Equal(t, Field{Name: "LoadedRadius", Kind: "mm", US: "in", Default: "0.955 × Radius", Words: "wheel centre to ground, standing"}, find(t, tyre.Takes, "LoadedRadius"))
	assert.True(t, find(t, tyre.Takes, "Width").Must)
	corner, _ := Find("Corner")
	assert.Equal(t, "point in mm", find(t, corner.Takes, "UpperBall").Kind)
	assert.Equal(t, "direction", find(t, corner.Takes, "UpperStud").Kind)
	assert.Equal(t, "Adjusters", find(t, corner.Takes, "Adjust").Kind)
	assert.False(t, find(t, corner.Takes, "Adjust").Must, "a part stands with its own defaults")
	adjusters, _ := Find("Adjusters")
	assert.Equal(t, "mm per turn", find(t, adjusters.Takes, "TiePitch").Kind)
	park, _ := Find("ParkingEffort")
	assert.Equal(t, "the tyre", find(t, park.Takes, "Friction").Default)
	assert.Equal(t, "0°", find(t, park.Takes, "Angle").Default)
	assert.Equal(t, "N·m", find(t, park.Gives, "KingpinTorque.Scrub").Kind)
	find(t, park.Gives, "Right.…")
	alignment, _ := Find("Alignment")
	assert.Equal(t, "°", find(t, alignment.Gives, "Caster").Kind, "of a record inside the result")
}

// The text fits a plain terminal, except for formulas that the comments set off.
func TestText(t *testing.T) {
	var all bytes.Buffer
	List(&all)
	for _, e := range append(Models(), Parts()...) {
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

// Every page is Markdown in which each field stands as it is named, and nothing is taken for a number, an
// equation or HTML.
func TestPages(t *testing.T) {
	names, linked := map[string]bool{}, map[string]bool{}
	for _, p := range Pages() {
		assert.False(t, names[p.Name], p.Name)
		names[p.Name] = true
		nb := notebook.Read("models/"+p.Name, []byte(p.Text))
		assert.Empty(t, nb.Faults, p.Name)
		assert.Empty(t, nb.Inserts, p.Name)
		assert.Empty(t, nb.Blocks, p.Name)
		assert.NotContains(t, p.Text, "turnplate models", p.Name)
		for _, l := range nb.Links {
			to, ok := strings.CutSuffix(l.Dest, ".md")
			assert.True(t, ok, l.Dest)
			linked[to] = true
		}
		if e, ok := Find(p.Explain); ok {
			for _, f := range append(e.Takes, e.Gives...) {
				assert.True(t, strings.Contains(p.Text, "\n`"+f.Name+"` *"), "%s in %s", f.Name, p.Name)
			}
		} else {
			assert.Equal(t, "index", p.Name)
		}
	}
	for name := range linked {
		assert.True(t, names[name], "a page links to %s", name)
	}
	assert.Equal(t, Pages(), Pages())
	obstacle, _ := Find("Obstacle")
	assert.Contains(t, obstacle.markdown(), "\n`From` *point in mm (in)*\n:   one end, in the vehicle's axes. No default.\n")
	alignTo, _ := Find("AlignTo")
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
