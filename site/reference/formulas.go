package reference

import (
	"fmt"

	"turnplate/site/glossary"
)

// formula is what a model's page shows at a glance: its formula in TeX's notation, what stands for what, and the term of
// the glossary whose sketch shows it. The model's doc comment has the same in full, with the source; a test wants one of
// each model.
type formula struct{ tex, where, sketch string }

var formulas = map[string]formula{
	"AlignTo": {`u = e \sin\alpha, \qquad |\alpha| \le \alpha_\mathrm{max}`,
		"A cam turned to the angle $\\alpha$ moves its pivot by $u$; $e$ is `CamOffset`, $\\alpha_\\mathrm{max}$ `CamLimit`.", "Cam bolt"},
	"Alignment": {`\tan\tau = \frac{x_L - x_U}{z_U - z_L}, \qquad \tan\sigma = \frac{y_L - y_U}{z_U - z_L}`,
		"Caster $\\tau$ and inclination $\\sigma$ of the line through the left side's upper ball joint $U$ and its lower one $L$, against level ground.", "Caster"},
	"CasterSweep": {`\tau \approx \frac{\gamma_\mathrm{out} - \gamma_\mathrm{in}}{2 \sin\delta}`,
		"Caster $\\tau$ from the camber $\\gamma$ with the wheel turned out and in by $\\delta$, which is `Sweep`.", "Caster sweep"},
	"Clearance": {`g = \min_{s,\,z}\, d(s, z)`,
		"The smallest distance $d$ between tyre or rim and an edge, over all rack positions $s$ and heights $z$ of the wheel.", "Bump and droop"},
	"Compliance": {`K\,x = f`,
		"The stiffness matrix $K$ of the corner at rest, the forces $f$ at the wheel, and how far $x$ it all gives.", "Bushing"},
	"Coupling": {`\begin{pmatrix} \Delta\tau \\ \Delta\gamma \\ \Delta\psi \end{pmatrix} = \begin{pmatrix} \partial\tau/\partial u_1 & \partial\tau/\partial u_2 & \cdots \\ \partial\gamma/\partial u_1 & \partial\gamma/\partial u_2 & \cdots \\ \partial\psi/\partial u_1 & \partial\psi/\partial u_2 & \cdots \end{pmatrix} \begin{pmatrix} u_1 \\ u_2 \\ \vdots \end{pmatrix}`,
		"Caster $\\tau$, camber $\\gamma$ and toe $\\psi$ by small movements $u$ of the adjusters.", "Tie rod"},
	"Gearing": {`\omega = \frac{V}{r}\, i_A\, i_G, \qquad V_\mathrm{shown} = V\, \frac{r_\mathrm{old}}{r}`,
		"Engine speed $\\omega$ and what the speedometer shows at the true speed $V$, with the rolling radius $r$ and the ratios $i_A$, $i_G$ of axle and gear.", "Rolling radius"},
	"JointAngles": {`\cos\theta = a \cdot b`,
		"The angle $\\theta$ of a joint, from the unit directions $a$ and $b$ of its two parts.", "Ball joint"},
	"JointLoads": {`\sum F = 0, \qquad \sum r \times F = 0`,
		"The forces $F$ on the knuckle, each at its place $r$, with weight and inertia of what is unsprung among them: six equations.", "Knuckle"},
	"KickBack": {`M = -k \cdot (\Omega \times H), \qquad H = I\, \frac{V}{r}\, a`,
		"Over a bump: $k$ is the steering axis's direction, $\\Omega$ the knuckle's turning, $I$ the wheel's spin inertia, $V$ the speed, $r$ the rolling radius, $a$ the wheel's axis.", "Spindle length"},
	"ParkingEffort": {`M = \mu W h\, k_z + W\, \frac{\mathrm{d}z}{\mathrm{d}\delta} + M_f`,
		"Scrub, jacking and friction about one steering axis: friction $\\mu$ of the ground, load $W$, mean distance $h$ of the contact's points from where it turns, upward part $k_z$ of the axis, rise $z$ of the body for the turning $\\delta$, `KingpinFriction` $M_f$.", "Contact patch"},
	"Pull": {`F_f + F_r = m g \sin\theta`,
		"Front and rear tyres carry the weight's part down the slope $\\theta$ of the road; what that and the sides' differences do about the steering axes is what the driver holds.", "Cross-caster"},
	"PullAway": {`a = \frac{T N \eta / r - M g \sin\theta}{M + 4 I/r^2 + I_e N^2/r^2}`,
		"Torque $T$ and inertia $I_e$ of the engine, ratio $N$, efficiency $\\eta$, rolling radius $r$, mass $M$ of all, inertia $I$ of a wheel, slope $\\theta$.", "Loaded radius"},
	"Reach": {`\tau_\mathrm{max}(\gamma) = \max \left\{ \tau : |u_i| \le u_{i,\mathrm{max}} \right\}`,
		"The most caster $\\tau$ at a camber $\\gamma$ with every adjuster's movement $u_i$ within its range; the least alike.", "Arm"},
	"Reconcile": {`\chi^2 = \sum_i \left( \frac{v_i}{s_i} \right)^2 \rightarrow \min`,
		"The corrections $v$ of points and printout, each in its own standard deviation $s$.", "Coverage interval"},
	"ReturnTorque": {`M = F_y\, n\, k_z + M_z\, k_z + W\, \frac{\mathrm{d}z}{\mathrm{d}\delta} + k \cdot \big( F\, (C - A) \times h \big)`,
		"Side force $F_y$ behind the axis by the trail $n$, the tyre's aligning moment $M_z$, load $W$ on a body that rises by $z$ as the wheel turns by $\\delta$, and the drive $F$ at the wheel's centre $C$; $k$ is the axis's direction through $A$, $k_z$ its upward part, $h$ the wheel's heading.", "Self-aligning torque"},
	"Ride": {`k_w = k\, i^2 + F\, \frac{\mathrm{d}i}{\mathrm{d}z}, \qquad c_w = c\, i_d^2`,
		"Stiffness and damping at the wheel from the coil's $k$ and the damper's $c$, by their motion ratios $i$ and $i_d$ over the wheel's rise $z$; $F$ is the coil's force.", "Motion ratio"},
	"Sensitivity": {`\Delta = \sqrt{ \sum_i \left( \frac{\partial f}{\partial x_i}\, s \right)^2 }`,
		"What all coordinates $x_i$ together, each off by `PointSpread` $s$, make uncertain of an angle or length $f$.", "Steering axis"},
	"Steer": {`\varepsilon = \delta_o - \operatorname{acot}\left( \cot\delta_i + \frac{c}{L} \right)`,
		"Ackermann error $\\varepsilon$ of the outer wheel's heading $\\delta_o$, with the inner one's $\\delta_i$, the wheelbase $L$ and the distance $c$ between the places where the steering axes meet the ground. All headings are exact, from the links.", "Ackermann geometry"},
	"SteerRelease": {`I_s\, \ddot{s} + J\, \dot{r} = F_s - c\, \dot{s} - F_f`,
		"Rack travel $s$ and yaw rate $r$: inertia $I_s$ of all that steers, $J$ that of the wheels in yaw, force $F_s$ of the tyres on the rack, damping $c$, dry friction $F_f$.", "Relaxation length"},
	"Stopping": {`T = \left( M + \frac{4 I}{r^2} \right) a\, r`,
		"Torque $T$ of all four brakes at the deceleration $a$: mass $M$ of all, inertia $I$ of a wheel, rolling radius $r$.", "Anti-dive"},
	"Survey": {`\sum_i \left( \frac{\ell_i(x) - \ell_i}{s_i} \right)^2 \rightarrow \min`,
		"The points $x$ that come nearest to all readings $\\ell_i$, each in its own standard deviation $s_i$.", "Steering axis"},
	"Travel": {`b = \frac{\mathrm{d}\psi}{\mathrm{d}z}`,
		"Bump steer $b$: the change of the toe $\\psi$ of a wheel for its rise $z$, exactly from the links, as all else along the travel.", "Bump steer"},
	"TyreLoad": {`C = C_0 \left( \frac{p}{p_0} \right)^{0.7} \le C_0`,
		"What a tyre carries at the pressure $p$, from `LoadCapacity` $C_0$ at `LoadPressure` $p_0$.", "Contact patch"},
	"Upkeep": {`L = L_0\, q^{-n}`,
		"The life $L$ of a wearing part from its `Interval` $L_0$, by its `LoadRatio` $q$ and `LoadExponent` $n$.", "Ball joint"},
	"Weighing": {`h = r + \frac{L\,(F' - F)}{M \tan\theta}`,
		"The centre of mass's height $h$: load $F$ on the front axle, $F'$ with the rear raised to the slope $\\theta$; wheelbase $L$, mass $M$, loaded radius $r$.", "Unsprung mass"},
	"WheelInertia": {`I = \frac{m g d^2 T^2}{16 \pi^2 L}`,
		"Swung on two strings of the length $L$, $d$ apart: mass $m$, time $T$ of one full swing.", "Unsprung mass"},
}

// glance is a model's formula and sketch as Markdown.
func glance(name string) string {
	f, ok := formulas[name]
	if !ok {
		return ""
	}
	t := termNamed(f.sketch)
	return fmt.Sprintf("```equation\n%s\n```\n\n%s\n\n![%s](%s.svg \"%s\")\n\n", f.tex, f.where, t.Name+": "+plain(t.Brief()), t.ID(), t.Name)
}

// termNamed finds a term of the glossary.
func termNamed(name string) *glossary.Term {
	for _, t := range glossary.Terms() {
		if t.Name == name {
			return t
		}
	}
	panic("reference: the glossary has no term " + name) // a test asks for all
}
