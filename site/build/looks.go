package build

import (
	"path"
	"slices"

	"turnplate/site/collection"
	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/notebook"
)

// labelled is a notebook with the labels that it shows together.
type labelled struct {
	*notebook.Notebook
	sets [][]string
}

// labels reads every notebook's labels; those known of the same notebook are taken over.
func labels(c *collection.Collection, known map[string]labelled) map[string]labelled {
	out := map[string]labelled{}
	for _, p := range c.Paths() {
		nb, err := c.Notebook(p)
		if err != nil {
			continue
		}
		if out[p] = known[p]; known[p].Notebook != nb {
			out[p] = labelled{nb, eval.Labels(c, nb)}
		}
	}
	return out
}

// looks are those of a whole collection's labels, whichever of its pages are made, and in whatever order.
func looks(c *collection.Collection, all map[string]labelled) figure.Looks {
	var sets [][]string
	for _, p := range c.Paths() {
		sets = append(sets, all[p].sets...)
	}
	return figure.LooksOf(sets)
}

// readings tells whether files of readings are among some files.
func readings(files []string) bool {
	return slices.ContainsFunc(files, func(file string) bool { return path.Ext(file) == ".csv" })
}
