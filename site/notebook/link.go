package notebook

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"
)

// link notes one link. goldmark keeps where its words start but not where its destination does, so that is
// looked for: the first one after the words, in the same paragraph. A reference's destination stands
// elsewhere; then the link's own place is given.
func (s *source) link(dest []byte, start int, picture bool) Link {
	start = max(start, 0)
	l := Link{Dest: string(dest), Picture: picture, At: s.pos(start), Length: 1}
	rest, _, _ := strings.Cut(string(s.text[start:min(start+maxLink, len(s.text))]), "\n\n")
	for _, opening := range []string{"](", "](<"} {
		if at := strings.Index(rest, opening+l.Dest); at >= 0 && len(dest) > 0 {
			l.At, l.Length = s.pos(start+at+len(opening)), len(dest)
			break
		}
	}
	return l
}

// describe refuses a picture without words for readers who can't see it. CommonMark lets them be left out for
// decoration, but in a notebook that can't be told from words forgotten, and a page of results has nothing
// to decorate with.
func (s *source) describe(picture *ast.Image) {
	said := false
	_ = ast.Walk(picture, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch n := n.(type) {
		case *ast.Text:
			said = said || strings.TrimSpace(string(n.Segment.Value(s.text))) != ""
		case *ast.String, *Equation, *Insert, *ast.AutoLink:
			said = true
		}
		return ast.WalkContinue, nil
	})
	if !said {
		s.fault(picture.Pos(), 1, "write them as ![what it shows](file)", "the picture has no words for readers who can't see it")
	}
}

// Plain undoes what Markdown lets stand for a character of a destination, such as \( and &amp;.
func Plain(dest string) string {
	return string(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations([]byte(dest)))))
}
