package main

import (
	"context"
	"os"

	"turnplate/site"
)

type preview struct {
	Folder string `arg:"" optional:"" help:"The collection's folder (the built-in demo if left out)."`
	Listen string `placeholder:"HOST:PORT" help:"Serve at this address instead of the loopback. Other machines may then see the pages."`
}

func (preview) Help() string {
	return `Save a notebook, and the open page has changed. A page whose notebook has a mistake stays as it was, under a notice that says what to mend. Nothing is written.

Example: turnplate preview notes`
}

func (p preview) Run(ctx context.Context) error {
	progress, done := bar()
	defer done()
	return site.Preview(ctx, p.Folder, p.Listen, site.Console{Out: os.Stdout, Errs: os.Stderr, Progress: progress, Done: done})
}
