package browsertest

import (
	"os"
	"testing"
)

// Sweeping tells whether every page is to be looked at in every way, which takes many minutes: .ci/run asks for it. Without,
// a few pages in a few ways show that pages work.
func Sweeping() bool { return os.Getenv("TURNPLATE_SWEEP") != "" }

// OnlySweeping skips a test that looks at everything.
func OnlySweeping(t testing.TB) {
	t.Helper()
	if !Sweeping() {
		t.Skip("looks at every page: set TURNPLATE_SWEEP=1, as .ci/run does")
	}
}
