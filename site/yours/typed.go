package yours

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"turnplate/sim/unit"
	"turnplate/site/diag"
	"turnplate/site/lang"
	"turnplate/site/model"
	"turnplate/site/pattern"
	"turnplate/site/vocabulary"
)

// typedNumber is what a reader types into a box: a number, how far it may be out, a unit.
var typedNumber = pattern.Of(`^([-+]?(?:\d+\.?\d*|\.\d+))(?:(?:±|\+/?-)(\d+\.?\d*|\.\d+))?([^\d\s].*)?$`)

// typography is what stands in print for the characters of a keyboard.
var typography = strings.NewReplacer("−", "-", "–", "-", "\u00a0", "", "\u202f", "", " ", "", "″", `"`, "”", `"`)

// decimalComma is a number as half of the world writes it.
var decimalComma = pattern.Of(`^([-+]?\d+),(\d+)(.*)$`)

// typed makes the expression of what was typed into the box of a number: "400" in the unit shown beside the box, "400 mm"
// in its own, "400 ± 2" with half its 95 % interval. Whatever else it is goes on as it is, for Parse to judge.
func typed(text string, in unit.Unit) string {
	bare := typography.Replace(text)
	if m := decimalComma().FindStringSubmatch(bare); m != nil && !strings.ContainsAny(m[3], ",(") {
		bare = m[1] + "." + m[2] + m[3]
	}
	m := typedNumber().FindStringSubmatch(bare)
	if m == nil {
		return strings.TrimSpace(text)
	}
	number, half, name := m[1], m[2], strings.Trim(m[3], "*·")
	switch {
	case name == "":
		name = in.Name
	case slices.Contains([]string{"lbs", "pound", "pounds"}, strings.ToLower(name)):
		name = "lb"
		if in.Dim != unit.MustParse("kg").Dim {
			name = "lbf"
		}
	case vocabulary.Spelling(name) != "":
		name = vocabulary.Spelling(name)
	}
	by := ""
	if name != "" {
		by = "*" + strings.ReplaceAll(name, "·", "*")
	}
	if half != "" {
		return fmt.Sprintf("normal(%s%s, %s%s/%g)", number, by, half, by, coverage)
	}
	return number + by
}

// Set gives the changes with what a reader typed into the box of a field: the field's path, a point's with its part,
// "Front.UpperBall.X". Empty text takes the value away, so that the page's stands again. With a mistake the changes stay as
// they were.
func (c Changes) Set(path, text string, us bool) (Changes, diag.List) {
	lines := c.without(path)
	if text = strings.TrimSpace(text); text != "" {
		expr, wrong := c.expression(path, text, us)
		if wrong != "" {
			return c, diag.List{snippet(text).Fault(1, 1, 0, "", "%s", wrong)}
		}
		line := Change{Path: path, Expr: expr}.line(c.Name)
		if _, faults := lang.Parse(snippet(line)); len(faults) > 0 { // what the language misses in it says nothing to a reader
			return c, diag.List{snippet(text).Fault(1, 1, 0, "400, 400 mm and 400 ± 5 are", "%q isn't a number with a unit", text)}
		}
		one, faults := Parse(c.Name, line)
		if len(faults) > 0 {
			return c, faults
		}
		lines = append(lines, one.List...)
	}
	out, faults := Parse(c.Name, Changes{c.Name, whole(lines)}.Text())
	if len(faults) > 0 {
		return c, faults
	}
	return out, nil
}

// expression is what a typed text is in the language, or what is wrong with it.
func (c Changes) expression(path, text string, us bool) (expr, wrong string) {
	if strings.ContainsFunc(text, unicode.IsControl) {
		return "", "one line was expected here"
	}
	if path == "Tyre" {
		return fmt.Sprintf("tyreSize(%q, %s.Tyre)", strings.Trim(text, `"`), c.Name), ""
	}
	f, part, unknown := Lookup(strings.Split(path, "."))
	switch {
	case unknown != "":
		return "", "there is no field " + path
	case len(f.Must.Words) > 0 || part == "" && !model.IsPoint(f.Type) && !isNumber(f.Type):
		return strconv.Quote(strings.Trim(text, `"`)), ""
	case us:
		return typed(text, f.US), ""
	}
	return typed(text, f.Unit), ""
}

// without gives the changes that stay when a field is to be set again. A point given whole is taken apart for one of its
// parts, and given parts go when the whole is set.
func (c Changes) without(path string) []Change {
	var kept []Change
	for _, one := range c.List {
		switch {
		case slices.ContainsFunc(sides(one.Path), func(side string) bool { return slices.Contains(sides(path), side) }):
		case strings.HasPrefix(one.Path, path+".") && path != "Tyre":
		case strings.HasPrefix(path, one.Path+".") && len(one.Numbers) == 3:
			for i, part := range []string{".X", ".Y", ".Z"} {
				if one.Path+part != path {
					kept = append(kept, Change{Path: one.Path + part, Expr: number(one.Numbers[i], one.Field.Unit)})
				}
			}
		default:
			kept = append(kept, one)
		}
	}
	return kept
}

// number writes a quantity as the language has it.
func number(si float64, u unit.Unit) string {
	text := decimal(si / u.SI)
	if u.Name != "" {
		text += "*" + u.Name
	}
	return text
}

// decimal writes a number with at most seven significant figures, and no more than it has.
func decimal(x float64) string {
	const figures = 7
	if x == 0 {
		return "0"
	}
	return trimmed(x, min(places(x, figures), 12))
}

// places is how many decimals show so many significant figures of x, which isn't 0.
func places(x float64, figures int) int {
	return max(figures-1-int(math.Floor(math.Log10(math.Abs(x)))), 0)
}

// trimmed prints a number with at most so many decimals.
func trimmed(x float64, decimals int) string {
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// whole puts changes in the order of the form, and the three parts of a point together.
func whole(list []Change) []Change {
	place := order()
	slices.SortStableFunc(list, func(a, b Change) int { return place[a.Path] - place[b.Path] })
	var out []Change
	for i := 0; i < len(list); i++ {
		point, isX := strings.CutSuffix(list[i].Path, ".X")
		if isX && i+2 < len(list) && list[i+1].Path == point+".Y" && list[i+2].Path == point+".Z" {
			out = append(out, Change{Path: point, Expr: fmt.Sprintf("at(%s, %s, %s)", list[i].Expr, list[i+1].Expr, list[i+2].Expr)})
			i += 2
			continue
		}
		out = append(out, list[i])
	}
	return out
}

// order is the place of every path in the form. A tyre's designation comes before the fields that it gives.
var order = sync.OnceValue(func() map[string]int {
	place := map[string]int{"Tyre": 1}
	n := 1
	for _, g := range Groups(true) {
		for _, f := range g.Fields {
			for _, path := range append([]string{f.Path}, f.Parts()...) {
				for _, name := range append([]string{path}, sides(path)...) {
					if place[name] == 0 {
						n++
						place[name] = n
					}
				}
			}
		}
	}
	return place
})

// Read takes in a file: a block as Text writes it, with the fences of a notebook round it or without.
func Read(name, text string) (Changes, diag.List) {
	lines := strings.Split(strings.TrimPrefix(text, "\ufeff"), "\n")
	for i, line := range lines {
		if strings.HasPrefix(strings.TrimSpace(line), "```") {
			lines[i] = ""
		}
	}
	return Parse(name, strings.Join(lines, "\n"))
}

// File is the changes as a small file: a block to paste into a notebook, which says what it is.
func (c Changes) File(site string) string {
	head := "// A reader's own values"
	if site != "" {
		head += " for the pages of " + strings.Map(func(r rune) rune {
			if unprintable(r) {
				return ' '
			}
			return r
		}, site)
	}
	return head + ".\n// In a notebook: a block below the one that makes " + c.Name + ". On a page: load this file.\n" + c.Text()
}

func isNumber(t reflect.Type) bool { return t.Kind() == reflect.Float64 }
