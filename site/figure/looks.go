package figure

import "slices"

// Looks says by number how each label's line, bar or reading is drawn (ink, dash, marker, texture), so that a label looks
// the same in every figure of a site. A label without a number takes one that the others of its figure leave free.
type Looks map[string]int

// LooksOf gives looks to the labels of a site from the sets in which they are shown together. In the order of the
// sets each label takes the first look that none of those shown with it has, so that labels of one set differ.
func LooksOf(sets [][]string) Looks {
	beside := map[string][]string{}
	for _, set := range sets {
		for _, label := range set {
			beside[label] = append(beside[label], set...)
		}
	}
	looks := Looks{}
	for _, set := range sets {
		for _, label := range set {
			if _, known := looks[label]; known {
				continue
			}
			var taken []int
			for _, other := range beside[label] {
				if look, known := looks[other]; known {
					taken = append(taken, look)
				}
			}
			looks[label] = firstLeft(taken)
		}
	}
	return looks
}

// of are the looks of a figure's labels, all different.
func (looks Looks) of(labels []Words) []int {
	out := slices.Repeat([]int{-1}, len(labels))
	var taken []int
	for i, label := range labels {
		if look, known := looks[label.Metric]; known && !slices.Contains(taken, look) {
			out[i], taken = look, append(taken, look)
		}
	}
	for i := range out {
		if out[i] < 0 {
			out[i] = firstLeft(taken)
			taken = append(taken, out[i])
		}
	}
	return out
}

func firstLeft(taken []int) int {
	i := 0
	for slices.Contains(taken, i) {
		i++
	}
	return i
}

// Dress gives a figure the looks of its site's labels, before it is drawn.
func Dress(f Figure, looks Looks) { f.dress(looks) }

func (h *Head) dress(looks Looks) { h.looks = looks }
