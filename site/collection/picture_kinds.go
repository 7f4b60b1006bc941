//go:build !js

package collection

// The kinds of picture that a page may carry. In a browser none is read: see Carry.
import (
	_ "image/gif"
	_ "image/jpeg"
	_ "image/png"

	_ "golang.org/x/image/webp"
)
