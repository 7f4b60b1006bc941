//go:build !js

// Command browser is the program that a page runs for its reader's own vehicle, compiled for WebAssembly. Elsewhere it
// takes a site's bundle as a file, and answers the same requests, one a line, from standard input.
package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"os"

	"turnplate/site/engine"
)

const longest = 1 << 20 // bytes of a request

func main() {
	if err := answer(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func answer(args []string) error {
	if len(args) != 1 {
		return errors.New("give the file of a site's bundle")
	}
	bundle, err := os.ReadFile(args[0])
	if err != nil {
		return err
	}
	var e engine.Engine
	if err := e.Open(bundle); err != nil {
		return err
	}
	lines := bufio.NewScanner(os.Stdin)
	lines.Buffer(nil, longest)
	out := json.NewEncoder(os.Stdout)
	for lines.Scan() {
		if err := out.Encode(e.Answer(lines.Bytes())); err != nil {
			return err
		}
	}
	return lines.Err()
}
