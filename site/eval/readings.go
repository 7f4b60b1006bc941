package eval

import (
	"bytes"
	"encoding/csv"
	"errors"
	"go/ast"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"

	"turnplate/site/diag"
	"turnplate/site/notebook"
	"turnplate/site/value"
)

// Bounds of a readings file: its rows, and its cells, of which each row has as many as the header, however short it
// is written.
const (
	MaxReadings = 100_000
	MaxCells    = 1_000_000
)

// readings evaluates readings("file.csv"): a reader's own measurements, one row a measurement. A header
// `Total toe (deg)` becomes the field TotalToe; a column without a unit is text or a plain number; the
// first text column labels the rows; a blank is absent. The path is from the collection's root or, when
// nothing is there, from the notebook's own folder.
func readings(s *scope, e *ast.CallExpr, args []value.Value) value.Value {
	name, ok := textOf(args[0])
	if !ok {
		return s.fault(e.Args[0], "", "a file's name in quotes was expected here")
	}
	file := path.Clean(name)
	if path.IsAbs(file) || strings.HasPrefix(file, "..") || strings.Contains(name, "\\") {
		return s.fault(e.Args[0], "", "%q is outside the collection", name)
	}
	file, data, err := readingsFile(s.ev.source, s.nb, file)
	s.files[file] = true
	if err != nil {
		return s.fault(e.Args[0], "", "%s can't be read: %s", name, err)
	}
	axis := s.naming.axis(value.Span, 0)
	r, faults := parseReadings(file, data, axis)
	if len(faults) > 0 {
		s.page.Faults = append(s.page.Faults, faults...)
		return value.Broken{}
	}
	return r
}

// readingsFile finds a file of readings from the collection's root or, when nothing is there, beside the notebook.
func readingsFile(source Source, nb *notebook.Notebook, name string) (file string, data []byte, err error) {
	if data, err = source.File(name); err == nil {
		return name, data, nil
	}
	beside := path.Join(path.Dir(nb.Path), name)
	if data, err := source.File(beside); err == nil {
		return beside, data, nil
	}
	return name, nil, err
}

// headEnd is where a heading's words end and its unit may begin.
func headEnd(heading string) int {
	if at := strings.IndexAny(heading, "(["); at >= 0 {
		return at
	}
	return len(heading)
}

// parseReadings turns CSV text (RFC 4180, or parted by semicolons or tabs) into a record of columns over one axis.
func parseReadings(file string, data []byte, axis *value.Axis) (*value.Record, diag.List) {
	fault := func(line, col int, hint, format string, args ...any) diag.List {
		return diag.List{faultAt(file, data, line, col, hint, format, args...)}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if at, why, hint := notebook.NotText(data); why != "" {
		return nil, fault(bytes.Count(data[:at], []byte("\n"))+1, at-bytes.LastIndexByte(data[:at], '\n'), hint, "%s", why)
	}
	reader := csv.NewReader(bytes.NewReader(data))
	reader.Comma = separator(data)
	reader.TrimLeadingSpace = reader.Comma != '\t' // or it would take blank cells away
	reader.FieldsPerRecord = -1
	if n := bytes.Count(data, []byte(",")); n > MaxCells {
		return nil, fault(1, 1, "split the file", "this file has more than %d cells", MaxCells)
	}
	rows, places, err := rowsOf(reader)
	var parse *csv.ParseError
	switch {
	case errors.As(err, &parse): // a row may come with it, but not all of the row
		hint := ""
		if errors.Is(parse.Err, csv.ErrBareQuote) {
			hint = "write in for inches and ″ for seconds of arc"
		}
		return nil, fault(parse.Line, parse.Column, hint, "%s", parse.Err)
	case len(rows) > MaxReadings+1:
		return nil, fault(places[MaxReadings+1][0].Line, 1, "", "more than %d rows", MaxReadings)
	}
	if len(rows) < 2 {
		return nil, fault(1, 1, "", "readings need a header line and at least one row below it")
	}
	head, headAt, rows, places := rows[0], places[0], rows[1:], places[1:]
	if len(head) > MaxCells/len(rows) {
		return nil, fault(1, 1, "split the file", "%d columns of %d rows are more than %d cells", len(head), len(rows), MaxCells)
	}
	if i := slices.IndexFunc(rows, func(row []string) bool { return len(row) > len(head) }); i >= 0 {
		p := places[i][len(head)]
		return nil, fault(p.Line, p.Col, "a decimal comma needs quotes or a point, or semicolons between the columns", "this row has %d values under %d headings", len(rows[i]), len(head))
	}
	axis.Length = len(rows)
	axis.Name = "row"
	out := &value.Record{Type: "readings " + file, Fields: map[string]value.Value{}, Table: &value.Table{File: file, Source: data}}
	cells := newCellReader(reader.Comma, rows)
	for c, heading := range head {
		at := headAt[c]
		name, u, err := headingOf(heading)
		if err != nil {
			return nil, fault(at.Line, at.Col, err.hint, "%s", err.message)
		}
		if out.Fields[name] != nil {
			return nil, fault(at.Line, at.Col, "", "two columns would both be called %s", name)
		}
		a := &value.Array{Axes: []*value.Axis{axis}, Label: strings.TrimSpace(heading[:headEnd(heading)]), Why: "a blank in " + file}
		words := wordsOf(rows, c)
		nums, bad, hint := cells.column(words, u)
		if bad < 0 {
			a.Num = nums
			if u != nil {
				a.Dim, a.Show = u.Dim, &value.Show{Metric: *u, US: *u}
				if i := toSI(nums, u.SI); i >= 0 {
					return nil, fault(places[i][c].Line, places[i][c].Col, "", "%q is too large to calculate with", words[i])
				}
			}
		} else if u != nil {
			p := places[bad][c]
			return nil, fault(p.Line, p.Col, hint, "%q isn't a number, but the heading gives a unit", words[bad])
		} else {
			a.Kind, a.Words = value.Words, words
			if axis.Labels == nil {
				axis.Labels, axis.Name, axis.Kind = distinct(words), name, value.Choice
			}
		}
		out.Fields[name] = a
		out.Table.Headings = append(out.Table.Headings, value.Cell{Text: name, Line: at.Line, Col: at.Col})
	}
	out.Table.Rows = tableOf(rows, places)
	return out, nil
}

// What is done for each cell is in small functions of its own, because a browser compiles a function that runs often once
// more, and a large one takes it long.

// rowsOf reads rows and where their cells stand, up to the end, a mistake, or one more than there may be below the header.
func rowsOf(reader *csv.Reader) (rows [][]string, places [][]diag.Pos, err error) {
	for len(rows) <= MaxReadings+1 {
		row, err := reader.Read()
		if err != nil {
			return rows, places, err
		}
		at := make([]diag.Pos, len(row))
		for i := range at {
			at[i].Line, at[i].Col = reader.FieldPos(i)
		}
		rows, places = append(rows, row), append(places, at)
	}
	return rows, places, nil
}

// wordsOf are a column's cells; a short row has a blank there.
func wordsOf(rows [][]string, column int) []string {
	words := make([]string, len(rows))
	for i, row := range rows {
		if column < len(row) {
			words[i] = strings.TrimSpace(row[column])
		}
	}
	return words
}

// toSI multiplies numbers by what their unit is in SI, up to one that is too large for it, which it gives; otherwise -1.
func toSI(nums []float64, unit float64) (tooLarge int) {
	for i := range nums {
		if nums[i] *= unit; math.IsInf(nums[i], 0) {
			return i
		}
	}
	return -1
}

// tableOf are the rows as a page shows them.
func tableOf(rows [][]string, places [][]diag.Pos) [][]value.Cell {
	table := make([][]value.Cell, len(rows))
	for i, row := range rows {
		for c, text := range row {
			table[i] = append(table[i], value.Cell{Text: strings.TrimSpace(text), Line: places[i][c].Line, Col: places[i][c].Col})
		}
	}
	return table
}

// faultAt is a mistake at a place of a file.
func faultAt(file string, data []byte, line, col int, hint, format string, args ...any) diag.Diagnostic {
	s := diag.Snippet{File: file, Source: data, Starts: []diag.Pos{{Line: max(line, 1), Col: 1}}}
	return s.Fault(1, max(col, 1), 0, hint, format, args...)
}

// distinct makes labels that tell rows apart: a repeated one gets its count.
func distinct(words []string) []string {
	seen := map[string]int{}
	labels := make([]string, len(words))
	for i, w := range words {
		if seen[w]++; seen[w] > 1 {
			w += " (" + strconv.Itoa(seen[w]) + ")"
		}
		labels[i] = w
	}
	return labels
}
