// Turnplate turns Markdown notebooks with calculated numbers into a static site of explained plots about
// front-suspension choices.
package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"strings"
	"syscall"
	"time"

	"github.com/alecthomas/kong"
	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"turnplate/site"
)

// Exit statuses.
const (
	good  = 0
	bad   = 1 // notebooks have mistakes, or a claim fails, or the work could not be done
	wrong = 2 // wrong usage
)

// memory is what the garbage collector tries to stay below. It works harder for it only where a notebook takes nearly
// as much as it may.
const memory = 480 << 20

// patience is how long the work may take to stop by itself once it is asked to.
const patience = 800 * time.Millisecond

func main() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(memory)
	}
	os.Exit(run(os.Args[1:]))
}

// untilInterrupted gives a context that an interrupt ends. Work that hasn't stopped by itself soon after is cut off.
func untilInterrupted(cutOff func()) (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancel(context.Background())
	signals := make(chan os.Signal, 2)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	go func() {
		<-signals
		cancel()
		select {
		case <-signals: // who asks twice doesn't want to wait
		case <-time.After(patience):
		}
		cutOff()
	}()
	return ctx, cancel
}

// commands is the command line; kong reads it from the tags.
type commands struct {
	Write   write            `cmd:"" help:"Evaluate a collection and write its site."`
	Verify  verify           `cmd:"" help:"Evaluate a collection and print every mistake and every claim."`
	Preview preview          `cmd:"" help:"Show a collection's site in a browser, and keep it in step with the notebooks."`
	Begin   begin            `cmd:"" help:"Make a starter collection: one vehicle, one study, one write-up, one lesson."`
	Tell    tell             `cmd:"" help:"Tell what a notebook can say: models, vehicle parts, figures, functions, units."`
	Version kong.VersionFlag `help:"Print the version."`
}

const about = `Turnplate turns Markdown notebooks with calculated numbers into a static site of explained plots about front-suspension choices.

A collection is a folder of notebooks. Without one, the built-in demo is used:

  turnplate write                 write the demo's site to the folder out
  turnplate begin notes           start your own collection in the folder notes
  turnplate preview notes         see its pages change as you save
  turnplate write notes           write its site to the folder out
  turnplate verify notes          only check it
  turnplate tell ParkingEffort    what one model takes and gives; tell alone lists all that a notebook can say

Exit status: 0 good, 1 notebooks have mistakes or claims that fail, 2 wrong usage.`

func run(args []string) int {
	var c commands
	parser := kong.Must(&c, kong.Name("turnplate"), kong.Description(about), kong.UsageOnError(), kong.Vars{"version": "turnplate " + site.Version}, kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}))
	if len(args) == 0 {
		args = []string{"--help"}
	}
	command, err := parser.Parse(args)
	if err != nil {
		fmt.Fprintf(os.Stderr, "turnplate: %s\nturnplate --help tells how it is used.\n", err)
		return wrong
	}
	ctx, cancel := untilInterrupted(func() {
		if command.Selected().Name == "preview" { // an interrupt is how a preview ends, and it writes nothing
			os.Exit(good)
		}
		// A site is swapped in whole, so at any instant it is the earlier one or the new one.
		fmt.Fprintln(os.Stderr, "turnplate: stopped in the middle of the work; an earlier site is as it was, or replaced as a whole")
		os.Exit(bad)
	})
	defer cancel()
	command.BindTo(ctx, (*context.Context)(nil))
	err = command.Run()
	var misuse site.Misuse
	switch {
	case err == nil:
		return good
	case errors.Is(err, errBad):
		return bad
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(os.Stderr, "turnplate: stopped; nothing was changed")
		return bad
	}
	fmt.Fprintln(os.Stderr, "turnplate:", err)
	if errors.As(err, &misuse) {
		return wrong
	}
	return bad
}

type write struct {
	Folder string `arg:"" optional:"" help:"The collection's folder, or one notebook's file (the built-in demo if left out)."`
	To     string `default:"out" help:"The folder to write the site to."`
}

func (write) Help() string {
	return `The folder is replaced as a whole, and only if every notebook is free of mistakes: until then, and whatever goes wrong, it stays as it was. A folder that Turnplate did not write is never touched.

Example: turnplate write notes --to pages`
}

func (w write) Run(ctx context.Context) error {
	progress, done := bar()
	o, err := site.Write(ctx, w.Folder, w.To, progress)
	done()
	if err != nil {
		return err
	}
	o.PrintFaults(os.Stderr)
	o.PrintDoubts(os.Stderr)
	o.PrintFailing(os.Stderr)
	fmt.Println(o.Summary())
	if o.Written {
		fmt.Printf("%s (%d files, %d unchanged, %d removed)\n", filepath.Join(w.To, "index.html"), o.Files.Files, o.Files.Unchanged, o.Files.Removed)
		if kept := o.Files.Kept; len(kept) > 0 {
			fmt.Fprintf(os.Stderr, "Meanwhile files that are not the site's came into %s, and are kept there: %s\n", w.To, strings.Join(kept, ", "))
		}
	} else {
		fmt.Fprintf(os.Stderr, "No site was written; %s is as it was.\n", w.To)
	}
	return judge(o)
}

type verify struct {
	Folder string `arg:"" optional:"" help:"The collection's folder, or one notebook's file (the built-in demo if left out)."`
	JSON   bool   `help:"Print one JSON document for programs instead."`
}

func (verify) Help() string {
	return `Mistakes go to standard error as file:line:col: message, claims to standard output. Nothing is written.

Example: turnplate verify notes --json`
}

func (v verify) Run(ctx context.Context) error {
	progress, done := bar()
	o, err := site.Verify(ctx, v.Folder, progress)
	done()
	if err != nil {
		return err
	}
	if v.JSON {
		err = o.WriteJSON(os.Stdout)
	} else {
		o.PrintFaults(os.Stderr)
		o.PrintDoubts(os.Stderr)
		o.PrintClaims(os.Stdout)
		_, err = fmt.Println(o.Summary())
	}
	return cmp.Or(err, judge(o))
}

// errBad ends the program with the status of notebooks that can't be relied on. What is wrong with them was printed.
var errBad = errors.New("notebooks have mistakes, or claims that fail")

func judge(o *site.Outcome) error {
	if !o.Good() {
		return errBad
	}
	return nil
}

type begin struct {
	Folder string `arg:"" help:"A new or empty folder."`
}

func (begin) Help() string {
	return `Put your own vehicle's numbers into vehicles/truck.md, then write the site.

Example: turnplate begin notes`
}

func (b begin) Run() error {
	files, err := site.Begin(b.Folder)
	if err != nil {
		return err
	}
	for _, f := range files {
		fmt.Println(filepath.Join(b.Folder, f))
	}
	fmt.Fprintf(os.Stderr, "Put your own numbers into %s, then: turnplate write %s\n", filepath.Join(b.Folder, "vehicles", "truck.md"), b.Folder)
	return nil
}

type tell struct {
	Name string `arg:"" optional:"" help:"A model, a part of a vehicle, a figure, a function, a unit, or a topic such as readings; all of them if left out."`
}

func (tell) Help() string { return `Example: turnplate tell ParkingEffort` }

func (t tell) Run() error { return site.Tell(os.Stdout, t.Name) }

// bar shows progress on a terminal, and nothing anywhere else.
func bar() (site.Progress, func()) {
	if !term.IsTerminal(int(os.Stderr.Fd())) {
		return nil, func() {}
	}
	b := progressbar.NewOptions(-1, progressbar.OptionSetWriter(os.Stderr), progressbar.OptionClearOnFinish(),
		progressbar.OptionThrottle(100*time.Millisecond), progressbar.OptionSetPredictTime(false), progressbar.OptionSetDescription("Working"))
	show := func(done, total int) {
		if b.GetMax() != total {
			b.ChangeMax(total)
		}
		b.Set(done)
	}
	return show, func() { b.Finish() }
}
