package glossary

import (
	"bytes"
	_ "embed"
	"html/template"
	"sync"
)

//go:embed body.html
var bodyText string

// body is parsed where the page is made, which isn't in a browser.
var body = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("glossary").Funcs(template.FuncMap{
		"sketch": func(t *Term) template.HTML { return template.HTML(t.Sketch()) }, // drawn by ourselves
		"see":    named,
	}).Parse(bodyText))
})

// named is the term of a name.
func named(name string) *Term {
	for _, t := range Terms() {
		if t.Name == name {
			return t
		}
	}
	return nil
}

// Body is the glossary's page, without the title.
func Body() template.HTML {
	var out bytes.Buffer
	if err := body().Execute(&out, Terms()); err != nil {
		panic("glossary: " + err.Error()) // the terms are constants, and a test executes them all
	}
	return template.HTML(out.String())
}
