package notebook

import (
	"bytes"

	"github.com/yuin/goldmark/util"
)

// link notes one link. goldmark keeps where its words start but not where its destination does, so that is
// looked for: the first one after the words, in the same paragraph. A reference's destination stands
// elsewhere; then the link's own place is given.
func (s *source) link(dest []byte, start int, picture bool) Link {
	l := Link{Dest: string(dest), Picture: picture, At: s.pos(max(start, 0)), Length: 1}
	rest := s.text[max(start, 0):min(max(start, 0)+maxLink, len(s.text))]
	if end := bytes.Index(rest, []byte("\n\n")); end >= 0 {
		rest = rest[:end]
	}
	if at := bytes.Index(rest, append([]byte("]("), dest...)); at >= 0 && len(dest) > 0 {
		l.At, l.Length = s.pos(start+at+2), len(dest)
	} else if at := bytes.Index(rest, append([]byte("](<"), dest...)); at >= 0 && len(dest) > 0 {
		l.At, l.Length = s.pos(start+at+3), len(dest)
	}
	return l
}

// Plain undoes what Markdown lets stand for a character of a destination, such as \( and &amp;.
func Plain(dest string) string {
	return string(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations([]byte(dest)))))
}
