package equation

import "strings"

// symbol is what a command stands for.
type symbol struct {
	kind  kind
	text  string
	attrs string
}

// letters are commands for a letter. Capitals of Greek stand upright in TeX.
var letters = map[string]string{
	"alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ϵ", "varepsilon": "ε", "zeta": "ζ", "eta": "η",
	"theta": "θ", "vartheta": "ϑ", "iota": "ι", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "omicron": "ο",
	"pi": "π", "varpi": "ϖ", "rho": "ρ", "varrho": "ϱ", "sigma": "σ", "varsigma": "ς", "tau": "τ", "upsilon": "υ", "phi": "ϕ",
	"varphi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω", "ell": "ℓ", "partial": "∂", "imath": "ı", "jmath": "ȷ",
}

// marked are commands for a letter or a mark that stands upright.
var marked = map[string]string{
	"Gamma": "Γ", "Delta": "Δ", "Theta": "Θ", "Lambda": "Λ", "Xi": "Ξ", "Pi": "Π", "Sigma": "Σ", "Upsilon": "Υ", "Phi": "Φ",
	"Psi": "Ψ", "Omega": "Ω", "infty": "∞", "nabla": "∇", "hbar": "ℏ", "Re": "ℜ", "Im": "ℑ", "emptyset": "∅", "varnothing": "∅",
	"degree": "°", "ldots": "…", "dots": "…", "cdots": "⋯", "vdots": "⋮", "ddots": "⋱", "angle": "∠", "prime": "′",
	"%": "%", "$": "$", "#": "#", "&": "&", "_": "_",
}

// functions are names set upright.
var functions = set("sin cos tan cot sec csc arcsin arccos arctan sinh cosh tanh ln log exp lg arg deg det dim gcd ker lim max min sup inf Pr")

// underneath are the functions whose lower script stands below them in a formula on a line of its own.
var underneath = set("lim max min sup inf det gcd Pr")

func set(names string) map[string]bool {
	all := map[string]bool{}
	for _, n := range strings.Fields(names) {
		all[n] = true
	}
	return all
}

// sums are large signs; those of integrals keep their limits beside them.
var sums = map[string]string{"sum": "∑", "prod": "∏", "coprod": "∐", "bigcup": "⋃", "bigcap": "⋂"}

var integrals = map[string]string{"int": "∫", "iint": "∬", "iiint": "∭", "oint": "∮"}

// still keeps a sign at its size: MathML would stretch it to its neighbours' height.
const still = ` stretchy="false"`

// tight takes the space off that MathML puts around a sign, where TeX puts none.
const tight = ` lspace="0" rspace="0"`

// operators are commands for a sign between things, or around them.
var operators = map[string]symbol{
	"cdot": {binary, "⋅", ""}, "times": {binary, "×", ""}, "div": {binary, "÷", ""}, "pm": {binary, "±", ""}, "mp": {binary, "∓", ""},
	"ast": {binary, "∗", ""}, "star": {binary, "⋆", ""}, "circ": {binary, "∘", ""}, "bullet": {binary, "•", ""}, "cup": {binary, "∪", ""},
	"cap": {binary, "∩", ""}, "setminus": {binary, "∖", ""}, "wedge": {binary, "∧", ""}, "vee": {binary, "∨", ""}, "land": {binary, "∧", ""},
	"lor": {binary, "∨", ""}, "oplus": {binary, "⊕", ""}, "otimes": {binary, "⊗", ""}, "odot": {binary, "⊙", ""},

	"approx": {relation, "≈", ""}, "le": {relation, "≤", ""}, "leq": {relation, "≤", ""}, "ge": {relation, "≥", ""}, "geq": {relation, "≥", ""},
	"ne": {relation, "≠", ""}, "neq": {relation, "≠", ""}, "equiv": {relation, "≡", ""}, "sim": {relation, "∼", ""}, "simeq": {relation, "≃", ""},
	"cong": {relation, "≅", ""}, "propto": {relation, "∝", ""}, "ll": {relation, "≪", ""}, "gg": {relation, "≫", ""}, "lt": {relation, "<", ""},
	"gt": {relation, ">", ""}, "in": {relation, "∈", ""}, "notin": {relation, "∉", ""}, "ni": {relation, "∋", ""}, "subset": {relation, "⊂", ""},
	"subseteq": {relation, "⊆", ""}, "supset": {relation, "⊃", ""}, "supseteq": {relation, "⊇", ""}, "perp": {relation, "⊥", ""},
	"parallel": {relation, "∥", still}, "mid": {relation, "∣", still}, "colon": {punctuation, ":", ""}, "doteq": {relation, "≐", ""},
	"lesssim": {relation, "≲", ""}, "gtrsim": {relation, "≳", ""}, "coloneqq": {relation, "≔", ""},
	"to": {relation, "→", still}, "rightarrow": {relation, "→", still}, "leftarrow": {relation, "←", still}, "gets": {relation, "←", still},
	"leftrightarrow": {relation, "↔", still}, "Rightarrow": {relation, "⇒", still}, "Leftarrow": {relation, "⇐", still},
	"Leftrightarrow": {relation, "⇔", still}, "implies": {relation, "⟹", still}, "iff": {relation, "⟺", still}, "mapsto": {relation, "↦", still},
	"uparrow": {relation, "↑", still}, "downarrow": {relation, "↓", still},

	"forall": {ordinary, "∀", tight}, "exists": {ordinary, "∃", tight}, "neg": {ordinary, "¬", tight}, "lnot": {ordinary, "¬", tight},
	"backslash": {ordinary, `\`, tight},
}

// marks are the signs that stand for themselves on a keyboard.
var marks = map[rune]symbol{
	'+': {binary, "+", ""}, '-': {binary, "−", ""}, '−': {binary, "−", ""}, '*': {binary, "∗", ""}, '×': {binary, "×", ""},
	'·': {binary, "⋅", ""}, '⋅': {binary, "⋅", ""}, '±': {binary, "±", ""}, '∓': {binary, "∓", ""}, '÷': {binary, "÷", ""}, '∘': {binary, "∘", ""},
	'=': {relation, "=", ""}, '<': {relation, "<", ""}, '>': {relation, ">", ""}, ':': {relation, ":", ""}, '≈': {relation, "≈", ""},
	'≤': {relation, "≤", ""}, '≥': {relation, "≥", ""}, '≠': {relation, "≠", ""}, '≡': {relation, "≡", ""}, '∝': {relation, "∝", ""},
	'→': {relation, "→", still}, '⇒': {relation, "⇒", still}, '∈': {relation, "∈", ""},
	',': {punctuation, ",", ""}, ';': {punctuation, ";", ""},
	'/': {ordinary, "/", tight}, '!': {closing, "!", tight}, '?': {closing, "?", tight},
}

// brackets are the signs that enclose, by what is typed for them; those that open and close alike count as
// ordinary when they stand alone.
var brackets = map[string]symbol{
	"(": {opening, "(", ""}, ")": {closing, ")", ""}, "[": {opening, "[", ""}, "]": {closing, "]", ""},
	`\{`: {opening, "{", ""}, `\}`: {closing, "}", ""}, `\lbrace`: {opening, "{", ""}, `\rbrace`: {closing, "}", ""},
	`\lbrack`: {opening, "[", ""}, `\rbrack`: {closing, "]", ""}, `\langle`: {opening, "⟨", ""}, `\rangle`: {closing, "⟩", ""},
	`\lfloor`: {opening, "⌊", ""}, `\rfloor`: {closing, "⌋", ""}, `\lceil`: {opening, "⌈", ""}, `\rceil`: {closing, "⌉", ""},
	`\lvert`: {opening, "|", ""}, `\rvert`: {closing, "|", ""}, `\lVert`: {opening, "‖", ""}, `\rVert`: {closing, "‖", ""},
	"|": {ordinary, "|", ""}, `\vert`: {ordinary, "|", ""}, `\|`: {ordinary, "‖", ""}, `\Vert`: {ordinary, "‖", ""},
}

// spaces are typed spaces, in em.
var spaces = map[string]string{
	",": "0.1667", "thinspace": "0.1667", ":": "0.2222", ">": "0.2222", "medspace": "0.2222", ";": "0.2778", "thickspace": "0.2778",
	"!": "-0.1667", " ": "0.25", "enspace": "0.5", "quad": "1", "qquad": "2",
}

// accents stand over what follows.
var accents = map[string]string{
	"dot": "˙", "ddot": "¨", "bar": "¯", "hat": "^", "tilde": "~", "vec": "→", "check": "ˇ", "breve": "˘", "acute": "´", "grave": "`",
}

// wide stand over or under what follows, over its whole width.
var wide = map[string]struct {
	sign   string
	under  bool
	script bool // a script belongs to the brace
}{
	"overline": {"‾", false, false}, "underline": {"_", true, false}, "overbrace": {"⏞", false, true}, "underbrace": {"⏟", true, true},
}

// sizes are those of brackets made larger by hand, in em.
var sizes = map[string]string{"big": "1.2", "Big": "1.8", "bigg": "2.4", "Bigg": "3"}
