package collection

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"html"
	"io"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Sketch is a picture drawn by hand as SVG: not a file beside the page but a part of it, so that its texts are texts
// and its colours follow the page's. It is written anew from what the lists below name, and a file that holds
// anything else is refused: an SVG file from a stranger may hold script, and fetch what it likes from elsewhere.
// The text is empty for every other file.
func (c *Collection) Sketch(name string) string { return c.check(name).sketch }

// IsSketch says whether a file is such a picture, by its ending.
func IsSketch(name string) bool { return strings.EqualFold(path.Ext(name), ".svg") }

// MaxSketch is how many bytes an SVG picture may have: it is part of its page.
const MaxSketch = 64 << 10

// What an SVG picture may consist of. Its colours and widths are the style sheet's (page/assets/page.css, under
// .sketch), by the looks that its classes name.
var (
	sketchParts = []string{"svg", "g", "title", "desc", "path", "line", "polyline", "polygon", "rect", "circle", "ellipse", "text", "tspan"}
	sketchPlace = []string{"x", "y", "x1", "y1", "x2", "y2", "dx", "dy", "cx", "cy", "r", "rx", "ry", "width", "height",
		"d", "points", "transform", "text-anchor", "font-size"}
	sketchLooks = []string{"label", "measured", "axis", "measure", "line", "band", "level", "reach", "ground", "hatch", "extend", "lead",
		"tyre", "centre", "arm", "armline", "rod", "knuckle", "steer", "pivot", "ball", "hub", "arrow", "contact", "meet",
		"s1", "s2", "s3", "s4", "s5", "s6"}
)

// sketchValue is what a place may be: numbers, letters of a path, transformations and the words of text-anchor.
var sketchValue = regexp.MustCompile(`^[-+.,() \n\ta-zA-Z0-9]*$`)

// sketched reads an SVG picture and gives it as a page has it, without a name or a role, and its size.
func sketched(data []byte) (svg string, width, height int, err error) {
	if len(data) > MaxSketch {
		return "", 0, 0, fmt.Errorf("an SVG picture is part of its page, and this one is larger than %d KiB", MaxSketch>>10)
	}
	var out strings.Builder
	var open []string
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) && width > 0 {
			return out.String(), width, height, nil
		}
		line, _ := d.InputPos()
		refuse := func(format string, args ...any) (string, int, int, error) {
			return "", 0, 0, fmt.Errorf("the SVG picture's line %d: "+format, append([]any{line}, args...)...)
		}
		if err != nil {
			return refuse("it isn't well-formed")
		}
		switch t := token.(type) {
		case xml.StartElement:
			name := t.Name.Local
			if !slices.Contains(sketchParts, name) || (name == "svg") != (len(open) == 0) || len(open) == 0 && width > 0 {
				return refuse("%s has no place there (a picture consists of %s)", name, strings.Join(sketchParts[1:], ", "))
			}
			out.WriteString("<" + name)
			for _, a := range t.Attr {
				switch key := a.Name.Local; {
				case key == "xmlns" && name == "svg":
				case key == "viewBox" && name == "svg":
					if width, height = viewBox(a.Value); width == 0 {
						return refuse(`viewBox is "0 0" and then width and height, each a whole number from 1 to 2000`)
					}
					out.WriteString(` viewBox="` + a.Value + `"`)
				case key == "class" && a.Name.Space == "":
					for _, look := range strings.Fields(a.Value) {
						if !slices.Contains(sketchLooks, look) {
							return refuse("%s is no look (there are %s)", look, strings.Join(sketchLooks, ", "))
						}
					}
					out.WriteString(` class="` + a.Value + `"`)
				case a.Name.Space == "" && slices.Contains(sketchPlace, key) && name != "svg" && sketchValue.MatchString(a.Value):
					out.WriteString(" " + key + `="` + a.Value + `"`)
				default:
					return refuse("%s can't have %s here (there are class, %s)", name, key, strings.Join(sketchPlace, ", "))
				}
			}
			if name == "svg" && width == 0 {
				return refuse("the picture's size is wanted, as viewBox")
			}
			out.WriteString(">")
			open = append(open, name)
		case xml.EndElement:
			out.WriteString("</" + t.Name.Local + ">")
			open = open[:len(open)-1]
		case xml.CharData:
			switch text := string(t); {
			case strings.TrimSpace(text) == "":
				if len(open) > 0 {
					out.WriteString(text)
				}
			case len(open) == 0 || !slices.Contains([]string{"title", "desc", "text", "tspan"}, open[len(open)-1]):
				return refuse("words stand in a text, a title or a desc")
			default:
				out.WriteString(html.EscapeString(text))
			}
		case xml.Directive:
			return refuse("a picture has no document type")
		} // comments and instructions are left out
	}
}

func viewBox(s string) (width, height int) {
	parts := strings.Fields(s)
	if len(parts) != 4 || parts[0] != "0" || parts[1] != "0" {
		return 0, 0
	}
	const most = 2000
	w, errW := strconv.Atoi(parts[2])
	h, errH := strconv.Atoi(parts[3])
	if errW != nil || errH != nil || w < 1 || h < 1 || w > most || h > most {
		return 0, 0
	}
	return w, h
}
