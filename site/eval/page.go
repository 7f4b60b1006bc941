// Package eval turns a notebook's parameter blocks into values and figures.
//
//	Evaluator   one collection; pages may be asked for at the same time
//	Page        what one notebook came to: figures for each block, text for each number in prose, faults
//	scope       the names of one notebook while its blocks are run, in order
//
// The files follow an expression's way: scope and expr and literal (syntax to values), function and
// method (what can be called), model (which package model runs over every combination), figures and text
// (what the reader sees).
package eval

import (
	"turnplate/site/diag"
	"turnplate/site/figure"
	"turnplate/site/value"
)

// Page is everything a notebook's blocks came to.
type Page struct {
	Title, Summary figure.Text
	Blocks         []Block       // one for each of the notebook's Blocks
	Inserts        []figure.Text // one for each of the notebook's Inserts
	InsertStates   []*TextStates // one for each of the Inserts; nil where no dial moves it
	Dials          []Dial        // the sliders that move something on this page
	Notes          []string      // what the page must say by itself, such as fields kept by tyreSize
	Cautions       bool          // the page shows a sheet, a setting or a joint load
	Faults         diag.List
	Doubts         diag.List          // what can be but hardly ever is, in the vehicles that the page writes
	Suspects       []*figure.Suspects // corners with the points that Faults and Doubts are about
	Uses           []string           // other notebooks this page depends on, directly or not, in order
	Files          []string           // readings files it has read, in order
	Gaps           diag.List          // what has no value with a reader's own values, and stays out of the page
	Later          bool               // something was left out of it in a hurry: see Options
	Offered        *Offered           // the vehicle that readers may put their own in the place of; or nil
	Visited        bool               // a reader's own values stand in it or in one that it uses, or its dials stand still
}

// Offered is a vehicle whose fields readers may replace.
type Offered struct {
	Page *value.Record // as the notebook has it
	Now  *value.Record // with the reader's fields; nil where one of them is a mistake
}

// Block is what one parameter block puts on the page.
type Block struct {
	Figures []figure.Figure
	Lines   []int     // the file's line that each of the Figures starts on
	States  []*States // nil, or one for each of the Figures; nil where no dial moves it
}
