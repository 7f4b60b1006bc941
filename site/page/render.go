package page

import "errors"

// Render lays a page out. An error means that the Page itself is unusable, never that a reader's text is.
func Render(p Page) (Output, error) {
	if p.Eval == nil {
		return Output{}, errors.New("page: " + p.Path + " was not evaluated")
	}
	return Output{}, nil
}
