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
	// Nothing of the machine's own settings, nor of where the sources lie, may show in the bytes.
	build := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-o", plain, "turnplate/site/engine/browser")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOWASM=", "GOFLAGS=", "GOEXPERIMENT=", "CGO_ENABLED=0", "GOTOOLCHAIN="+toolchain)
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
	where := exec.Command("go", "env", "GOROOT")
	where.Env = build.Env
	root, err := where.Output()
	if err != nil {
		return err
	}
	runtime, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(to, "wasm_exec.js"), runtime, 0o644)
}
