// Package starter is the collection that `turnplate begin` writes: one vehicle, one study, one write-up and
// one lesson, to be replaced by the reader's own.
package starter

import "embed"

// FS holds its notebooks.
//
//go:embed *.md */*
var FS embed.FS
