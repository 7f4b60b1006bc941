//go:build !js

package collection

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"html"
	"io"
	"slices"
	"strconv"
	"strings"
)

// maxSketch is how many bytes an SVG picture may have: it is part of its page.
const maxSketch = 64 << 10

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

// sketchValue is what a place may be made of: numbers, letters of a path, transformations and the words of text-anchor.
const sketchValue = "-+.,() \n\t0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"

// sketched reads an SVG picture and gives it as a page has it, without a name or a role, and its size.
func sketched(data []byte) (svg string, width, height int, err error) {
	if len(data) > maxSketch {
		return "", 0, 0, fmt.Errorf("an SVG picture is part of its page, and this one is larger than %d KiB", maxSketch>>10)
	}
	var s sketch
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) && s.width > 0 {
			return s.out.String(), s.width, s.height, nil
		}
		line, _ := d.InputPos()
		if err != nil {
			err = errors.New("it isn't well-formed")
		} else {
			err = s.take(token)
		}
		if err != nil {
			return "", 0, 0, fmt.Errorf("the SVG picture's line %d: %w", line, err)
		}
	}
}

// sketch is an SVG picture while it is written anew.
type sketch struct {
	out           strings.Builder
	open          []string // the elements round the place that it has come to
	width, height int      // 0 until its first element is read
}

// take writes what was read, or says why it has no place in a picture.
func (s *sketch) take(token xml.Token) error {
	switch t := token.(type) {
	case xml.StartElement:
		return s.start(t)
	case xml.EndElement:
		s.out.WriteString("</" + t.Name.Local + ">")
		s.open = s.open[:len(s.open)-1]
	case xml.CharData:
		switch text := string(t); {
		case strings.TrimSpace(text) == "":
			if len(s.open) > 0 {
				s.out.WriteString(text)
			}
		case len(s.open) == 0 || !slices.Contains([]string{"title", "desc", "text", "tspan"}, s.open[len(s.open)-1]):
			return errors.New("words stand in a text, a title or a desc")
		default:
			s.out.WriteString(html.EscapeString(text))
		}
	case xml.Directive:
		return errors.New("a picture has no document type")
	} // comments and instructions are left out
	return nil
}

func (s *sketch) start(t xml.StartElement) error {
	name := t.Name.Local
	if !slices.Contains(sketchParts, name) || (name == "svg") != (len(s.open) == 0) || len(s.open) == 0 && s.width > 0 {
		return fmt.Errorf("%s has no place there (a picture consists of %s)", name, strings.Join(sketchParts[1:], ", "))
	}
	s.out.WriteString("<" + name)
	for _, a := range t.Attr {
		if err := s.attribute(name, a); err != nil {
			return err
		}
	}
	if name == "svg" && s.width == 0 {
		return errors.New("the picture's size is wanted, as viewBox")
	}
	s.out.WriteString(">")
	s.open = append(s.open, name)
	return nil
}

func (s *sketch) attribute(name string, a xml.Attr) error {
	switch key := a.Name.Local; {
	case key == "xmlns" && name == "svg":
		return nil
	case key == "viewBox" && name == "svg":
		if s.width, s.height = viewBox(a.Value); s.width == 0 {
			return errors.New(`viewBox is "0 0" and then width and height, each a whole number from 1 to 2000`)
		}
	case key == "class" && a.Name.Space == "":
		for _, look := range strings.Fields(a.Value) {
			if !slices.Contains(sketchLooks, look) {
				return fmt.Errorf("%s is no look (there are %s)", look, strings.Join(sketchLooks, ", "))
			}
		}
	case a.Name.Space == "" && slices.Contains(sketchPlace, key) && name != "svg" && strings.Trim(a.Value, sketchValue) == "":
	default:
		return fmt.Errorf("%s can't have %s here (there are class, %s)", name, key, strings.Join(sketchPlace, ", "))
	}
	s.out.WriteString(" " + a.Name.Local + `="` + a.Value + `"`)
	return nil
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
