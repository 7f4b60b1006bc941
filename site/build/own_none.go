//go:build js

package build

// In a browser those pages are beside the one on show already; what it says of them is in the bundle.
var own = func() *ownPages { return &ownPages{} }
