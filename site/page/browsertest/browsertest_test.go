package browsertest

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

const bad = `<!doctype html><meta name="viewport" content="width=device-width"><title>bad</title><body style="margin:0"><div style="width:900px">wide</div>
<figure id="f"><svg class="drawing" width="200" height="100" viewBox="0 0 200 100">
<text x="10" y="50">one</text><text x="14" y="52">two</text><text x="180" y="20">sticks out</text></svg></figure>
<figure id="g" style="margin-top:-3em"><svg class="drawing" width="200" height="100" viewBox="0 0 200 100"></svg></figure>
<p style="margin:0">above</p><p style="margin:-1.2em 0 2em">below</p>
<div class="prose" style="width:60px">Donaudampfschifffahrtsgesellschaft</div>
<div style="height:1em; overflow:auto; line-height:1">seen<br>scrolled away</div><p style="margin:0">under it</p>
<script>console.error("hear me")</script>`

func TestFaultsAreFound(t *testing.T) {
	name := filepath.Join(t.TempDir(), "bad.html")
	assert.NoError(t, os.WriteFile(name, []byte(bad), 0o644))
	tab := Start(t).Open(t, name, View{Width: 360})
	faults := strings.Join(tab.Faults(), "\n")
	for _, want := range []string{
		"the page is 900 px wide in 360 px: DIV.", `"one" lies over "two"`, "f (drawing) lies over g (drawing)", `"sticks out" reaches outside`,
		`"below" lies over "above"`, `"Donaudampfschifffahrtsgesellschaft" reaches out of its DIV.prose`,
	} {
		assert.Contains(t, faults, want)
	}
	assert.NotContains(t, faults, "under it", "what is scrolled away lies over nothing")
	assert.NotEmpty(t, tab.Complaints())
	assert.Len(t, tab.Requests(), 1)
}

const barred = `<!doctype html><html lang="en"><title>barred</title><main><h1>Barred</h1>
<p style="color:#999; background:#fff">hard to read</p><button></button><p>easy to read</p></main></html>`

func TestBarriersAreFound(t *testing.T) {
	engine := Engine(t)
	name := filepath.Join(t.TempDir(), "barred.html")
	assert.NoError(t, os.WriteFile(name, []byte(barred), 0o644))
	tab := Start(t).Open(t, name, View{Width: 1280})
	barriers := strings.Join(tab.Barriers(engine, ""), "\n")
	assert.Contains(t, barriers, "color-contrast: p:nth-child(2)")
	assert.Contains(t, barriers, "button-name: button")
	assert.NotContains(t, barriers, "p:nth-child(4)")
	assert.Empty(t, tab.Barriers(engine, "h1"))
}
