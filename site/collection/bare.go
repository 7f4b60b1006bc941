package collection

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"strings"
)

// Carried is a file as a site carries it: a picture without what isn't needed to show it. A photograph tells
// where it was taken, to a few metres, when, and with which camera; whoever shows a suspension in a garage
// needn't publish the garage's address. The picture itself is not touched: what remains is the same bytes.
func (c *Collection) Carried(name string) ([]byte, error) {
	if IsSketch(name) {
		return nil, errors.New("an SVG picture is drawn into its page, and no file of the site")
	}
	data, err := c.File(name)
	if err != nil {
		return nil, err
	}
	if bare := bares[pictureKind(name)]; bare != nil {
		data, _ = bare(data)
	}
	return data, nil
}

// bares give, for each kind of picture, what of a file is carried, and the orientation that a browser shows it by: a
// number from 1 to 8 as in Exif, above 4 where width and height change places, or 0.
var bares = map[string]func(data []byte) (bare []byte, orientation int){
	"jpeg": bareJPEG, "png": barePNG, "webp": bareWebP, "gif": bareGIF,
}

// What a file consists of is kept by list, so that a kind nobody thought of here is left out. The parts that
// are cut short by the end of the file, and what follows the picture's own end (a telephone appends a film,
// or smaller copies with all their words), are no part of the picture.

// bareJPEG keeps the segments that a decoder needs: tables, frames and scans, the JFIF head, the colour
// profile, and Adobe's note of the colour space. Of Exif it keeps the orientation, which a browser applies.
// (ITU-T T.81, annex B; JFIF: T.871; ICC.1:2010, annex B.4. From memory.)
func bareJPEG(data []byte) (out []byte, turned int) {
	const start, end, scan, temporary = 0xd8, 0xd9, 0xda, 0x01
	out = append(make([]byte, 0, len(data)), 0xff, start)
	first := true // of the Exif segments before the picture itself: readers go by no other
	for at := 2; ; {
		mark := bytes.IndexByte(data[min(at, len(data)):], 0xff) // bytes before a marker are passed over, as decoders do
		if mark < 0 {
			return out, turned
		}
		for at += mark; at < len(data) && data[at] == 0xff; at++ { // a marker may have fill bytes
		}
		if at >= len(data) {
			return out, turned
		}
		marker := data[at]
		at++
		switch {
		case marker == end:
			return append(out, 0xff, end), turned
		case marker == 0, marker == temporary, marker == start, marker >= 0xd0 && marker <= 0xd7: // alone, and out of place here
			continue
		case at+2 > len(data):
			return out, turned
		}
		next := at + int(binary.BigEndian.Uint16(data[at:]))
		if next < at+2 || next > len(data) {
			return out, turned
		}
		segment := data[at+2 : next]
		if exif, ok := bytes.CutPrefix(segment, []byte("Exif\x00\x00")); ok && marker == 0xe1 {
			if o := orientation(exif); o > 1 && first {
				turned = o
				kept := append([]byte("Exif\x00\x00"), orientationOnly(o)...)
				out = append(out, 0xff, marker)
				out = binary.BigEndian.AppendUint16(out, uint16(len(kept)+2))
				out = append(out, kept...)
			}
			first = false
		} else if neededSegment(marker, segment) {
			out = append(append(out, 0xff, marker), data[at:next]...)
		}
		if at = next; marker == scan {
			first = false
			at = scanEnd(data, next)
			out = append(out, data[next:at]...)
		}
	}
}

func neededSegment(marker byte, segment []byte) bool {
	switch {
	case marker == 0xe0:
		return bytes.HasPrefix(segment, []byte("JFIF\x00"))
	case marker == 0xe2:
		return bytes.HasPrefix(segment, []byte("ICC_PROFILE\x00"))
	case marker == 0xee:
		return bytes.HasPrefix(segment, []byte("Adobe"))
	}
	return marker >= 0xc0 && marker <= 0xdf // frames, tables, scans; the others of the range stand alone
}

// scanEnd is where the coded picture that starts at a place ends: before the next marker but those that
// restart it.
func scanEnd(data []byte, at int) int {
	for at < len(data) {
		mark := bytes.IndexByte(data[at:], 0xff)
		if mark < 0 || at+mark+1 >= len(data) {
			break
		}
		at += mark
		if next := data[at+1]; next != 0 && next != 0xff && (next < 0xd0 || next > 0xd7) {
			return at
		}
		if at++; data[at] != 0xff {
			at++
		}
	}
	return len(data)
}

// orientationOnly is a TIFF file with nothing but an orientation in it, as Exif is kept in.
func orientationOnly(o int) []byte {
	tiff := []byte("MM\x00*\x00\x00\x00\x08" + "\x00\x01" + "\x01\x12\x00\x03\x00\x00\x00\x01")
	tiff = binary.BigEndian.AppendUint16(tiff, uint16(o))
	return append(tiff, 0, 0, 0, 0, 0, 0) // the value's other half; no further directory
}

// neededChunks are those that say how a PNG looks (PNG, 3rd edition, chapter 11, from memory).
const neededChunks = " IHDR PLTE IDAT IEND tRNS gAMA cHRM sRGB iCCP cICP mDCV cLLI sBIT bKGD hIST pHYs sPLT acTL fcTL fdAT "

func barePNG(data []byte) (out []byte, turned int) {
	const signature, frame = 8, 12 // bytes; length, kind and checksum of a chunk
	first := true                  // of the orientations before the picture itself: readers go by no other
	out = append(make([]byte, 0, len(data)), data[:min(signature, len(data))]...)
	for at := signature; at+frame <= len(data); {
		length := uint64(binary.BigEndian.Uint32(data[at:]))
		if length > uint64(len(data)-at-frame) {
			break
		}
		next := at + frame + int(length)
		kind := string(data[at+4 : at+8])
		if kind == "eXIf" {
			if o := orientation(data[at+8 : next-4]); o > 1 && first {
				turned = o
				kept := append([]byte(kind), orientationOnly(o)...)
				out = binary.BigEndian.AppendUint32(out, uint32(len(kept)-4))
				out = append(out, kept...)
				out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(kept))
			}
			first = false
		} else if strings.Contains(neededChunks, " "+kind+" ") {
			out = append(out, data[at:next]...)
			first = first && kind != "IDAT"
		}
		if at = next; kind == "IEND" {
			break
		}
	}
	return out, turned
}

// bareWebP keeps the chunks that show the picture, and notes in the head that the others are gone (RFC 9649,
// section 2.7, from memory). An orientation stays for other programs: Chromium passes over it.
func bareWebP(data []byte) (out []byte, turned int) {
	const head, frame = 12, 8 // bytes
	if len(data) < head {
		return data, 0
	}
	out = append(make([]byte, 0, len(data)), data[:head]...)
	flags := 0 // where the extended head keeps them
	for at := head; at+frame <= len(data); {
		length := uint64(binary.LittleEndian.Uint32(data[at+4:]))
		if length > uint64(len(data)-at-frame) {
			break
		}
		next := min(at+frame+int(length+length%2), len(data))
		switch kind := string(data[at : at+4]); kind {
		case "VP8X":
			if flags = len(out) + frame; length > 0 {
				out = append(out, data[at:next]...)
				out[flags] &^= exifFlag | xmpFlag
			}
		case "VP8 ", "VP8L", "ALPH", "ICCP", "ANIM", "ANMF":
			out = append(out, data[at:next]...)
		case "EXIF":
			exif := bytes.TrimPrefix(data[at+frame:at+frame+int(length)], []byte("Exif\x00\x00"))
			if o := orientation(exif); o > 1 && flags > 0 && flags < len(out) {
				kept := orientationOnly(o)
				out = append(out, kind...)
				out = binary.LittleEndian.AppendUint32(out, uint32(len(kept)))
				out = append(out, kept...)
				out[flags] |= exifFlag
			}
		}
		at = next
	}
	binary.LittleEndian.PutUint32(out[4:], uint32(len(out)-frame))
	return out, 0
}

const exifFlag, xmpFlag = 0x08, 0x04

// bareGIF keeps the frames, what says how they are shown, and of what programs add only how often the frames are to
// be repeated and the colour profile (GIF89a; the two from memory).
func bareGIF(data []byte) (out []byte, turned int) {
	const head, descriptor = 13, 10 // bytes: signature and screen; a frame's, with its mark
	const frame, extension, end, comment, application = 0x2c, 0x21, 0x3b, 0xfe, 0xff
	colours := func(flags byte) int { // the bytes of a colour table
		if flags&0x80 == 0 {
			return 0
		}
		return 3 << (flags&7 + 1)
	}
	if len(data) < head {
		return data, 0
	}
	at := head + colours(data[10])
	if at > len(data) {
		return data, 0
	}
	out = append(make([]byte, 0, len(data)), data[:at]...)
	for at < len(data) {
		next, kept := at, true
		switch data[at] {
		case frame:
			if at+descriptor > len(data) {
				return append(out, data[at:]...), 0
			}
			next = subBlocksEnd(data, at+descriptor+colours(data[at+9])+1) // the size of a code stands between
		case extension:
			if at+2 > len(data) {
				return out, 0
			}
			next = subBlocksEnd(data, at+2)
			kept = data[at+1] != comment && (data[at+1] != application || neededApplication(data[at+2:next]))
		case end:
			return append(out, end), 0
		default: // nothing of a GIF, where decoders stop
			return out, 0
		}
		if kept {
			out = append(out, data[at:next]...)
		}
		at = next
	}
	return out, 0
}

func neededApplication(blocks []byte) bool {
	for _, name := range []string{"NETSCAPE2.0", "ANIMEXTS1.0", "ICCRGBG1012"} {
		if bytes.HasPrefix(blocks, append([]byte{byte(len(name))}, name...)) {
			return true
		}
	}
	return false
}

// subBlocksEnd is where a chain of blocks that each begin with their length ends: behind an empty one, or with the file.
func subBlocksEnd(data []byte, at int) int {
	for at < len(data) && data[at] != 0 {
		at += 1 + int(data[at])
	}
	return min(at+1, len(data))
}
