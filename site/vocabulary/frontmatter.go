package vocabulary

// FrontKeys are the keys of front matter, the lines between dashes at the very top of a notebook.
var FrontKeys = []Field{
	{"title", "text", "left out: the first heading", false},
	{"summary", "text", "a sentence under the title and in lists", false},
	{"order", "number", "pages are ordered by it, then by file name; left out: 0", false},
	{"date", "date", "as 2026-03-31", false},
	{"author", "text", "who wrote it", false},
	{"units", "text", "metric or us, the system that the page starts in; left out: metric", false},
	{"draft", "yes or no", "true leaves the page out; left out: false", false},
	{"draws", "number", "of each uncertain value, from 1 to 100000; left out: 1000", false},
	{"yours", "text", "the vehicle of this notebook, such as truck, that readers may put their own in the place of; left out: none", false},
	{"currency", "text", "what money is printed as, such as € or USD; left out: money", false},
}
