//go:build js

package page

import "errors"

// Share stands for the picture that stands for a page. Where this runs in a browser it lies beside the page already.
type Share struct{ Path string }

// Draw can't draw it here.
func (*Share) Draw() ([]byte, error) { return nil, errors.ErrUnsupported }

func (r *prose) share() *Share {
	if r.figures.chosen == nil {
		return nil
	}
	return &Share{Path: shareName(r.page.Path)}
}
