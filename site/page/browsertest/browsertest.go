// Package browsertest opens finished pages in a headless browser, for tests: does anything stick out, does
// text lie over text, does a page complain or ask for something outside its folder.
//
//	Start    one browser for a test; the test is skipped where there is none, unless CI says it must run
//	Open     one page, at a width, in a theme, with or without script
//	Look     the same page otherwise
//	Faults   what is wrong with the layout, measured in the browser
//	Barriers what an accessibility engine, fetched from the npm registry, finds in a reader's way
package browsertest

import (
	"cmp"
	"context"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"turnplate/site/page/npmtest"
)

// Browser is one running browser.
type Browser struct{ ctx context.Context }

// names are the programs that speak the browser's protocol, best first.
var names = []string{"chromium-headless-shell", "chromium", "chromium-browser", "headless-shell", "google-chrome"}

// How long the browser may take to start and to carry out one step. The first start on a busy machine reads the whole
// program from disk.
const startLimit, stepLimit = 2 * time.Minute, time.Minute

// Start runs a browser until the test ends.
func Start(t testing.TB) *Browser {
	t.Helper()
	installed := slices.IndexFunc(names, func(name string) bool {
		_, err := exec.LookPath(name)
		return err == nil
	})
	if installed < 0 {
		npmtest.Missing(t, "no browser found (tried %s)", strings.Join(names, ", "))
	}
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(names[installed]), chromedp.DisableGPU,
		// Pages are looked at one after the other, and to start a process for each takes as long as to show it.
		chromedp.Flag("renderer-process-limit", "1"),
	}
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox) // it refuses to start as root otherwise, as in a container
	}
	ctx, cancel := chromedp.NewContext(context.Background(), chromedp.WithAllocatorOptions(options...))
	t.Cleanup(cancel)
	// The browser lives as long as the context of its first command, so the limit can't be in that context.
	late := time.AfterFunc(startLimit, cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("the browser doesn't start: %v", err)
	}
	late.Stop()
	return &Browser{ctx}
}

// View is how a page is looked at.
type View struct {
	Width    int // in pixels; under 500 as on a telephone
	Dark     bool
	NoScript bool
	Media    string // "screen" unless given; or "print"
}

func (v View) String() string {
	s := fmt.Sprintf("%d px", v.Width)
	if v.Dark {
		s += ", dark"
	}
	if v.NoScript {
		s += ", without script"
	}
	if v.Media != "" {
		s += ", " + v.Media
	}
	return s
}

// Tab is one page on show.
type Tab struct {
	t   testing.TB
	ctx context.Context

	*record
}

// record is what a tab has been heard to do.
type record struct {
	lock       sync.Mutex
	complaints []string
	requests   []string
	view       *View // nil before the first look
}

// In gives the tab to a part of a test, whose failure it then is when the browser doesn't answer.
func (tab *Tab) In(t testing.TB) *Tab {
	part := *tab
	part.t = t
	return &part
}

// Open shows a file or an address.
func (b *Browser) Open(t testing.TB, place string, v View) *Tab {
	t.Helper()
	if !strings.Contains(place, "://") {
		full, err := filepath.Abs(place)
		if err != nil {
			t.Fatal(err)
		}
		place = (&url.URL{Scheme: "file", Path: filepath.ToSlash(full)}).String()
	}
	ctx, cancel := chromedp.NewContext(b.ctx)
	t.Cleanup(cancel)
	tab := &Tab{t, ctx, &record{}}
	tab.do(chromedp.Listen(ctx, tab.hear))
	tab.Look(v)
	tab.show(place)
	return tab
}

func (tab *Tab) show(place string) {
	tab.t.Helper()
	limited, stop := context.WithTimeout(tab.ctx, stepLimit)
	defer stop()
	tab.do(chromedp.Do(limited, chromedp.Navigate(place)))
	Eval[bool](tab, "document.fonts.ready.then(() => true)")
}

// Look shows the open page otherwise: at another width, in another theme, as it will be printed.
func (tab *Tab) Look(v View) {
	tab.t.Helper()
	was := tab.view
	tab.view = &v
	// The browser lays the page out anew for each of these, even if nothing changes.
	if was == nil || was.Width != v.Width {
		_, err := chromedp.Call(tab.ctx, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
			Width: int64(v.Width), Height: 900, DeviceScaleFactor: 1, Mobile: v.Width < 500})
		tab.do(err)
	}
	if was == nil || was.Dark != v.Dark || was.Media != v.Media {
		theme := "light"
		if v.Dark {
			theme = "dark"
		}
		_, err := chromedp.Call(tab.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Media: cmp.Or(v.Media, "screen"), Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: theme}}})
		tab.do(err)
	}
	if was == nil || was.NoScript != v.NoScript {
		_, err := chromedp.Call(tab.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: v.NoScript})
		tab.do(err)
	}
}

func (tab *Tab) do(err error) {
	tab.t.Helper()
	if err != nil {
		tab.t.Fatal(err)
	}
}

// hear keeps what the page complains of and asks for.
func (tab *Tab) hear(event any) {
	tab.lock.Lock()
	defer tab.lock.Unlock()
	switch e := event.(type) {
	case *log.EventEntryAdded:
		tab.complaints = append(tab.complaints, e.Entry.Text)
	case *runtime.EventExceptionThrown:
		tab.complaints = append(tab.complaints, e.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		tab.complaints = append(tab.complaints, fmt.Sprintf("console.%s", e.Type))
	case *network.EventRequestWillBeSent:
		tab.requests = append(tab.requests, e.Request.URL)
	}
}

// Complaints are errors, warnings and whatever else came to the console.
func (tab *Tab) Complaints() []string {
	tab.lock.Lock()
	defer tab.lock.Unlock()
	return slices.Clone(tab.complaints)
}

// Requests are the addresses that the page has asked for, its own included.
func (tab *Tab) Requests() []string {
	tab.lock.Lock()
	defer tab.lock.Unlock()
	return slices.Clone(tab.requests)
}

// Eval gives what an expression comes to in the page; a promise is waited for.
func Eval[T any](tab *Tab, expression string) T {
	tab.t.Helper()
	ctx, stop := context.WithTimeout(tab.ctx, stepLimit)
	defer stop()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		tab.t.Fatalf("%s: %v", expression, err)
	}
	return value
}

// Keys presses keys, by the characters of package kb, where the focus is.
func (tab *Tab) Keys(keys string) {
	tab.t.Helper()
	tab.do(chromedp.Do(tab.ctx, chromedp.KeyEvent(keys)))
}

// Reload opens the page anew, as a reader who comes back to it.
func (tab *Tab) Reload() {
	tab.t.Helper()
	place := Eval[string](tab, "location.href")
	tab.show(place)
}

// Screenshot is the whole page as PNG, to look at when a test fails.
func (tab *Tab) Screenshot() ([]byte, error) {
	const lossless = 100
	return chromedp.Run(tab.ctx, chromedp.FullScreenshot(lossless))
}

// Nothing is the result of an expression that is evaluated for its effect.
type Nothing = chromedp.Void
