package yours

import (
	"bytes"
	"embed"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"turnplate/sim/unit"
	"turnplate/site/model"
	"turnplate/site/value"
)

//go:embed form.html
var formFile embed.FS

var formTemplate = template.Must(template.New("form.html").Funcs(template.FuncMap{
	"list": func(words ...string) []string { return words },
}).ParseFS(formFile, "form.html"))

// Form is what a reader fills in. It is made anew for every change, and says the same whoever makes it.
type Form struct {
	Changes Changes
	Page    *value.Record              // the vehicle as the page has it
	Now     *value.Record              // the vehicle with the changes; nil where it can't be had
	Notes   []Note                     // doubts and mistakes
	Said    string                     // what the reader should know of what was done last
	Stops   string                     // why the page can't be worked out, or ""
	Remark  func(at value.Mark) string // what the page's author wrote beside a value; nil: nothing
	US      bool                       // in US units
}

// Note is a doubt or a mistake, said beside the field that it is about.
type Note struct {
	Path    string // of a change, or of a box; "" for what is about none
	Message string
	Hint    string
	Doubt   bool   // what can be, but hardly ever is
	Typed   string // what stands in the box, where it couldn't be taken
}

// The view of the template.
type (
	formView struct {
		Name, Truck string // of the page's vehicle: "truck", "Corrie"
		Notes       []Note
		Printout    []Note // what is wrong with it
		Groups      []groupView
	}
	groupView struct {
		ID           string
		Title, Words string
		Printout     bool // it is asked for here
		Open         bool
		Count        int
		Fields       []fieldView
		Drawing      template.HTML
	}
	fieldView struct {
		ID, Label, Words string
		Boxes            []boxView
		Page             string // the page's value in words
		Remark           string // how the page's author came by it
		Follows          string // what stands now where the reader gave none, and another value of theirs gives it
		Stays            string // what the reader's value here leaves as it was, and would move on a real truck
		Notes            []Note
		Mine             bool
	}
	boxView struct {
		ID, Path, Part, Label string
		Value, Placeholder    string
		Unit                  string
		Described             string // IDs of what is said of it
		Wrong                 bool
		Options               []option
	}
	option struct {
		Value  string
		Chosen bool
	}
)

// HTML is the form.
func (f Form) HTML() (template.HTML, error) {
	v := formView{Name: f.Changes.Name, Truck: f.truck()}
	placed := map[string]bool{}
	for i, g := range Groups(f.Page.Fields["Right"] != nil) {
		view := groupView{ID: "yours-group-" + strconv.Itoa(i+1), Title: g.Title, Words: g.Words, Open: i == 0, Printout: i == 0}
		for _, field := range g.Fields {
			one := f.field(field, placed)
			if one.Mine {
				view.Count++
			}
			view.Open = view.Open || len(one.Notes) > 0
			view.Fields = append(view.Fields, one)
		}
		if g.Points {
			view.Drawing = f.drawing()
		}
		v.Groups = append(v.Groups, view)
	}
	for _, n := range f.Notes {
		switch {
		case n.Path == printout:
			v.Printout = append(v.Printout, n)
		case !placed[n.Path]:
			v.Notes = append(v.Notes, n)
		}
	}
	var out bytes.Buffer
	err := formTemplate.Execute(&out, v)
	return template.HTML(out.String()), err
}

// Says is what stands at the head of the page, in a sentence or two: whose truck it shows, and how much of it is the
// reader's.
func (f Form) Says() string {
	var parts []string
	if f.Said != "" {
		parts = append(parts, f.Said)
	}
	doubts := 0
	for _, n := range f.Notes {
		if n.Doubt {
			doubts++
		}
	}
	switch n := len(f.Changes.List); {
	case f.Stops != "":
		parts = append(parts, "The page can’t be worked out with these values: "+f.Stops+". It stays as it was until that is put right.")
	case n == 0:
		parts = append(parts, "Nothing is yours yet: all values are as on "+f.truck()+".")
	default:
		count := strconv.Itoa(n) + " values are"
		if n == 1 {
			count = "1 value is"
		}
		parts = append(parts, "Your truck: all numbers, figures and claims here are worked out anew, and the words around them are still those about "+f.truck()+". "+count+" yours; what you left empty is as there.")
	}
	switch {
	case doubts == 1:
		parts = append(parts, "One of yours is doubted.")
	case doubts > 1:
		parts = append(parts, strconv.Itoa(doubts)+" doubts stand beside values of yours.")
	}
	return strings.Join(parts, " ")
}

// truck is what the page calls its vehicle.
func (f Form) truck() string {
	if name, ok := f.Page.Fields["Name"].(*value.Array); ok && name.Kind == value.Words && len(name.Axes) == 0 && name.Words[0] != "" {
		return "the " + name.Words[0]
	}
	return "the page’s vehicle"
}

// given is the change of a box: of its field, of the point that it is a part of, or of the one side where it asks for both.
func (f Form) given(path string) *Change {
	if c := f.Changes.Get(path); c != nil {
		return c
	}
	return f.Changes.Get(frontOf(path))
}

func (f Form) field(field Field, placed map[string]bool) fieldView {
	view := fieldView{ID: "yours-" + strings.ReplaceAll(field.Path, ".", "-"), Label: field.Label, Words: sentence(field.Words)}
	var pageText, nowText []string
	for i, path := range field.Parts() {
		box := boxView{ID: "yours-" + strings.ReplaceAll(path, ".", "-"), Path: path, Label: field.Label}
		if len(field.Parts()) > 1 {
			box.Part = "xyz"[i : i+1]
			box.Label = ""
		}
		if c := f.given(path); c != nil {
			view.Mine = true
			box.Value = f.show(c, 0)
		} else if c := f.given(field.Path); c != nil && len(c.Numbers) == 3 {
			view.Mine = true
			box.Value = f.show(c, i)
		}
		page, now := f.text(f.Page, path), f.text(f.Now, path)
		box.Placeholder = page
		if now != "" && box.Value == "" {
			box.Placeholder = now
		}
		if field.Of != nil {
			if i == len(field.Parts())-1 {
				box.Unit = f.unit(field).Symbol
			}
			for _, w := range field.Of.Must.Words {
				box.Options = append(box.Options, option{w, w == box.Value})
			}
		}
		if page != "" {
			pageText = append(pageText, page)
		}
		if now != "" {
			nowText = append(nowText, now)
		}
		view.Boxes = append(view.Boxes, box)
	}
	if strings.Join(pageText, "") == "000" { // a point of all zeros isn't given
		pageText = nil
		for i := range view.Boxes {
			view.Boxes[i].Placeholder = strings.TrimPrefix(view.Boxes[i].Placeholder, "0")
		}
	}
	view.Page = f.inWords(field, pageText)
	if !view.Mine {
		view.Follows = f.follows(field, pageText, nowText)
	}
	view.Stays = f.stays(field.Path)
	if mark := markAt(f.Page, strings.Split(frontOf(field.Path), ".")); f.Remark != nil && mark.File != "" {
		view.Remark = f.Remark(mark)
	}
	f.note(&view, field, placed)
	return view
}

// sentence makes one of a comment.
func sentence(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	return string(unicode.ToUpper(first)) + words[size:]
}

// note puts the field's doubts and mistakes beside it, and tells each box what is said of it.
func (f Form) note(view *fieldView, field Field, placed map[string]bool) {
	paths := append(slices.Clone(field.Parts()), field.Path)
	for _, path := range paths {
		paths = append(paths, sides(path)...)
	}
	wrong := false
	for _, n := range f.Notes {
		for i := range view.Boxes {
			if n.Path == view.Boxes[i].Path && n.Typed != "" {
				view.Boxes[i].Value = n.Typed
			}
		}
		if slices.Contains(paths, n.Path) {
			placed[n.Path] = true
			view.Notes = append(view.Notes, n)
			wrong = wrong || !n.Doubt
		}
	}
	for i := range view.Boxes {
		view.Boxes[i].Wrong = wrong
		view.Boxes[i].Described = view.ID + "-says"
		if len(view.Notes) > 0 {
			view.Boxes[i].Described += " " + view.ID + "-notes"
		}
	}
}

// unit is the one that a field's box is in.
func (f Form) unit(field Field) unit.Unit {
	if f.US {
		return field.Of.US
	}
	return field.Of.Unit
}

// show is a change as its box has it: in the unit beside the box where it is a number.
func (f Form) show(c *Change, i int) string {
	if len(c.Numbers) == 0 {
		return c.Words
	}
	u := c.Field.Unit
	if f.US {
		u = c.Field.US
	}
	text := decimal(c.Numbers[i] / u.SI)
	if u.Name != "" && !strings.Contains(c.Expr, "*"+u.Name) { // it was given in another unit
		text = figures(c.Numbers[i]/u.SI, 5)
	}
	switch {
	case c.Half > 0:
		return text + " ± " + strconv.FormatFloat(c.Half/u.SI, 'g', 3, 64)
	case c.Spread && len(c.Numbers) == 1:
		return c.Expr
	}
	return text
}

// inWords is the page's value with its unit, or what stands where it has none.
func (f Form) inWords(field Field, parts []string) string {
	switch {
	case len(parts) == 0:
		return ""
	case field.Of == nil:
		return parts[0]
	}
	text := strings.Join(parts, ", ")
	return f.unit(field).Text(text)
}

// follows is what stands in a field that the reader left empty, where another value of theirs has changed it.
func (f Form) follows(field Field, page, now []string) string {
	if field.Of == nil || len(now) == 0 || slices.Equal(page, now) {
		return ""
	}
	return f.inWords(field, now)
}

// frontOf is the path of the left corner's field for one of both.
func frontOf(path string) string {
	if rest, both := strings.CutPrefix(path, "Both."); both {
		return "Front." + rest
	}
	return path
}

// text is a vehicle's value for a box, without its unit: "17.5", "17.5 ± 0.4", or "" where it has none.
func (f Form) text(car *value.Record, path string) string {
	if car == nil {
		return ""
	}
	if path == "Tyre" {
		path = "Tyre.Name"
	}
	names := strings.Split(frontOf(path), ".")
	of, _, _ := Lookup(names)
	a, ok := at(car, names).(*value.Array)
	switch {
	case !ok || a.AllAbsent():
		return ""
	case a.Kind == value.Words && len(a.Axes) == 0:
		return a.Words[0]
	case a.Kind != value.Number || of == nil:
		return ""
	}
	u := of.Unit
	if f.US {
		u = of.US
	}
	if slices.ContainsFunc(a.Axes, func(x *value.Axis) bool { return !value.IsDraws(x) }) {
		return "several values"
	}
	number := func(x float64) string { return figures(x/u.SI, 4) }
	if len(a.Axes) == 0 {
		return number(a.Num[0])
	}
	mean, low, high := value.Spread95(a)
	return number(mean) + " ± " + strconv.FormatFloat((high-low)/2/u.SI, 'g', 2, 64)
}

// figures prints a number with so many significant figures, its whole part in full.
func figures(x float64, significant int) string {
	if x == 0 || math.Abs(x) < 1e-9 {
		return "0"
	}
	return trimmed(x, places(x, significant))
}

// at follows a path into a record; what it leaves out has its default.
func at(r *value.Record, path []string) value.Value {
	v := r.Fields[path[0]]
	if v == nil {
		v = model.Fill(r, path[0])
	}
	if inner, ok := v.(*value.Record); ok && len(path) > 1 {
		return at(inner, path[1:])
	}
	if len(path) > 1 {
		return nil
	}
	return v
}

// markAt is where the page wrote a field.
func markAt(r *value.Record, path []string) value.Mark {
	mark := r.Written[path[0]]
	if inner, ok := r.Fields[path[0]].(*value.Record); ok && len(path) > 1 {
		if deeper := markAt(inner, path[1:]); deeper.File != "" {
			return deeper
		}
	}
	return mark
}

// Remark is the remark that stands behind a value on its line of a notebook, or "".
func Remark(source []byte, line int) string {
	number, text := 0, ""
	for here := range bytes.Lines(source) {
		if number++; number == line {
			text = string(here)
			break
		}
	}
	quoted := false
	for i := 0; i+1 < len(text); i++ {
		if text[i] == '"' {
			quoted = !quoted
		}
		if !quoted && text[i:i+2] == "//" {
			return strings.TrimSpace(text[i+2:])
		}
	}
	return ""
}
