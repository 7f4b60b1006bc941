// Command make compiles package browser for WebAssembly and puts it, compressed, where package carried embeds it, with the
// script by which the same toolchain starts its programs.
package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"flag"
	"fmt"
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

// methodless has the program compiled with a text/template that finds no methods, and gives the file that says so to the go
// command. A template may ask for a method of any name, so with the usual one the linker keeps every method of every type,
// a fifth of the program. Our templates read fields and call functions.
func methodless(root, folder string) (overlay string, err error) {
	const file, method = "exec.go", "ptr.MethodByName(fieldName)"
	original := filepath.Join(root, "src", "text", "template", file)
	source, err := os.ReadFile(original)
	if err != nil {
		return "", err
	}
	if n := bytes.Count(source, []byte(method)); n != 1 {
		return "", fmt.Errorf("%s of this toolchain has %s in %d places instead of one", original, method, n)
	}
	changed := filepath.Join(folder, file)
	if err := os.WriteFile(changed, bytes.Replace(source, []byte(method), []byte("(reflect.Value{})"), 1), 0o644); err != nil {
		return "", err
	}
	list, err := json.Marshal(map[string]map[string]string{"Replace": {original: changed}})
	if err != nil {
		return "", err
	}
	overlay = filepath.Join(folder, "overlay.json")
	return overlay, os.WriteFile(overlay, list, 0o644)
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
	where := exec.Command("go", "env", "GOROOT")
	where.Env = environ
	out, err := where.Output()
	if err != nil {
		return err
	}
	root := strings.TrimSpace(string(out))
	overlay, err := methodless(root, folder)
	if err != nil {
		return err
	}
	// Nothing of the machine's own settings, nor of where the sources lie, may show in the bytes.
	build := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-overlay="+overlay, "-o", plain, "turnplate/site/engine/browser")
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
