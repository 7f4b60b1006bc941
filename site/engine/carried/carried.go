// Package carried is the program of package browser as a site carries it. It is compiled by one command and checked in:
//
//	go generate ./site/engine/carried
//
// The same sources and the toolchain that go.mod names give the same bytes.
package carried

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"encoding/base64"
	"fmt"
)

//go:generate go run turnplate/site/engine/make

//go:embed parts/program.bin
var program []byte

//go:embed parts/wasm_exec.js
var runtime []byte // Go's own, which starts its programs; with its notice

//go:embed parts/engine.js
var script []byte

// Offer gives Files; it is nil where the program hasn't been made.
func Offer() func(notebooks []byte) map[string][]byte {
	if len(program) == 0 {
		return nil
	}
	return Files
}

// Files are what pages load when a reader asks for it, by name in the site's own folder. notebooks is a site's bundle.
func Files(notebooks []byte) map[string][]byte {
	var engine bytes.Buffer
	engine.Write(script)
	engine.WriteString("\n// What starts a program written in Go.\nfunction turnplateRuntime() {\n")
	engine.Write(runtime)
	engine.WriteString("}\n")
	return map[string][]byte{
		"engine.js":    engine.Bytes(),
		"program.bin":  program,
		"program.js":   asText("program", program),
		"notebooks.js": asText("notebooks", packed(notebooks)),
	}
}

// packed compresses for a browser, which unpacks it by itself in a fraction of the time that a program of its own takes.
func packed(data []byte) []byte {
	var out bytes.Buffer
	z, _ := gzip.NewWriterLevel(&out, gzip.BestCompression) // there is that level, and a buffer takes all
	_, _ = z.Write(data)
	_ = z.Close()
	return out.Bytes()
}

// asText makes bytes a script, which a page from a file may load where it may load nothing else.
func asText(name string, data []byte) []byte {
	const width = 120
	text := base64.StdEncoding.EncodeToString(data)
	var out bytes.Buffer
	out.Grow(len(text) + len(text)/width + 100)
	fmt.Fprintf(&out, "turnplateCarried.%s = `\n", name)
	for len(text) > width {
		out.WriteString(text[:width])
		out.WriteByte('\n')
		text = text[width:]
	}
	out.WriteString(text)
	out.WriteString("`;\n")
	return out.Bytes()
}
