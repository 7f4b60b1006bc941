package page

import (
	"embed"
	"io/fs"
)

//go:embed assets
var embedded embed.FS

// Exchange is the script that puts a newer version of a page in the place of the one on show. Only pages that have such
// versions load it, by the name ExchangeFile in AssetFolder.
//
//go:embed exchange/exchange.js
var Exchange []byte

// ExchangeFile is its name.
const ExchangeFile = "exchange.js"

// YoursFile is the script, among the Assets, of pages that a reader can put their own vehicle on.
const YoursFile = "yours.js"

// Assets holds the style sheet and the script, to be copied into AssetFolder.
func Assets() fs.FS {
	sub, _ := fs.Sub(embedded, "assets") // only a name that is no valid path makes it fail
	return sub
}
