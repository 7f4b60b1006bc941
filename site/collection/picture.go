package collection

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
)

// Size is the width and height of a picture as a browser shows it, in its own pixels. A page that states
// them keeps its place while the picture loads. Both are 0 for what is no picture.
func (c *Collection) Size(name string) (width, height int) {
	found := c.check(name)
	return found.Width, found.Height
}

// Picture is what a page shows of a file: width and height in its own pixels, 0 for what is no picture, and of an SVG
// picture what is drawn into the page (see Sketch).
type Picture struct {
	Width, Height int
	Sketch        string
}

// Picture is the file's of a name.
func (c *Collection) Picture(name string) Picture { return c.check(name).Picture }

// Carry says which files pages can show although the collection doesn't hold them: they lie beside the pages, or have
// been looked into before.
func (c *Collection) Carry(files map[string]Picture) {
	for name, picture := range files {
		c.checked.Store(name, checked{Picture: picture})
	}
}

// size reads a picture's size from its head.
func size(kind string, data []byte) (width, height int, err error) {
	config, found, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case found != kind:
		return 0, 0, errors.New("the file's content is not the picture that its ending says")
	case err != nil || config.Width <= 0 || config.Height <= 0:
		return 0, 0, errors.New("the picture is damaged: its size can't be read")
	}
	if _, turned := bares[kind](data); turned > 4 { // as photographs are that were taken upright
		return config.Height, config.Width, nil
	}
	return config.Width, config.Height, nil
}

// orientation looks for tag 0112 in the first directory of a TIFF file, as Exif is kept in: a number from 1 to 8, or 0.
// (TIFF 6.0, section 2, for the directory; Exif 2.3, CIPA DC-008-2012, 4.6.4, for the tag. From memory.)
func orientation(tiff []byte) int {
	if len(tiff) < 8 {
		return 0
	}
	var order binary.ByteOrder
	switch string(tiff[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return 0
	}
	start := uint64(order.Uint32(tiff[4:]))
	if start+2 > uint64(len(tiff)) {
		return 0
	}
	const entry = 12
	entries := tiff[start+2:]
	for range order.Uint16(tiff[start:]) {
		if len(entries) < entry {
			return 0
		}
		const short = 3
		if order.Uint16(entries) == 0x0112 && order.Uint16(entries[2:]) == short {
			if o := int(order.Uint16(entries[8:])); o <= 8 {
				return o
			}
			return 0
		}
		entries = entries[entry:]
	}
	return 0
}
