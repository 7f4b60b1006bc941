// Command make compiles package browser for WebAssembly and puts it, compressed, where package carried embeds it, with the
// script by which the same toolchain starts its programs.
package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

func main() {
	to := flag.String("to", "parts", "the folder to write to")
	flag.Parse()
	if err := write(*to); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// toolchain is the one that go.mod names. Its bytes are checked in; another's program does the same.
func toolchain() (string, error) {
	out, err := exec.Command("go", "mod", "edit", "-json").Output()
	if err != nil {
		return "", err
	}
	var mod struct{ Toolchain string }
	err = json.Unmarshal(out, &mod)
	return mod.Toolchain, err
}

// overlay is what the go command is to read instead of some files: theirs by their place.
type overlay map[string]string

// change replaces texts in a file, each of which has to be there once. The file may be to stand at another place, too.
func (o overlay) change(folder, original, place string, replace ...string) error {
	source, err := os.ReadFile(original)
	if err != nil {
		return err
	}
	for i := 0; i < len(replace); i += 2 {
		if n := bytes.Count(source, []byte(replace[i])); n != 1 {
			return fmt.Errorf("%s has %q in %d places instead of one", original, replace[i], n)
		}
		source = bytes.Replace(source, []byte(replace[i]), []byte(replace[i+1]), 1)
	}
	o[place] = filepath.Join(folder, filepath.Base(original))
	return os.WriteFile(o[place], source, 0o644)
}

// methodless has the program compiled with a text/template that finds no methods. A template may ask for a method of any
// name, so with the usual one the linker keeps every method of every type, a fifth of the program. Our templates read fields
// and call functions.
func (o overlay) methodless(folder, root string) error {
	file := filepath.Join(root, "src", "text", "template", "exec.go")
	return o.change(folder, file, file, "ptr.MethodByName(fieldName)", "(reflect.Value{})")
}

// latex is what gonum's canvas sets formulas with.
const latex = "codeberg.org/go-latex/latex"

// fontless has the program compiled without the fonts of that library, which are parsed whenever it starts: a sixteenth of
// what a reader fetches, who has it set no formula. The go command reads the libraries that it keeps as they are, so this one
// stands in for itself at a place below our module.
func (o overlay) fontless(folder, mod, library string) error {
	const place, file, last = "site/engine/make/latex", "font/ttf/ttf.go", "mustParseTTF(gobolditalic.TTF),\n}"
	here := filepath.Join(filepath.Dir(mod), place)
	err := filepath.WalkDir(library, func(path string, entry fs.DirEntry, err error) error {
		if below, inside := strings.CutPrefix(path, library); inside && err == nil && !entry.IsDir() {
			o[here+below] = path
		}
		return err
	})
	if err != nil {
		return err
	}
	err = o.change(folder, filepath.Join(library, file), filepath.Join(here, file),
		"var defaultFonts = Fonts{", "var defaultFonts Fonts\n\nfunc _() Fonts { return Fonts{", last, last+"}")
	if err != nil {
		return err
	}
	return o.change(folder, mod, mod, "module turnplate\n", "module turnplate\n\nreplace "+latex+" => ./"+place+"\n")
}

// slimmed writes an overlay that leaves out what the program has no use for. told is what the go command answers.
func slimmed(folder, root string, told func(...string) (string, error)) (file string, err error) {
	mod, err := told("env", "GOMOD")
	if err != nil {
		return "", err
	}
	library, err := told("list", "-f", "{{.Module.Dir}}", latex)
	if err != nil {
		return "", err
	}
	instead := overlay{}
	if err := errors.Join(instead.methodless(folder, root), instead.fontless(folder, mod, library)); err != nil {
		return "", err
	}
	list, err := json.Marshal(map[string]overlay{"Replace": instead})
	if err != nil {
		return "", err
	}
	file = filepath.Join(folder, "overlay.json")
	return file, os.WriteFile(file, list, 0o644)
}

// busy are the packages in which a program spends most of its time once it has started.
var busy = []string{
	"bytes", "gonum.org/v1/gonum/...", "internal/runtime/...", "internal/strconv", "math/...", "reflect", "runtime", "slices", "sort", "strconv", "strings",
	"turnplate/sim/...", "turnplate/site/model", "turnplate/site/value", "unicode/utf8",
}

// inlining has small functions written into their callers in the busy packages alone. Elsewhere they would only make the
// program longer, and a browser compiles all that runs, once at least: without them the first page takes an eighth less time.
func inlining() []string {
	flags := []string{"-gcflags=all=-l"}
	for _, p := range busy {
		flags = append(flags, "-gcflags="+p+"=")
	}
	return flags
}

func write(to string) error {
	folder, err := os.MkdirTemp("", "turnplate-program")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	plain := filepath.Join(folder, "program.wasm")
	toolchain, err := toolchain()
	if err != nil {
		return err
	}
	environ := append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOWASM=", "GOFLAGS=", "GOEXPERIMENT=", "CGO_ENABLED=0", "GOTOOLCHAIN="+toolchain)
	told := func(arguments ...string) (string, error) {
		ask := exec.Command("go", arguments...)
		ask.Env = environ
		out, err := ask.Output()
		return strings.TrimSpace(string(out)), err
	}
	root, err := told("env", "GOROOT")
	if err != nil {
		return err
	}
	overlay, err := slimmed(folder, root, told)
	if err != nil {
		return err
	}
	// Nothing of the machine's own settings, nor of where the sources lie, may show in the bytes.
	arguments := []string{"build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-overlay=" + overlay, "-o", plain}
	arguments = append(append(arguments, inlining()...), "turnplate/site/engine/browser")
	build := exec.Command("go", arguments...)
	build.Env = environ
	if out, err := build.CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, out)
	}
	data, err := os.ReadFile(plain)
	if err != nil {
		return err
	}
	var packed bytes.Buffer
	z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := z.Write(data); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(to, "program.bin"), packed.Bytes(), 0o644); err != nil {
		return err
	}
	runtime, err := os.ReadFile(filepath.Join(root, "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(to, "wasm_exec.js"), runtime, 0o644)
}
