//go:build js

package collection

// Whether names are one on some file system is found out where a site is written, which isn't in a browser.
const noFolding = "collection: names aren't compared in a browser"

func Fold(string) string               { panic(noFolding) }
func Difference(string, string) string { panic(noFolding) }
