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
	return found.width, found.height
}

// Px is a picture's width and height in its own pixels; 0 for what is no picture.
type Px struct{ Width, Height int }

// Carry lets pages carry files that the collection doesn't hold: they are where the pages are.
func (c *Collection) Carry(files map[string]Px) {
	for name, px := range files {
		c.checked.Store(name, checked{width: px.Width, height: px.Height})
	}
}

var errPicture = errors.New("the picture is damaged: its size can't be read")

// size reads a picture's size from its head.
func size(data []byte) (width, height int, err error) {
	config, kind, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil || config.Width <= 0 || config.Height <= 0 {
		return 0, 0, errPicture
	}
	if kind == "jpeg" && lying(data) || kind == "png" && lyingPNG(data) { // Chromium passes over a WebP picture's
		return config.Height, config.Width, nil
	}
	return config.Width, config.Height, nil
}

// lying says whether a photograph is stored on its side, as cameras held upright do: its orientation, a
// number from 1 to 8, is above 4 then. (Exif 2.3, CIPA DC-008-2012, 4.5.4 for the segment, 4.6.4 for tag
// 0112; TIFF 6.0, section 2, for the directory. From memory.)
func lying(jpeg []byte) bool {
	for at := 2; at+4 <= len(jpeg) && jpeg[at] == 0xff; {
		marker, length := jpeg[at+1], int(binary.BigEndian.Uint16(jpeg[at+2:]))
		end := at + 2 + length
		if marker == 0xda || length < 2 || end > len(jpeg) { // the picture itself begins, or nonsense
			return false
		}
		if segment := jpeg[at+4 : end]; marker == 0xe1 && bytes.HasPrefix(segment, []byte("Exif\x00\x00")) {
			return orientation(segment[6:]) > 4
		}
		at = end
	}
	return false
}

// lyingPNG says the same of a PNG picture, which tells it before the picture itself.
func lyingPNG(png []byte) bool {
	const signature, frame = 8, 12 // bytes; length, kind and checksum of a chunk
	for at := signature; at+frame <= len(png); {
		length := uint64(binary.BigEndian.Uint32(png[at:]))
		kind := string(png[at+4 : at+8])
		if kind == "IDAT" || length > uint64(len(png)-at-frame) {
			return false
		}
		next := at + frame + int(length)
		if kind == "eXIf" {
			return orientation(png[at+8:next-4]) > 4
		}
		at = next
	}
	return false
}

// orientation looks for tag 0112 in the first directory of a TIFF file: a number from 1 to 8, or 0.
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
