package glossary

// Where a definition comes from.
const (
	memory = "ISO 8855:2011, from memory"
	trade  = "a word of the trade, not the standard's"
)

// terms are in the order of the alphabet.
var terms = []Term{
	{
		Name: "Ackermann geometry", words: "ackermann, ackermann geometry, ackermann error, !mikhail and ackermann",
		Plain: "In a turn the inner front wheel runs on a smaller circle than the outer one, so it has to be steered further. " +
			"Steering with Ackermann geometry does just that. What is missing of it is scrubbed off the tyres, at parking speed above all.",
		Standard: "The steering angles at which both front wheels roll without side slip about one centre on the rear axle's line: " +
			"the cotangents of the outer and the inner angle differ by the distance between the steering axes divided by the wheelbase.",
		Where: memory, Sign: "The error is positive when the inner wheel is steered less than that.",
	},
	{
		Name: "Anti-dive", words: "anti-dive",
		Plain: "How much of the nose's dip under braking the arms themselves hold up. It comes from tilting the arms' pivots, and costs some harshness over bumps.",
		Standard: "The share, in per cent, of the front's load transfer under braking that passes through the arms instead of the springs: brake share × tan of the angle " +
			"from the tyre's contact to the point that the arms swing about, divided by centre height over wheelbase.",
		Where: trade + "; T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 7, from memory", Sign: "Plus holds the nose up.",
	},
	{
		Name: "Arm", Other: "control arm, wishbone", words: "upper arm, upper arms, lower arm, lower arms, control arm, control arms, wishbone, wishbones",
		Plain: "A link between frame and knuckle that lets the wheel move up and down and nothing else. This kind of suspension has an upper and a lower one on each side. " +
			"A longer, shorter or shifted upper arm moves the upper ball joint, and with it caster and camber.",
		Standard: "A suspension link with two pivots on the sprung mass and one joint at the wheel carrier.", Where: memory,
		See: []string{"Ball joint", "Knuckle"},
	},
	{
		Name: "Ball joint", words: "ball joint, ball joints, upper ball joint, upper ball joints, lower ball joint, lower ball joints",
		Plain: "A ball in a socket between arm and knuckle. It lets the knuckle steer and swing, up to the angle where the stud meets the socket's edge; a lifted vehicle uses up part of that angle standing still. " +
			"It is a safety part: a joint with play is replaced, not watched.",
		Standard: "A joint that leaves all three rotations free and no movement of its centre.", Where: trade, See: []string{"Steering axis"},
	},
	{
		Name: "Bump and droop", Other: "jounce and rebound", words: "bump and droop, bump travel, droop travel, droop, full bump, in bump",
		Plain:    "Bump is the wheel moving up towards the body, droop is the wheel hanging down. How far it can go each way from where it stands is its travel; a lift on the same springs and arms takes from droop.",
		Standard: "The movement of the wheel's centre relative to the sprung mass along Z: compression or jounce upward, rebound downward.", Where: memory,
		Sign: "Bump is positive.",
	},
	{
		Name: "Bump steer", Other: "ride steer", words: "bump steer, ride steer, toe change over travel",
		Plain:    "The wheels steering themselves a little as they move up and down, because tie rod and arms swing on different circles. Felt as darting on a rough road, and worse after a lift.",
		Standard: "The change of a wheel's steer angle with its vertical movement, with the steering held.", Where: memory, See: []string{"Toe", "Bump and droop"},
	},
	{
		Name: "Bushing", Other: "bush", words: "bushing, bushings, rubber bushing, rubber bushings",
		Plain:    "A sleeve with rubber in it at the pivot of an arm. Pivots of this kind have their bolts tightened with the weight on the wheels: tightened in droop, the rubber stands twisted, lifts the vehicle a little, and tears early.",
		Standard: "A pivot that turns by twisting what it is made of, and gives a little in every direction.", Where: trade, See: []string{"Arm"},
	},
	{
		Name: "Cam bolt", Other: "eccentric bolt", words: "cam bolt, cam bolts, cam, cams, eccentric bolt, eccentric bolts",
		Plain: "A bolt through the arm's pivot with an off-centre washer. Turning it moves the pivot sideways in a slot, in or out. With one at the front and one at the rear pivot of the lower arm, " +
			"turning both together changes camber, turning them against each other changes caster.",
		Standard: "Its reach is the eccentricity times the sine of the angle turned: most of the movement comes in the first part of the turn from the middle.", Where: trade,
		Sign: "Plus moves the pivot to the left of the vehicle, on the left side outward.",
	},
	{
		Name: "Camber", words: "camber, camber angle, camber angles",
		Plain: "How far the wheel leans out of upright, seen from the front. Too much of it either way wears one shoulder of the tyre; unequal camber pulls to the side with more of it.",
		Standard: "The angle between the vehicle's Z axis and the wheel's plane, about the vehicle's X axis. A gauge held to a steered wheel reads the lean about the wheel's own heading, " +
			"which is that standard's inclination angle on level ground, and what Turnplate gives.",
		Where: memory, Sign: "Plus leans outward at the top.", See: []string{"Caster sweep"},
	},
	{
		Name: "Caster", Other: "castor", words: "caster, castor, caster angle, castor angle, caster angles",
		Plain:    "How far the steering axis leans back at the top, seen from the side. It puts the tyre's contact behind the axis, so that the wheels straighten themselves; it costs effort, and makes the outer wheel lean into a turn.",
		Standard: "The angle between the vehicle's Z axis and the steering axis, projected onto the vehicle's X-Z plane.",
		Where:    memory, Sign: "Plus leans back at the top.", See: []string{"Trail", "Caster sweep"},
	},
	{
		Name: "Caster sweep", words: "caster sweep, caster sweeps, caster swing",
		Plain:    "How a shop measures caster, which no gauge can be held to: turn the wheel out by 20°, read the camber, turn it in by 20°, read again. The difference, times about 1.5, is the caster.",
		Standard: "Caster is about the change of camber divided by 2 sin 20°, that is 1.46 times it; the shop's 1.5 is a round number.",
		Where:    trade + "; the factor is worked out in package sim", See: []string{"Turnplate", "Camber"},
	},
	{
		Name: "Contact patch", words: "contact patch, contact patches, contact centre, contact centres",
		Plain:    "The part of the tyre that touches the road, about the size of a hand. All that steers, drives and stops the vehicle goes through the four of them. Its middle is the contact centre.",
		Standard: "The contact centre is where the wheel's plane, the plane through the wheel's spin axis square to the road, and the road meet.", Where: memory,
	},
	{
		Name: "Cornering stiffness", words: "cornering stiffness, cornering stiffnesses",
		Plain:    "How much side force a tyre gives for each degree that it is turned out of its way, while the angle is small. Tall, soft tyres at low pressure have less, so they answer later.",
		Standard: "Minus the slope of lateral force over lateral slip angle, at zero slip angle, at a given load.", Where: memory,
		Sign: "Given as a positive number, for one tyre at its nominal load.", See: []string{"Slip angle"},
	},
	{
		Name: "Coverage interval", words: "coverage interval, coverage intervals",
		Plain:    "How far a result can be trusted: the range that holds the true value with the stated probability, here 95 %. It follows from how well everything that goes into the result is known. On a plot it is the shaded band.",
		Standard: "An interval that contains the value of the quantity with a stated probability, based on the information available.", Where: "JCGM 101:2008, from memory",
	},
	{
		Name: "Cross-caster", Other: "cross-camber", words: "cross-caster, cross caster, cross-camber, cross camber, caster difference, camber difference",
		Plain:    "The left wheel's angle less the right's. A vehicle tends to pull to the side with less caster and to the side with more camber; shops use a little of either against a road that falls to one side.",
		Standard: "Left less right.", Where: trade, Sign: "Plus: the left wheel has more.", See: []string{"Caster", "Camber"},
	},
	{
		Name: "Jacking", words: "jacking, jacking torque",
		Plain: "Steering moves the tyre's lowest point about an axis that leans, and so lifts or lowers the body a little. Lifting it takes effort, and its weight then helps the wheels back: " +
			"near straight ahead this is most of what steering-axis inclination does.",
		Standard: "The torque about the steering axis that the vertical load makes: load times the rise of the body per radian of steering.", Where: trade + "; virtual work, see package sim",
		See: []string{"Steering-axis inclination", "Scrub radius"},
	},
	{
		Name: "Knuckle", Other: "upright, wheel carrier", words: "knuckle, knuckles, steering knuckle",
		Plain: "The part that carries the hub and turns when you steer. It hangs between the ball joints and has an arm for the tie rod.", Standard: "The wheel carrier that is steered about the steering axis.",
		Where: trade, See: []string{"Ball joint", "Steering axis"},
	},
	{
		Name: "Loaded radius", words: "loaded radius",
		Plain:    "From the wheel's centre down to the ground with the vehicle standing on it. It is less than half the tyre's height by what the tyre squashes, and it sets how high the vehicle stands and how long the levers at the ground are.",
		Standard: "The distance from the wheel's centre to the contact centre.", Where: memory, See: []string{"Rolling radius"},
	},
	{
		Name: "Motion ratio", Other: "installation ratio", words: "motion ratio, motion ratios, wheel rate, wheel rates",
		Plain:    "How far the coil moves for each millimetre that the wheel moves. Since the coil stands part of the way along the arm, it moves less, and its rate is felt at the wheel times the ratio squared: that is the wheel rate.",
		Standard: "The change of the spring's length over the wheel's vertical movement, here spring per wheel. Wheel rate = coil rate × ratio² + coil force × the ratio's change per movement.", Where: memory,
	},
	{
		Name: "Pneumatic trail", words: "pneumatic trail, pneumatic trails",
		Plain:    "In a bend the road does not push at the middle of the contact patch but a little behind it. That distance adds to the trail and helps to straighten the wheels. It fades as the tyre nears its limit, which is the steering going light.",
		Standard: "The ratio of aligning torque to lateral force at zero inclination: how far the lateral force acts behind the contact centre.", Where: memory,
		Sign: "Plus: behind the contact centre.", See: []string{"Trail", "Self-aligning torque"},
	},
	{
		Name: "Relaxation length", words: "relaxation length, relaxation lengths",
		Plain:    "How far a tyre has to roll before its side force has answered most of a steering movement. Longer on tall tyres with soft walls.",
		Standard: "The distance rolled after a step of the slip angle until the lateral force has reached 63 % of its final value.", Where: memory, See: []string{"Slip angle"},
	},
	{
		Name: "Rim offset", Other: "wheel offset, ET", words: "rim offset, rim offsets, wheel offset, wheel offsets, offset of the rim, offset of the wheel, rim's offset",
		Plain:    "How far the rim's bolting face is from the middle of its width. Less of it moves the whole wheel outward, which gives room inside, widens the track, and makes the scrub radius larger.",
		Standard: "The distance from the rim's centre plane to the face that bears on the hub.", Where: trade + "; rim standards call it inset when positive, from memory",
		Sign: "Plus: the face is outboard of the middle.", See: []string{"Scrub radius"},
	},
	{
		Name: "Roll centre", words: "roll centre, roll centres, roll centre height",
		Plain:    "The point at the middle of the vehicle that the front of the body leans about in a bend. A lift raises the body but mostly not this point, so the body leans more.",
		Standard: "The point in the vertical plane through both wheel centres of an axle at which lateral forces can be put on the sprung mass without making it roll.", Where: memory,
	},
	{
		Name: "Rolling radius", words: "rolling radius, effective rolling radius",
		Plain:    "The distance the tyre rolls in one turn, divided by 2π. It lies between the loaded and the free radius, and sets what the speedometer says and how the gearing feels.",
		Standard: "The ratio of travel speed to spin speed of a free-rolling wheel.", Where: memory, See: []string{"Loaded radius"},
	},
	{
		Name: "Scrub radius", Other: "kingpin offset, steering-axis offset at ground", words: "scrub radius, scrub radii, kingpin offset",
		Plain:    "How far the middle of the tyre's contact lies outboard of where the steering axis meets the ground. It is the lever for anything that pulls on one wheel alone (a brake, a rock, a rut) and it grows by every millimetre that a wheel is moved outward.",
		Standard: "The lateral distance, along the road and across the wheel's heading, from the steering axis to the contact centre.", Where: memory,
		Sign: "Plus: the contact is outboard of the axis.", See: []string{"Rim offset", "Steering-axis inclination"},
	},
	{
		Name: "Self-aligning torque", Other: "aligning torque, aligning moment", words: "self-aligning torque, aligning torque, aligning moment, self-aligning moment",
		Plain:    "The torque with which the tyre itself turns the wheel back into the direction it travels. It is what you feel of the road's grip through the handwheel.",
		Standard: "The moment of the road's forces on the tyre about the vertical through the contact centre.", Where: memory,
		Sign: "Plus turns to the left.", See: []string{"Pneumatic trail"},
	},
	{
		Name: "Slip angle", words: "slip angle, slip angles",
		Plain:    "The angle between where a tyre points and where it goes. A rolling tyre needs some of it to give any side force at all, a degree or two in an ordinary bend.",
		Standard: "The angle from the wheel plane's trace on the road to the velocity of the contact centre.", Where: memory,
		Sign: "Plus: the tyre goes to the left of where it points.", See: []string{"Cornering stiffness"},
	},
	{
		Name: "Spindle length", Other: "steering-axis offset at wheel centre", words: "spindle length, spindle lengths",
		Plain:    "How far the wheel's centre is from the steering axis, square to it. It is the lever for drive through a half-shaft and for bumps.",
		Standard: "The distance from the wheel's centre to the steering axis, measured square to the axis in the front view.", Where: memory,
		Sign: "Plus: the wheel's centre is outboard of the axis.", See: []string{"Scrub radius"},
	},
	{
		Name: "Steering axis", Other: "kingpin axis", words: "steering axis, steering axes, kingpin, kingpin axis, kingpins",
		Plain:    "The line that a front wheel turns about when you steer. With two arms it runs through the centres of both ball joints; on old axles a real pin, the kingpin, stood there.",
		Standard: "The axis about which the wheel carrier rotates relative to the vehicle when steered.", Where: memory, See: []string{"Caster", "Steering-axis inclination"},
	},
	{
		Name: "Steering-axis inclination", Other: "SAI, kingpin inclination, KPI",
		words:    "steering-axis inclination, steering axis inclination, kingpin inclination, inclination, sai, kpi, !inclination angle",
		Plain:    "How far the steering axis leans inward at the top, seen from the front. It brings the axis under the tyre, so the scrub radius stays small, and lifts the body as you steer. The shop can read it, but nothing adjusts it: an odd value means something is bent.",
		Standard: "The angle between the vehicle's Z axis and the steering axis, projected onto the vehicle's Y-Z plane.", Where: memory,
		Sign: "Plus leans inward at the top.", See: []string{"Scrub radius", "Jacking"},
	},
	{
		Name: "Thrust angle", Other: "geometric driving axis", words: "thrust angle, thrust angles",
		Plain:    "Where the rear axle pushes the vehicle, against its own middle. If it is off, the handwheel stands crooked on a straight road, whatever is set at the front.",
		Standard: "The angle between the vehicle's X axis and the line that halves the total toe of the rear wheels.", Where: trade, Sign: "Plus: the rear pushes to the left.",
		See: []string{"Toe"},
	},
	{
		Name: "Tie rod", Other: "track rod", words: "tie rod, tie rods, tie-rod, tie-rods, track rod, track rods",
		Plain:    "The link from the rack to an arm on the knuckle, one on each side. Turning its threaded end makes it longer or shorter, and so sets the toe.",
		Standard: "A link with a joint at either end that moves the knuckle about the steering axis.", Where: trade, See: []string{"Toe", "Bump steer"},
	},
	{
		Name: "Toe", Other: "toe-in, toe-out", words: "toe, toe-in, toe-out, total toe, toe angle, toe angles",
		Plain:    "How far the front of a wheel points inward, seen from above. Both wheels together are the total toe. A wrong setting wears tyres faster than anything else, and every change of caster or camber changes it, so it is set last.",
		Standard: "Static toe: the angle between the vehicle's X axis and the wheel's plane, about Z, for one wheel with the vehicle at rest. The total static toe is the sum of an axle's two.",
		Where:    "ISO 8855:2011, 7.1.6 and 7.1.7", Sign: "Plus is toe-in.",
	},
	{
		Name: "Trail", Other: "mechanical trail, caster trail, castor offset at ground",
		words:    "trail, mechanical trail, caster trail, ground trail, !on the trail, !off the trail, !up the trail, !down the trail, !trail ride, !trail rides, !trail use, !trail repair, !a trail",
		Plain:    "How far the steering axis meets the ground ahead of the middle of the tyre's contact. The tyre follows the axis like the wheel of a shopping trolley, so more trail straightens more firmly and asks for more effort in a bend.",
		Standard: "The distance, along the wheel's heading, from the contact centre to where the steering axis meets the road.", Where: memory,
		Sign: "Plus: the axis meets the ground ahead of the contact.", See: []string{"Caster", "Pneumatic trail"},
	},
	{
		Name: "Turnplate", words: "turnplate, turnplates, Turnplates, turning plate, turning plates", exact: true,
		Plain:    "A plate under a front wheel that turns and slides freely and shows degrees around its edge, so that the wheel can be steered by a known angle without scrubbing the tyre. Caster is measured on a pair of them.",
		Standard: "Toe and steering angles are read against it, camber against the vertical.", Where: trade, See: []string{"Caster sweep"},
	},
	{
		Name: "Unsprung mass", words: "unsprung mass, unsprung masses, unsprung",
		Plain:    "What moves up and down with the road instead of with the body: tyre, rim, brake, hub and knuckle, and about half of arms, coil and shafts. Heavier tyres add to it; the wheel then follows the road less well and shakes more.",
		Standard: "The part of the vehicle's mass that is not carried by the suspension but by the tyres directly.", Where: memory,
	},
	{
		Name: "Wheel hop", Other: "hop", words: "wheel hop, hop, hop frequency, !each hop, !hops",
		Plain:    "The wheel bouncing between the road and the body on the spring of its own tyre, ten times a second or more. A heavier wheel hops more slowly and for longer, and spends more of the time light on the road.",
		Standard: "The mode of vibration in which the unsprung mass moves most, against the tyre's vertical stiffness.", Where: trade, See: []string{"Unsprung mass"},
	},
}
