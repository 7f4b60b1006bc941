package page

import (
	"html/template"
	"strings"

	"turnplate/site/eval"
	"turnplate/site/figure"
)

// suspectView is what the template "suspects" reads of a corner.
type suspectView struct {
	ID      string
	Title   template.HTML
	Picture *pictureView
}

// Suspects draws the corners with points that a page's mistakes are about or, with refused false, its doubts. It is ""
// where there are none.
func Suspects(e *eval.Page, units string, refused bool) (template.HTML, error) {
	var list []suspectView
	for _, s := range e.Suspects {
		if s.Refused == refused {
			list = append(list, suspectView{s.ID, template.HTML(bothHTML(s.Says())), newPicture(s.Draw(figure.SystemOf(units)))})
		}
	}
	if list == nil {
		return "", nil
	}
	var out strings.Builder
	err := templates.ExecuteTemplate(&out, "suspects", list)
	return template.HTML(out.String()), err
}
