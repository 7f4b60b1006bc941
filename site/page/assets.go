package page

import (
	"embed"
	"io/fs"
)

//go:embed assets
var embedded embed.FS

// Assets holds the style sheet and the script, to be copied into AssetFolder.
func Assets() fs.FS {
	sub, err := fs.Sub(embedded, "assets")
	if err != nil {
		panic("page: " + err.Error()) // only a wrong constant above can cause it
	}
	return sub
}
