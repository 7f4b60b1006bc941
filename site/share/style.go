package share

import (
	"image/color"
	"regexp"
	"sort"
	"strconv"
	"strings"
)

// Styles are the rules of a style sheet that figures need: those for one class, for one class or element
// inside a drawing, and for an element with two classes. Whatever else it holds is for the page.
type Styles struct {
	variables map[string]string // of :root, in the light theme
	rules     []rule            // the stronger later
}

type rule struct {
	drawing bool     // only inside .drawing
	element string   // or ""
	classes []string // that the element has
	set     map[string]string
}

var (
	comment = regexp.MustCompile(`(?s)/\*.*?\*/`)
	picked  = regexp.MustCompile(`^(\.drawing )?(?:(text)|((?:\.[a-z][a-z0-9-]*)+))$`)
)

// ReadStyles reads a style sheet.
func ReadStyles(sheet string) *Styles {
	s := &Styles{variables: map[string]string{}}
	rest := comment.ReplaceAllString(sheet, "")
	for {
		head, after, found := strings.Cut(rest, "{")
		if !found {
			break
		}
		body, next, nested := block(after)
		rest = next
		head = strings.TrimSpace(head)
		if nested || strings.HasPrefix(head, "@") { // other themes, widths and papers
			continue
		}
		set := declarations(body)
		if head == ":root" {
			for name, value := range set {
				s.variables[name] = value
			}
		}
		for _, selector := range strings.Split(head, ",") {
			m := picked.FindStringSubmatch(strings.TrimSpace(selector))
			if m == nil {
				continue
			}
			r := rule{drawing: m[1] != "", element: m[2], set: set}
			if m[3] != "" {
				r.classes = strings.Split(m[3][1:], ".")
			}
			s.rules = append(s.rules, r)
		}
	}
	// CSS, selectors level 3, section 9: more classes are stronger, then elements, then the later rule.
	strength := func(r rule) int {
		n := 10 * len(r.classes)
		if r.drawing {
			n += 10
		}
		if r.element != "" {
			n++
		}
		return n
	}
	sort.SliceStable(s.rules, func(i, j int) bool { return strength(s.rules[i]) < strength(s.rules[j]) })
	return s
}

// block gives what stands up to the brace that closes, and whether there are blocks inside.
func block(text string) (body, after string, nested bool) {
	depth := 1
	for i, c := range text {
		switch c {
		case '{':
			depth++
			nested = true
		case '}':
			if depth--; depth == 0 {
				return text[:i], text[i+1:], nested
			}
		}
	}
	return text, "", nested
}

func declarations(body string) map[string]string {
	set := map[string]string{}
	for _, d := range strings.Split(body, ";") {
		if name, value, ok := strings.Cut(d, ":"); ok {
			set[strings.TrimSpace(name)] = strings.TrimSpace(value)
		}
	}
	return set
}

// look is what an element has been told about its looks: its own and what it inherits.
type look map[string]string

// inherited are the properties that children take over (SVG 2, appendix on properties), and our --c.
var inherited = []string{"fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linejoin", "stroke-linecap", "fill-opacity", "stroke-opacity",
	"font-size", "font-weight", "text-anchor", "--c"}

// of gives an element's looks: what it inherits, its attributes, and over these the style sheet.
func (s *Styles) of(parent look, element string, attrs map[string]string, inDrawing bool) look {
	l := look{}
	for _, name := range inherited {
		if v, ok := parent[name]; ok {
			l[name] = v
		}
		if v, ok := attrs[name]; ok {
			l[name] = v
		}
	}
	classes := strings.Fields(attrs["class"])
	has := func(name string) bool {
		for _, c := range classes {
			if c == name {
				return true
			}
		}
		return false
	}
	for _, r := range s.rules {
		applies := (!r.drawing || inDrawing) && (r.element == "" || r.element == element)
		for _, c := range r.classes {
			applies = applies && has(c)
		}
		if !applies {
			continue
		}
		for _, name := range inherited {
			if v, ok := r.set[name]; ok {
				if em, isEm := strings.CutSuffix(v, "em"); isEm && name == "font-size" {
					share, _ := strconv.ParseFloat(em, 64)
					base, _ := strconv.ParseFloat(parent["font-size"], 64)
					v = strconv.FormatFloat(share*base, 'g', -1, 64)
				}
				l[name] = v
			}
		}
	}
	return l
}

// colour is one colour, or none.
type colour struct {
	rgb  color.NRGBA
	none bool
}

func (c colour) at(opacity float64) color.NRGBA {
	out := c.rgb
	out.A = uint8(opacity*255 + 0.5)
	return out
}

// paint gives a colour of a look. The value that SVG starts with is for an element that is told nothing.
func (s *Styles) paint(l look, property, start string) (colour, bool) {
	value, told := l[property]
	if !told {
		value = start
	}
	for range 4 { // a variable may name another
		inner, isVar := strings.CutPrefix(value, "var(")
		if !isVar {
			break
		}
		name := strings.TrimSuffix(inner, ")")
		if v, ok := l[name]; ok {
			value = v
		} else {
			value = s.variables[name]
		}
	}
	return parseColour(value)
}

func (s *Styles) colour(variable string) (colour, bool) { return parseColour(s.variables[variable]) }

func parseColour(value string) (colour, bool) {
	if value == "none" {
		return colour{none: true}, true
	}
	hex, ok := strings.CutPrefix(value, "#")
	v, err := strconv.ParseUint(hex, 16, 32)
	if !ok || err != nil || len(hex) != 6 {
		return colour{none: true}, false
	}
	return colour{rgb: color.NRGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}}, true
}

// number gives a property that is a number, perhaps in pixels.
func (l look) number(property string, start float64) float64 {
	text, told := l[property]
	if !told {
		return start
	}
	v, err := strconv.ParseFloat(strings.TrimSuffix(text, "px"), 64)
	if err != nil {
		return start
	}
	return v
}
