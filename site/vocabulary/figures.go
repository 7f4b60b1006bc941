package vocabulary

// Figures are what a block can put on the page.
var Figures = []Entry{
	{
		Name: "Curves",
		Words: "Curves draws lines over an axis, with bands of 95 % where values are uncertain, and gaps where there is no value. " +
			"X may be any value that varies over one axis, not only the axis itself.",
		Fields: []Field{
			{"X", "value", "along the bottom", true},
			{"Y", "value", "upwards", true},
			{"By", "axis", "one line for each of its values; left out: one line", false},
			{"Panels", "axis", "one plot for each of its values, side by side on the same scales; left out: one plot", false},
			{"XIn", "unit", "left out: that of the field, in the system of units that the reader has chosen", false},
			{"YIn", "unit", "the same for Y", false},
			{"Readings", "list of Points", "measured points, laid over the lines", false},
			{"Limits", "list of Limit", "what Y is held against: neutral lines, with the bad side shaded", false},
		},
	},
	{
		Name:  "Contours",
		Words: "Contours draws a value over two axes as lines of equal value, and shades what is out of reach.",
		Fields: []Field{
			{"X", "value", "along the bottom; varies over one axis", true},
			{"Y", "value", "upwards; varies over another", true},
			{"Z", "value", "what the lines are of", true},
			{"Levels", "list", "the values that get a line, as made by list; left out: round ones", false},
			{"ZIn", "unit", "left out: that of the field", false},
			{"Panels", "axis", "one map for each of its values; left out: one map", false},
			{"Until", "value", "what Z is at the edge of what is in reach, where it is known: the map then ends there and not at the last point; left out: not known", false},
		},
	},
	{
		Name:  "Bars",
		Words: "Bars draws one value for each choice, with its 95 % interval where it is uncertain.",
		Fields: []Field{
			{"X", "axis", "the choices", true},
			{"Y", "value", "the length of the bars", true},
			{"By", "axis", "bars side by side in each group; left out: one bar", false},
			{"YIn", "unit", "left out: that of the field", false},
		},
	},
	{
		Name: "Histogram",
		Words: "Histogram shows how an uncertain value is spread: the share of its draws in each of 30 equal bins, the same for all positions of a dial, " +
			"and its 95 % interval. It tells a lopsided value from an even one, which a band can't.",
		Fields: []Field{
			{"X", "value", "the uncertain value", true},
			{"By", "axis", "one histogram for each of its values; left out: one", false},
			{"XIn", "unit", "left out: that of the field", false},
		},
	},
	{
		Name:  "Table",
		Words: "Table sets values in rows and columns. A value that isn't there is a dash, and the caption counts them.",
		Fields: []Field{
			{"Rows", "axis", "one row for each of its values; left out: one row", false},
			{"By", "axis", "each column once for each of its values; left out: once", false},
			{"Columns", "list of Column", "from left to right", true},
		},
	},
	{
		Name: "Drawing",
		Words: "Drawing shows a vehicle's left front corner to scale: steering axis, arms, rod, tyre, trail and scrub radius. " +
			"With Pose a slider moves it, and the cursor of every curve on the page over that axis, and numbers in the text and gauges over that axis follow.",
		Fields: []Field{
			{"Vehicle", "Vehicle", "what is drawn", true},
			{"View", "text", `"front", "side", "top" or "oblique"`, true},
			{"By", "axis", "one drawing for each of its values; left out: one", false},
			{"Sweep", "yes or no", "the tyre's way past the obstacles near it, over lock and travel; left out: no", false},
			{"Points", "yes or no", "each measured point's name and coordinates, as they are typed, and where it is uncertain the ellipse in which it lies with 95 %; left out: no", false},
			{"Both", "yes or no", "the right side, mirrored, over the left one, so that it shows what was measured wrong on one side; left out: no", false},
			{"Bump", "mm", "how far the wheel is up; left out: 0", false},
			{"Rack", "mm", "how far the rack is out, + to turn left; left out: 0", false},
			{"Pose", "axis", "positions to move through, made by span or list, in a walk also Choices, one for each step; left out: one position", false},
			{"Ghost", "Vehicle", "drawn faint behind, as it rests; left out: none", false},
		},
	},
	{
		Name:   "Gauges",
		Words:  "Gauges shows a few quantities as labelled strips, each with where it stands and a limit. They follow dials and poses.",
		Fields: []Field{{"Rows", "list of Gauge", "from the top down", true}},
	},
	{
		Name: "Zones",
		Words: "Zones divides strips along one scale into named parts: where a quantity is too little, right, too much or out of reach. " +
			"A mark runs through all strips. An end that is uncertain has its 95 % interval.",
		Fields: []Field{
			{"Along", "text", "what the scale is of", true},
			{"In", "unit", "left out: that of the field", false},
			{"Rows", "list of Zone", "strip by strip, each from left to right", true},
			{"Mark", "value", "a place marked on all strips; left out: none", false},
			{"MarkHead", "text", "what stands over the mark; left out: nothing", false},
		},
	},
	{
		Name: "Sheet",
		Words: "Sheet is one page to print for the alignment shop: what to set, how near, and where the adjusters should come to stand. " +
			"A target that can't be reached is refused.",
		Fields: []Field{
			{"Set", "AlignTo", "what AlignTo gave", true},
			{"Allow", "Allowance", "how near is near enough; left out: 0.25° of camber, 0.5° of caster, 0.05° of toe", false},
			{"Before", "readings or Alignment", "how it stood before; left out: not printed", false},
			{"Pressures", "Pressures", "of the tyres while it is measured; left out: the vehicle's Tyre.Pressure, or a blank", false},
			{"RideHeight", "length", "from hub to arch, while it is measured; left out: a blank to fill in", false},
			{"Load", "text", "what it carries while it is measured; left out: \"as it stands\"", false},
			{"Notes", "list of text", "[]string{\"…\"}, lines to the shop; left out: none", false},
		},
	},
	{
		Name:  "Outcome",
		Words: "Outcome sets side by side, for each angle, what was asked of AlignTo, what it predicts, what the shop's printout says and how far that is from what was asked.",
		Fields: []Field{
			{"Set", "AlignTo", "what AlignTo gave, reached or not", true},
			{"Printed", "readings", "the printout: rows Left and Right, columns such as Caster (deg)", true},
		},
	},
	{
		Name: "Card",
		Words: "Card is one or two pages to print and measure a corner with: its points numbered on sketches, a blank for each reading, what to take it with and how; the same is a file to fill in. " +
			"With Survey it shows what was read, by how much it is off, and what to read again.",
		Fields: []Field{
			{"Vehicle", "Vehicle", "rough will do; left out: Survey is given", false},
			{"Survey", "Survey", "what Survey gave; left out: a card to fill in", false},
		},
	},
	{
		Name: "Fitting",
		Words: "Fitting is one page to print for whoever fits the upper arms: caliper readings and turns for each leg, spacers at each pivot, how far unequal legs lean the eyes, " +
			"how far the rubber twists over the travel, what to measure before and after.",
		Fields: []Field{
			{"Set", "AlignTo", "what AlignTo gave, with UseUpper", true},
			{"Bench", "Bench", "how the arm measures on the bench; left out: the page tells changes alone", false},
			{"Notes", "list of text", "[]string{\"…\"}, lines to whoever does it; left out: none", false},
		},
	},
	{
		Name: "Claim",
		Words: "Claim is a statement that is checked at every dial position, point and choice, and of uncertain values with a probability. " +
			"The page shows whether it holds, and where it fails first, and so does turnplate verify.",
		Fields: []Field{
			{"Text", "text", "what is claimed; numbers in braces are calculated", true},
			{"Holds", "yes or no", "a comparison", true},
			{"Odds", "number", "the least probability over draws; left out: 0.95", false},
		},
	},
	{
		Name:  "Exercise",
		Words: "Exercise is a question whose answer is calculated, and folded away until a reader asks for it.",
		Fields: []Field{
			{"Ask", "text", "the question", true},
			{"Answer", "value", "one number, yes or no, or text", true},
			{"In", "unit", "of the answer; left out: that of the field", false},
			{"Within", "value", "how close a reader's answer must be; left out: not said", false},
			{"Working", "text", "how one gets there; left out: not shown", false},
		},
	},
}

// Pieces only stand inside a figure.
var Pieces = []Entry{
	{
		Name:  "Points",
		Words: "Points is one set of measured points of Curves, mostly two columns of a file of readings.",
		Fields: []Field{
			{"X", "value", "along the bottom", true},
			{"Y", "value", "upwards", true},
			{"Label", "text", `what they are called; left out: "Measured"`, false},
			{"Error", "value", "how far either way Y may be out, drawn as a bar: one number, or a column; left out: no bars", false},
		},
	},
	{
		Name:  "Limit",
		Words: "Limit is a limit or threshold of Curves: a neutral line with its name, and its bad side shaded.",
		Fields: []Field{
			{"Label", "text", "what it is called", true},
			{"Value", "value", "where it stands: one number, or one that varies over the axis of X", true},
			{"Better", "text", `"more" or "less": the good side, of Y; left out: neither`, false},
			{"Beyond", "text", "what the other side is called, written into it; left out: nothing", false},
		},
	},
	{
		Name:  "Column",
		Words: "Column is one column of a Table.",
		Fields: []Field{
			{"Head", "text", "its heading", true},
			{"Value", "value", "a number, yes or no, or text for each row", true},
			{"In", "unit", "left out: that of the field", false},
			{"To", "number", "rounding step in that unit, such as 0.1; left out: as fits the value", false},
		},
	},
	{
		Name:  "Gauge",
		Words: "Gauge is one strip of Gauges.",
		Fields: []Field{
			{"Head", "text", "its name", true},
			{"Value", "value", "where it stands", true},
			{"In", "unit", "left out: that of the field", false},
			{"To", "number", "rounding step in that unit; left out: as fits the value", false},
			{"From", "value", "the left end", true},
			{"Until", "value", "the right end", true},
			{"Limit", "value", "a mark; left out: none", false},
			{"Better", "text", `"more" or "less": the good side of Limit`, false},
		},
	},
	{
		Name:  "Zone",
		Words: "Zone is one part of a strip of Zones.",
		Fields: []Field{
			{"Strip", "text", "the strip that it is on; zones one after the other with the same words share one", true},
			{"Head", "text", "its name", true},
			{"From", "value", "where it begins", true},
			{"Until", "value", "where it ends", true},
			{"Is", "text", `"good", "fair", "poor" or "out of reach"`, true},
		},
	},
	{
		Name:  "Bench",
		Words: "Bench is how the upper arm of a Fitting measures on the bench, before anything is changed.",
		Fields: []Field{
			{"FrontLeg", "mm", "a caliper's reading on the front leg; left out: changes alone", false},
			{"RearLeg", "mm", "the same on the rear leg", false},
			{"LegPitch", "mm", "how much longer a leg is for one turn; left out: no turns", false},
			{"Spacer", "mm", "thickness of one spacer; left out: no count of them", false},
		},
	},
	{
		Name:  "Allowance",
		Words: "Allowance is how near to its targets a Sheet wants the angles set.",
		Fields: []Field{
			{"Camber", "°", "either way; left out: 0.25°", false},
			{"Caster", "°", "either way; left out: 0.5°", false},
			{"Toe", "°", "either way, for one wheel; left out: 0.05°", false},
		},
	},
	{
		Name:  "Pressures",
		Words: "Pressures is what a Sheet wants the tyres to have while the truck is measured.",
		Fields: []Field{
			{"Front", "kPa", "both front tyres", true},
			{"Rear", "kPa", "both rear tyres", true},
		},
	},
}
