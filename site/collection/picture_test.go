package collection

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"testing"

	"github.com/stretchr/testify/assert"
)

// webpHead is the head of a lossless WebP picture of 3 by 2 pixels (RFC 9649, section 3.4: 14 bits each of
// width and height, less one).
const webpHead = "RIFF\x1a\x00\x00\x00WEBPVP8L\x0d\x00\x00\x00\x2f\x02\x40\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00"

// photo is a JPEG picture with an orientation in it, as a camera writes one; 0: without.
func photo(w, h int, orientation uint16) string {
	return photoIn(binary.BigEndian, "MM\x00*", w, h, orientation)
}

func photoIn(order binary.AppendByteOrder, mark string, w, h int, orientation uint16) string {
	var out bytes.Buffer
	if err := jpeg.Encode(&out, image.NewGray(image.Rect(0, 0, w, h)), nil); err != nil {
		panic(err)
	}
	plain := out.Bytes()
	if orientation == 0 {
		return string(plain)
	}
	tiff := order.AppendUint32([]byte(mark), 8)
	tiff = order.AppendUint16(tiff, 2)
	for _, entry := range []struct{ tag, value uint16 }{{0x0100, 9}, {0x0112, orientation}} {
		tiff = order.AppendUint16(tiff, entry.tag)
		tiff = order.AppendUint16(tiff, 3)
		tiff = order.AppendUint32(tiff, 1)
		tiff = order.AppendUint16(tiff, entry.value)
		tiff = order.AppendUint16(tiff, 0)
	}
	segment := append([]byte("Exif\x00\x00"), tiff...)
	head := binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(len(segment)+2))
	return string(plain[:2]) + string(head) + string(segment) + string(plain[2:])
}

func TestSize(t *testing.T) {
	c := open(t, "a.md", "", "p.png", png, "w.webp", webpHead, "g.gif", "GIF89a\x02\x00\x01\x00\x00\x00\x00", "plain.jpg", photo(40, 30, 0),
		"upright.jpg", photo(40, 30, 6), "turned.jpg", photo(40, 30, 3), "little.jpeg", photoIn(binary.LittleEndian, "II*\x00", 40, 30, 8),
		"broken.jpg", "\xff\xd8\xff\xe1", "data.csv", "a,b")
	for name, want := range map[string][2]int{
		"p.png": {1, 1}, "w.webp": {3, 2}, "g.gif": {2, 1}, "plain.jpg": {40, 30}, "upright.jpg": {30, 40}, "turned.jpg": {40, 30}, "little.jpeg": {30, 40},
		"broken.jpg": {0, 0}, "data.csv": {0, 0}, "none.png": {0, 0}, "../p.png": {0, 0},
	} {
		w, h := c.Size(name)
		assert.Equal(t, want, [2]int{w, h}, name)
	}
}

// Whatever stands in a picture's head, its orientation is read without a slip.
func FuzzOrientation(f *testing.F) {
	f.Add([]byte(photo(4, 3, 6)))
	f.Add([]byte(photo(4, 3, 0)))
	f.Add([]byte(png + chunk("eXIf", exifOf(6)) + chunk("IDAT", "")))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, bare := range bares {
			_, turned := bare(data)
			assert.True(t, turned >= 0 && turned <= 8, turned)
		}
		assert.LessOrEqual(t, orientation(data), 8)
	})
}
