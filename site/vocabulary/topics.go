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

// Topics are told in sentences. Each name is a word that tell understands.
var Topics = []Entry{
	{
		Name: "blocks",
		Words: "Parameter blocks are fences that start with ```go params. They hold a small, safe part of Go: names with :=, assignments to names and fields with =, " +
			"expressions, calls, and literals of models, vehicles and figures. There are no loops, function literals, imports, files or network.\n\n" +
			"A third word says where a block shows: shown prints it open, hidden leaves it out of the page, lead puts what it shows at the top, under the summary, walk lets it stay beside the numbered list below while that is read. " +
			"Without one it is folded under what it shows.\n\n" +
			"Assignment copies. A name or field can't change once something has used it, so that a page has one value for a name. " +
			"Operators are + - * /, the comparisons < <= > >= == !=, and && || ! for yes and no.",
		Example: "tall := truck\ntall.Both.Lift = 50*mm\nnow := Alignment{Vehicle: tall}",
		Prose:   "Lifted, it has {now.Caster in deg to 0.1} of caster.",
	},
	{
		Name: "choices",
		Words: "Choices are labelled alternatives of any one type: numbers, tyres, whole vehicles. What is calculated from them varies over the same axis, " +
			"and .At picks one by its label.",
		Example: "arm := Choices{\"As it is\": truck.Front.Adjust.UpperShift, \"With spacers\": 8*mm}\ncar := truck\ncar.Both.Adjust.UpperShift = arm\nnow := Alignment{Vehicle: car}\n" +
			"Bars{X: arm, Y: now.Caster, YIn: deg}",
		Prose: "Spacers give {now.Caster.At(arm, \"With spacers\") in deg to 0.1}.",
	},
	{
		Name: "both",
		Words: "Both writes a field of both front corners: car.Both.Lift writes Front.Lift, and Right.Lift where the vehicle has a Right of its own. " +
			"It is for writing only, and not in literals.",
		Example: "car := truck\ncar.Both.Adjust.UpperShift = 12*mm\nnow := Alignment{Vehicle: car}",
		Prose:   "With spacers on both sides it has {now.Caster in deg to 0.1} of caster.",
	},
	{
		Name: "doubts",
		Words: "Doubts are about what can be in a vehicle but hardly ever is, such as pounds typed as kilograms or a point far from its mirror. Each stands at the line where the field was written, " +
			"with what is usual, where that comes from, and what to look at; they stop nothing. What can't be is a mistake.\n\n" +
			"A vehicle's Measured lists fields that were checked twice. It ends the doubts about them, and all below them, until they are written again.",
		Example: "car := truck\ncar.Wheelbase = 1750*mm\ncar.Measured = []string{\"Wheelbase\"}\nnow := Alignment{Vehicle: car}",
		Prose:   "A very short one: {car.Wheelbase in mm}.",
	},
	{
		Name: "measuring",
		Words: "What is beside the points is measured with scales, strings, weights and a spring balance, each reading given with its spread.\n\n" +
			"Masses and centre of mass: scales under each axle, level and with the rear raised, springs blocked (model Weighing); two people's care, 2 kg and 5 mm, give the height to some centimetres. " +
			"Wheel inertia: the whole wheel on two strings, twisted and timed (WheelInertia); twenty swings by a watch, to 2 percent. " +
			"Spring: known weights on the bumper, and how far hub and arch come together; that wheel rate over MotionRatio squared (Travel) is the coil's Rate, bar and bushes counted. " +
			"Tyre: load by load, how far hub and floor come together, the rise of load for it VerticalStiffness.\n\n" +
			"Joint limits: swung by hand, arm in a vice, from stop to stop; half of that is the limit, to 1 degree. Stud directions: along the boss, by square from the chalked lines, as a direction at(x, y, z) of any length, to 2 degrees. " +
			"Steering.KingpinFriction: the knuckle turned at the tie rod's end by a spring balance, tie rod off, times that arm. Steering.Friction: the model means the force that keeps the rack sliding, tie rods off, engine on; " +
			"from a pull at the rim it is 2 pi times Efficiency times pull times radius over RackPerTurn. With the engine off, pump or motor drag along, and it reads too high; with the engine on, a pull above AssistOnset is helped, and reads too low. " +
			"Assistance: the same pull at the rim with the wheels on the ground, engine off and on; the gain is what the difference says at one force of the rack.\n\n" +
			"Chock the wheels; nobody under a vehicle that isn't on stands on firm ground; an assisted rack moves at a touch, and a coil without its damper can fly. " +
			"Have work on springs and steering checked by a qualified technician.",
		Example: "front  := normal(1120*kg, 2*kg)\nraised := normal(1172*kg, 2*kg)\nscales := Weighing{Vehicle: truck, Front: front, Rear: 970*kg, FrontRaised: raised, Rise: 700*mm}",
		Prose:   "The centre of mass is {scales.CentreHeight in mm to 10} up.",
	},
	{
		Name: "numbers",
		Words: "Numbers in prose stand in braces: {expr in unit} or {expr in unit to 0.1}. They work in paragraphs, headings, lists, table cells, titles, captions and claims. " +
			"A plain number, a text or a yes and no needs no unit.\n\n" +
			"An uncertain value prints with half its 95 % interval, 4.1 ± 0.3°; one that depends on a dial follows the slider. Any other axis left over is a mistake: " +
			"pick from it with .At, .Min or .Max. Braces that don't have this form are left alone, and \\{ always is.",
		Example: "now := Alignment{Vehicle: truck}",
		Prose:   "The trail is {now.Trail in mm to 1}.",
	},
	{
		Name:   "front-matter",
		Words:  "Front matter is optional: lines of the form key: value, between two lines of three dashes at the very top of a notebook.",
		Fields: FrontKeys,
	},
	{
		Name: "readings",
		Words: "Readings are your own measurements in a CSV file of the collection: a line of headings and a row for each measurement. A heading Total toe (deg) becomes the field TotalToe, in degrees. " +
			"A column without a unit is text or plain numbers, the first column of words labels the rows, and a blank is absent.\n\n" +
			"Columns may be parted by commas, semicolons or tabs, and numbers may have a decimal comma where semicolons or tabs part the columns, as spreadsheets write them.\n\n" +
			"Prices and properties of parts fit in such a file too: each row is a choice, by its label.",
		Prose:   "The left wheel read {left in deg to 0.1}.",
		Example: "r := readings(\"printout.csv\")\nleft := r.Caster.At(r.Caster, \"Left\")",
	},
}
