// Package eval turns a notebook's parameter blocks into values and figures.
package eval

import (
	"turnplate/site/diag"
	"turnplate/site/figure"
)

// Page is everything a notebook's blocks came to.
type Page struct {
	Title, Summary figure.Text
	Blocks         []Block       // one for each of the notebook's Blocks
	Inserts        []figure.Text // one for each of the notebook's Inserts
	Notes          []string      // what the page must say by itself, such as fields kept by tyreSize
	Cautions       bool          // the page shows a sheet, a setting or a joint load
	Faults         diag.List
}

// Block is what one parameter block puts on the page.
type Block struct{ Figures []figure.Figure }
