//go:build !js

package collection

import (
	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// Fold gives names one form if some file system takes them for the same: without capitals, and with marks parted
// from their letters (caseless matching of canonical forms, The Unicode Standard, section 3.13, D145).
func Fold(name string) string {
	return norm.NFD.String(cases.Fold().String(norm.NFD.String(name)))
}

// Difference says in what two names differ that Fold makes one.
func Difference(a, b string) string {
	if norm.NFC.String(a) == norm.NFC.String(b) {
		return "in how its accents are written"
	}
	return "in capitals"
}
