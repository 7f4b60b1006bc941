package yours

import (
	"embed"
	"io/fs"
)

//go:embed assets
var embedded embed.FS

// Assets are the form's script and style. Pages load them when a reader asks for the form.
func Assets() fs.FS {
	sub, err := fs.Sub(embedded, "assets")
	if err != nil {
		panic("yours: " + err.Error()) // only a wrong constant above can cause it
	}
	return sub
}
