package build

import (
	"fmt"

	"turnplate/site/collection"
	"turnplate/site/diag"
)

// fileFaults reports the files of a site that couldn't all be there on some file system: names that are one without
// their capitals or their accents' form, and names too long. What differs in nothing is takenNames' business, or one
// file that several pages carry.
func fileFaults(c *collection.Collection, notebooks []*Notebook) (faults diag.List) {
	seen := map[string]string{}
	clash := func(name string) string {
		folded := collection.Fold(name)
		other, known := seen[folded]
		if !known {
			seen[folded] = name
		}
		if !known || other == name {
			return ""
		}
		return fmt.Sprintf("%s would lie beside %s in the site, and the names differ %s alone", name, other, collection.Difference(name, other))
	}
	for _, n := range notebooks {
		for i, name := range append([]string{n.Path + ".html"}, n.beside...) {
			bad := collection.TooLong(name)
			if bad == "" && i > 0 { // pages among themselves are the collection's business
				bad = clash(name)
			}
			if bad != "" {
				faults = append(faults, diag.Diagnostic{File: n.File, Message: bad, Hint: "give the notebook another name"})
				break
			}
		}
	}
	for _, n := range notebooks {
		wrong := map[string]string{}
		for _, name := range n.Carries {
			if bad := clash(name); bad != "" {
				wrong[name] = bad
			}
		}
		for i := 0; i < len(n.Links) && len(wrong) > 0; i++ {
			l := n.Links[i]
			t, err := c.Target(n.Notebook, l.Dest, l.Picture)
			if bad := wrong[t.Path]; err == nil && !t.Page && bad != "" {
				faults = append(faults, diag.New(n.File, n.Source, l.At, l.Length, "give one of them another name", bad))
				delete(wrong, t.Path)
			}
		}
	}
	return faults
}
