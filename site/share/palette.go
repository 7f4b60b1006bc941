package share

import (
	"cmp"
	"encoding/binary"
	"image"
	"image/color"
	"slices"
)

// most colours that a picture keeps. A drawing has a dozen; the rest are their blends at edges, of which
// the eye misses none.
const most = 64

// reduced is a picture with few colours, a fifth of the weight: those it was painted with, the most frequent
// blends of them, and for each other the nearest of these.
func reduced(src *image.RGBA, painted []color.NRGBA) image.Image {
	// Blends that differ only in the last bits count as one.
	const groups = 1 << 15
	group := func(i int) int {
		return int(src.Pix[i]>>3)<<10 | int(src.Pix[i+1]>>3)<<5 | int(src.Pix[i+2]>>3)
	}
	var count [groups]int
	var first [groups]color.RGBA // what stands for the group
	var used []int
	for i := 0; i < len(src.Pix); {
		run := alike(src.Pix[i:])
		g := group(i)
		if count[g] == 0 {
			first[g] = color.RGBA{src.Pix[i], src.Pix[i+1], src.Pix[i+2], 255}
			used = append(used, g)
		}
		count[g] += run
		i += 4 * run
	}
	slices.SortFunc(used, func(a, b int) int { return cmp.Or(cmp.Compare(count[b], count[a]), cmp.Compare(a, b)) })
	var kept color.Palette
	for _, c := range painted {
		if !slices.Contains(kept, color.Color(c)) && len(kept) < most/2 {
			kept = append(kept, c)
		}
	}
	for _, g := range used[:min(len(used), most-len(kept))] {
		kept = append(kept, first[g])
	}
	var index [groups]uint8
	for _, g := range used {
		index[g] = uint8(kept.Index(first[g]))
	}
	out := image.NewPaletted(src.Bounds(), kept)
	for i := 0; i < len(out.Pix); {
		c := index[group(4*i)]
		for range alike(src.Pix[4*i:]) {
			out.Pix[i] = c
			i++
		}
	}
	return out
}

// alike counts the pixels at the start that have one colour: most of a picture is paper.
func alike(pixels []uint8) (n int) {
	first := binary.NativeEndian.Uint32(pixels)
	for n = 1; 4*n < len(pixels) && binary.NativeEndian.Uint32(pixels[4*n:]) == first; n++ {
	}
	return n
}
