package page

import "testing"
import "os"

func TestLook(t *testing.T) {
	if d := os.Getenv("LOOK"); d != "" {
		writeSite(t, d)
	}
}
