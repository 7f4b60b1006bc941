package browsertest

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"turnplate/site/page/npmtest"
)

// engine is the accessibility engine, axe-core, at the version whose rules the pages are held to.
const engine, engineVersion, engineFile = "axe-core", "4.14.1", "axe.min.js"

// Engine reads the accessibility engine; the test is skipped where it can't be had, unless CI says it must.
func Engine(t testing.TB) string {
	t.Helper()
	code, err := os.ReadFile(npmtest.File(t, engine, engineVersion, engineFile))
	if err != nil {
		t.Fatal(err)
	}
	return string(code)
}

// Barriers are the page's violations of WCAG 2.1, levels A and AA, as it stands: each with what the engine
// says of it. They are looked for below a selector, or in the whole page for "".
func (tab *Tab) Barriers(engine, below string) []string {
	tab.t.Helper()
	if !Eval[bool](tab, `typeof axe === "object"`) {
		Eval[Nothing](tab, engine)
	}
	where, _ := json.Marshal(below)
	return Eval[[]string](tab, strings.Replace(barriers, "BELOW", string(where), 1))
}

// What the engine would load by itself, a page from a folder may not ask for.
const barriers = `axe.run(BELOW || document, { preload: false,
  runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"], resultTypes: ["violations"],
}).then((result) => result.violations.flatMap((v) => v.nodes.map((n) =>
  v.id + ": " + n.target.join(" ") + ": " + n.failureSummary.replace(/\s+/g, " "))))`
