package share

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"image"
	"image/color"
	"slices"
)

// most colours that a picture keeps. A drawing has a dozen; the rest are their blends at edges, of which
// the eye misses none.
const most = 64

// Blends that differ only in the last bits count as one.
const groups = 1 << 15

func group(pixel []uint8) int {
	return int(pixel[0]>>3)<<10 | int(pixel[1]>>3)<<5 | int(pixel[2]>>3)
}

// reducer makes pictures with few colours. It is used again and again, because it takes a megabyte.
type reducer struct {
	count [groups]int        // pixels; zero between pictures
	first [groups]color.RGBA // what stands for the group
	index [groups]uint8      // in the palette
	used  []int              // groups
	runs  []run
	out   image.Paletted
}

// run is so many pixels of one colour, one after another.
type run struct{ group, pixels int32 }

// reduced is a picture with few colours, a fifth of the weight: those it was painted with, the most frequent
// blends of them, and for each other the nearest of these. It stands until the next one.
func (r *reducer) reduced(src *image.RGBA, painted []color.NRGBA) image.Image {
	r.used, r.runs = r.used[:0], r.runs[:0]
	for i := 0; i < len(src.Pix); {
		n, pixel := alike(src.Pix[i:]), src.Pix[i:]
		g := group(pixel)
		if r.count[g] == 0 {
			r.first[g] = color.RGBA{pixel[0], pixel[1], pixel[2], 255}
			r.used = append(r.used, g)
		}
		r.count[g] += n
		r.runs = append(r.runs, run{int32(g), int32(n)})
		i += 4 * n
	}
	slices.SortFunc(r.used, func(a, b int) int { return cmp.Or(cmp.Compare(r.count[b], r.count[a]), cmp.Compare(a, b)) })
	var kept []color.RGBA
	for _, c := range painted {
		if c := color.RGBA(c); !slices.Contains(kept, c) && len(kept) < most/2 {
			kept = append(kept, c)
		}
	}
	for _, g := range r.used[:min(len(r.used), most-len(kept))] {
		kept = append(kept, r.first[g])
	}
	for _, g := range r.used {
		r.index[g], r.count[g] = nearest(kept, r.first[g]), 0
	}
	r.out.Palette = r.out.Palette[:0]
	for _, c := range kept {
		r.out.Palette = append(r.out.Palette, c)
	}
	if size := len(src.Pix) / 4; len(r.out.Pix) != size {
		r.out.Pix = make([]uint8, size)
	}
	r.out.Stride, r.out.Rect = src.Rect.Dx(), src.Rect
	rest := r.out.Pix
	for _, run := range r.runs {
		fill(rest[:run.pixels], r.index[run.group])
		rest = rest[run.pixels:]
	}
	return &r.out
}

// nearest gives the place of the colour that is least different; of several, the first.
func nearest(palette []color.RGBA, c color.RGBA) (place uint8) {
	square := func(a, b uint8) int { return (int(a) - int(b)) * (int(a) - int(b)) }
	least := -1
	for i, k := range palette {
		d := square(k.R, c.R) + square(k.G, c.G) + square(k.B, c.B)
		if least < 0 || d < least {
			place, least = uint8(i), d
		}
	}
	return place
}

// alike counts the pixels at the start that have one colour. Most of a picture is paper, so long stretches are
// compared at once.
func alike(pixels []uint8) int {
	const stretch = 128
	one := binary.NativeEndian.Uint32(pixels)
	two := uint64(one)<<32 | uint64(one)
	same := 4 // bytes known to have it
	for same+8 <= len(pixels) && binary.NativeEndian.Uint64(pixels[same:]) == two {
		if same += 8; same < stretch {
			continue
		}
		for same+stretch <= len(pixels) && bytes.Equal(pixels[same:same+stretch], pixels[:stretch]) {
			same += stretch
		}
	}
	if same+4 <= len(pixels) && binary.NativeEndian.Uint32(pixels[same:]) == one {
		same += 4
	}
	return same / 4
}

// fill is quickest with 0, which is the paper: what is painted first is first in the palette.
func fill(pixels []uint8, with uint8) {
	if with == 0 {
		clear(pixels)
		return
	}
	for i := range pixels {
		pixels[i] = with
	}
}
