package browsertest

import _ "embed"

// Faults measures the page as it stands. Nothing may make it scroll sideways; no text may reach out of the
// box it belongs to or lie over another text, in the page as in each of its drawings.
func (tab *Tab) Faults() []string {
	tab.t.Helper()
	return Eval[[]string](tab, faults)
}

//go:embed faults.js
var faults string
