//go:build !js

// Command browser is the program that a page runs for its reader's own vehicle, compiled for WebAssembly. Elsewhere it
// answers the same requests, one a line, from standard input.
package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"

	"turnplate/site/engine"
)

const longest = 64 << 20 // bytes of a request: a site's notebooks in base64

func main() {
	var e engine.Engine
	lines := bufio.NewScanner(os.Stdin)
	lines.Buffer(nil, longest)
	out := json.NewEncoder(os.Stdout)
	for lines.Scan() {
		_ = out.Encode(e.Answer(lines.Bytes()))
	}
	if err := lines.Err(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
