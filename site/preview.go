package site

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"
	"sync/atomic"
	"time"

	"turnplate/notebooks"
	"turnplate/site/preview"
)

// Console is where a preview tells what happens.
type Console struct {
	Out, Errs io.Writer
	Progress  Progress // of evaluating everything at the start
	Done      func()   // called when that progress is over
}

// Preview serves a collection's site until the context ends, and keeps it in step with the notebooks; folder
// "" means the demo, which can't change. Address "" means the loopback. What happens goes to the console,
// mistakes to its Errs, a line each.
func Preview(ctx context.Context, folder, address string, console Console) error {
	p := printer{folder: folder, Console: console}
	options := preview.Options{
		Folder: folder, Listen: address, Version: Version,
		Started: p.started, Report: p.report, Progress: p.progress,
	}
	if folder == "" {
		options.Files, options.Name, options.Note = notebooks.FS, demoName, demoNote
	} else if full, err := filepath.Abs(folder); err == nil {
		options.Name = filepath.Base(full)
	}
	err := preview.Run(ctx, options)
	if errors.Is(err, fs.ErrNotExist) {
		return Misuse{fmt.Errorf("there is no folder %s", folder)}
	}
	if err != nil {
		return Misuse{err}
	}
	return nil
}

// printer tells on a console what a preview does.
type printer struct {
	folder string
	Console
	last   string      // the mistakes last printed
	doubts string      // the doubts last printed
	ready  atomic.Bool // everything was evaluated once
}

func (p *printer) progress(done, total int) {
	if p.Progress != nil && !p.ready.Load() {
		p.Progress(done, total)
	}
}

func (p *printer) started(s preview.Start) {
	if s.Taken {
		fmt.Fprintf(p.Out, "The usual port, %d, is taken, perhaps by another preview. This one has its own.\n", preview.DefaultPort)
	}
	fmt.Fprintf(p.Out, "%s shows %s. Control-C stops it.\n", s.URL, p.name())
	if p.folder == "" {
		fmt.Fprintln(p.Out, "The built-in demo can't be changed. For a collection of your own: turnplate begin notes, then turnplate preview notes.")
	}
	if s.Beyond {
		fmt.Fprintln(p.Errs, "Warning: whoever can reach this machine over the network can read these pages.")
	}
	if s.Unheard != nil {
		fmt.Fprintf(p.Errs, "The system doesn't tell of every change (%s), so changes may show half a second late.\n", s.Unheard)
	}
}

func (p *printer) name() string {
	if p.folder == "" {
		return "the built-in demo"
	}
	return p.folder
}

// report prints the mistakes and failing claims when they are others than before, then what was built.
func (p *printer) report(r preview.Report) {
	if !p.ready.Swap(true) && p.Done != nil {
		p.Done()
	}
	o := Outcome{Folder: p.folder, Faults: r.Faults, Doubts: r.Doubts, Claims: r.Claims}
	var lines strings.Builder
	o.print(&lines, o.Faults, "", false)
	o.PrintFailing(&lines)
	now := lines.String()
	if now != p.last {
		io.WriteString(p.Errs, now)
	}
	var doubts strings.Builder
	if o.PrintDoubts(&doubts); doubts.String() != p.doubts {
		p.doubts = doubts.String()
		io.WriteString(p.Errs, p.doubts)
	}
	var said []string
	if len(r.Changed) > 0 {
		said = append(said, p.files(r.Changed))
	}
	switch {
	case now == "" && p.last != "":
		said = append(said, "no mistakes any more")
	case now != "" && now == p.last:
		said = append(said, "mistakes as before")
	}
	p.last = now
	if len(said) > 0 {
		fmt.Fprintf(p.Out, "%s (%d ms)\n", visible(strings.Join(said, ": ")), r.Took.Round(time.Millisecond).Milliseconds())
	}
}

// files names what was saved, the first few by name.
func (p *printer) files(names []string) string {
	const most = 3
	var shown []string
	for i, name := range names {
		if i == most {
			return strings.Join(shown, ", ") + fmt.Sprintf(" and %d more", len(names)-most)
		}
		shown = append(shown, filepath.Join(p.folder, filepath.FromSlash(name)))
	}
	return strings.Join(shown, ", ")
}
