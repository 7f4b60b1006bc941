package vocabulary

// The groups of functions, in order.
const (
	Axes        = "What makes an axis"
	Uncertainty = "Uncertainty"
	Numbers     = "Numbers"
	Along       = "Along an axis"
	Made        = "Points, tyres, files"
	OnValues    = "On a value"
)

// Groups lists them.
var Groups = []string{Axes, Uncertainty, Numbers, Along, Made, OnValues}

// Functions are what can be called by name.
var Functions = []Function{
	{"span", "span(from, to, count)", 3, 3, Axes, "gives evenly spaced values from one end to the other, both included: an axis of its own, named after what it is assigned to.", "lean := span(0*deg, 8*deg, 33)"},
	{"list", "list(a, b, c)", 1, Any, Axes, "gives an axis of just these values.", "speeds := list(30*kph, 60*kph, 90*kph)"},
	{"dial", "dial(value, from, to, count)", 4, 4, Axes, "gives a slider for the reader. The page starts at the value, which is one of the positions; each position is calculated when the site is written.", "lean := dial(4*deg, 0*deg, 8*deg, 17)"},
	{"normal", "normal(mean, sd)", 2, 2, Uncertainty, "gives a value with a normal distribution of this standard deviation. Each call is a source of its own; its draws follow from the notebook's path and the name, so the same notebook gives the same numbers.", "heavy := normal(31*kg, 1*kg)"},
	{"uniform", "uniform(lo, hi)", 2, 2, Uncertainty, "gives a value that is as likely anywhere from lo to hi.", "grip := uniform(0.6, 0.9)"},
	{"triangular", "triangular(lo, mode, hi)", 3, 3, Uncertainty, "gives a value from lo to hi that is likeliest at mode.", "price := triangular(90*money, 120*money, 200*money)"},
	{"mean", "mean(uncertain)", 1, 1, Uncertainty, "gives the mean over the draws, and leaves other axes alone.", "about := mean(normal(31*kg, 1*kg))"},
	{"quantile", "quantile(uncertain, probability)", 2, 2, Uncertainty, "gives the value that the draws stay below with this probability.", "most := quantile(normal(31*kg, 1*kg), 0.95)"},
	{"sin", "sin(angle)", 1, 1, Numbers, "gives the sine of an angle.", "half := sin(30*deg)"},
	{"cos", "cos(angle)", 1, 1, Numbers, "gives the cosine of an angle.", "most := cos(30*deg)"},
	{"tan", "tan(angle)", 1, 1, Numbers, "gives the tangent of an angle.", "rise := tan(30*deg)"},
	{"asin", "asin(number)", 1, 1, Numbers, "gives the angle whose sine a number is, from −90° to 90°; absent outside −1 to 1.", "lean := asin(0.5)"},
	{"acos", "acos(number)", 1, 1, Numbers, "gives the angle whose cosine a number is, from 0° to 180°; absent outside −1 to 1.", "lean := acos(0.5)"},
	{"atan", "atan(number)", 1, 1, Numbers, "gives the angle whose tangent a number is, from −90° to 90°.", "lean := atan(1)"},
	{"sqrt", "sqrt(number)", 1, 1, Numbers, "gives the square root, of a number with a unit too where its powers are even; absent below zero.", "side := sqrt(4*m*m)"},
	{"abs", "abs(number)", 1, 1, Numbers, "gives the size without the sign.", "far := abs(-3*mm)"},
	{"min", "min(a) or min(a, b)", 1, Any, Numbers, "gives the smaller of two or more, element by element; of one, the smallest over every axis but dials and draws.", "least := min(3*mm, 5*mm)"},
	{"max", "max(a) or max(a, b)", 1, Any, Numbers, "gives the larger of two or more, element by element; of one, the largest over every axis but dials and draws.", "most := max(3*mm, 5*mm)"},
	{"slope", "slope(y, x)", 2, 2, Along, "gives how fast y grows with x, at every point of the axis of x.", "lean := span(0*deg, 8*deg, 17)\nrise := slope(sin(lean), lean)"},
	{"crossing", "crossing(y, x, level)", 3, 3, Along, "gives the first x at which y passes a level, linear between points; absent where it never does.", "lean := span(0*deg, 60*deg, 61)\nwhen := crossing(sin(lean), lean, 0.5)"},
	{"knee", "knee(y, x)", 2, 2, Along, "gives the x past which y gains less: where it is furthest from the straight line between its ends.", "lean := span(0*deg, 80*deg, 81)\nbend := knee(sin(lean), lean)"},
	{"at", "at(x, y, z)", 3, 3, Made, "gives a point with the fields X, Y and Z: forward, to the left, up. Points add and subtract, and are multiplied by a number or a unit.", "eye := at(105, 432, 632)*mm"},
	{"tyreSize", `tyreSize("285/70R17", tyre)`, 2, 2, Made, "gives a tyre with the dimensions of a size designation and everything else from the tyre given; the page lists what was kept.", "taller := tyreSize(\"285/70R17\", truck.Tyre)"},
	{"use", `use("folder/notebook")`, 1, 1, Made, "gives all top-level names of another notebook, as fields. The path starts at the collection's folder and has no .md; draws stay shared.", "old := use(\"vehicles/truck\").truck"},
	{"readings", `readings("file.csv")`, 1, 1, Made, "gives a file of your own measurements, a field for each column. The topic readings tells how such a file is written.", "r := readings(\"printout.csv\")"},
}

// Methods are what can be called on a value.
var Methods = []Function{
	{"At", ".At(axis, value)", 2, 2, OnValues, "gives the value at a place of an axis, linear between points and never beyond the ends, or at a label of Choices, in quotes. Of a record it picks every field.", "lean := span(0*deg, 8*deg, 17)\nhere := sin(lean).At(lean, 3*deg)"},
	{"Min", ".Min() or .Min(axis)", 0, 1, OnValues, "gives the smallest over one axis, or over every axis but dials and draws.", "lean := span(0*deg, 8*deg, 17)\nleast := sin(lean).Min()"},
	{"Max", ".Max() or .Max(axis)", 0, 1, OnValues, "gives the largest over one axis, or over every axis but dials and draws.", "lean := span(0*deg, 8*deg, 17)\nmost := sin(lean).Max()"},
	{"Mean", ".Mean() or .Mean(axis)", 0, 1, OnValues, "gives the mean over one axis, or over every axis but dials and draws.", "lean := span(0*deg, 8*deg, 17)\nabout := sin(lean).Mean()"},
	{"Called", `.Called("words")`, 1, 1, OnValues, "gives the same value with its words for axes, sliders and headings, where its name taken apart (RimForce: rim force) won't do. Called right behind what makes an axis it names the axis.", "edge := dial(3*deg, 0*deg, 8*deg, 9).Called(\"caster at the cams' end\")"},
}
