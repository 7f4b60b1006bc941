package equation

import (
	"slices"
	"strings"
	"sync"
)

// symbol is a sign as it is set.
type symbol struct {
	kind  kind
	text  string
	attrs string
}

// table reads a list of what is typed, each followed by what it stands for, when it is first asked for. It is
// called, not copied into, the list of all tables: a browser compiles that at its start.
//
//go:noinline
func table(list string) func() map[string]string {
	return sync.OnceValue(func() map[string]string { return pairs(list) })
}

func pairs(list string) map[string]string {
	found := map[string]string{}
	for pair := range slices.Chunk(strings.Fields(list), 2) {
		found[pair[0]] = pair[1]
	}
	return found
}

// letters are commands for a letter. Capitals of Greek stand upright in TeX.
var letters = table(`
	\alpha α  \beta β  \gamma γ  \delta δ  \epsilon ϵ  \varepsilon ε  \zeta ζ  \eta η  \theta θ  \vartheta ϑ  \iota ι
	\kappa κ  \lambda λ  \mu μ  \nu ν  \xi ξ  \omicron ο  \pi π  \varpi ϖ  \rho ρ  \varrho ϱ  \sigma σ  \varsigma ς
	\tau τ  \upsilon υ  \phi ϕ  \varphi φ  \chi χ  \psi ψ  \omega ω  \ell ℓ  \partial ∂  \imath ı  \jmath ȷ`)

// marked are commands for a letter or a mark that stands upright.
var marked = table(`
	\Gamma Γ  \Delta Δ  \Theta Θ  \Lambda Λ  \Xi Ξ  \Pi Π  \Sigma Σ  \Upsilon Υ  \Phi Φ  \Psi Ψ  \Omega Ω  \infty ∞  \nabla ∇
	\hbar ℏ  \Re ℜ  \Im ℑ  \emptyset ∅  \varnothing ∅  \degree °  \ldots …  \dots …  \cdots ⋯  \vdots ⋮  \ddots ⋱
	\angle ∠  \prime ′  \% %  \$ $  \# #  \& &  \_ _`)

// functions are names set upright. The lower script of those in underneath stands below them in a formula on a line of
// its own.
const (
	functions = `\sin \cos \tan \cot \sec \csc \arcsin \arccos \arctan \sinh \cosh \tanh \ln \log \exp \lg \arg \deg
		\dim \ker`
	underneath = `\lim \max \min \sup \inf \det \gcd \Pr`
)

// still keeps a sign at its size: MathML would stretch it to its neighbours' height.
const still = ` stretchy="false"`

// tight takes the space off that MathML puts around a sign, where TeX puts none.
const tight = ` lspace="0" rspace="0"`

// group is signs of one kind, as a table says them.
type group struct {
	kind  kind
	attrs string
	list  string
}

func symbols(groups []group) map[string]symbol {
	all := map[string]symbol{}
	for _, g := range groups {
		for typed, text := range pairs(g.list) {
			all[typed] = symbol{g.kind, text, g.attrs}
		}
	}
	return all
}

// signs are what stands between things or around them, brackets included, by the character or the command that is typed
// for it.
var signs = sync.OnceValue(func() map[string]symbol { return symbols(slices.Concat(between, around)) })

var between = []group{
	{large, "", `\sum ∑  \prod ∏  \coprod ∐  \bigcup ⋃  \bigcap ⋂  \int ∫  \iint ∬  \iiint ∭  \oint ∮`},
	{binary, "", `
		+ +  - −  − −  * ∗  × ×  · ⋅  ⋅ ⋅  ± ±  ∓ ∓  ÷ ÷  ∘ ∘
		\cdot ⋅  \times ×  \div ÷  \pm ±  \mp ∓  \ast ∗  \star ⋆  \circ ∘  \bullet •  \cup ∪  \cap ∩  \setminus ∖
		\wedge ∧  \vee ∨  \land ∧  \lor ∨  \oplus ⊕  \otimes ⊗  \odot ⊙`},
	{relation, "", `
		= =  < <  > >  : :  ≈ ≈  ≤ ≤  ≥ ≥  ≠ ≠  ≡ ≡  ∝ ∝  ∈ ∈
		\approx ≈  \le ≤  \leq ≤  \ge ≥  \geq ≥  \ne ≠  \neq ≠  \equiv ≡  \sim ∼  \simeq ≃  \cong ≅  \propto ∝  \ll ≪  \gg ≫
		\lt <  \gt >  \in ∈  \notin ∉  \ni ∋  \subset ⊂  \subseteq ⊆  \supset ⊃  \supseteq ⊇  \perp ⊥  \doteq ≐
		\lesssim ≲  \gtrsim ≳  \coloneqq ≔`},
	{relation, still, `
		→ →  ⇒ ⇒
		\parallel ∥  \mid ∣  \to →  \rightarrow →  \leftarrow ←  \gets ←  \leftrightarrow ↔  \Rightarrow ⇒  \Leftarrow ⇐
		\Leftrightarrow ⇔  \implies ⟹  \iff ⟺  \mapsto ↦  \uparrow ↑  \downarrow ↓`},
	{punctuation, "", `, ,  ; ;  \colon :`},
	{ordinary, tight, `/ /  \forall ∀  \exists ∃  \neg ¬  \lnot ¬  \backslash \`},
	{closing, tight, `! !  ? ?`},
}

// integrals are the large signs that keep their limits beside them.
const integrals = "∫∬∭∮"

var around = []group{
	{opening, still, `( (  [ [  \{ {  \lbrace {  \lbrack [  \langle ⟨  \lfloor ⌊  \lceil ⌈  \lvert |  \lVert ‖`},
	{closing, still, `) )  ] ]  \} }  \rbrace }  \rbrack ]  \rangle ⟩  \rfloor ⌋  \rceil ⌉  \rvert |  \rVert ‖`},
	{ordinary, still + tight, `| |  \vert |  \| ‖  \Vert ‖`},
}

// brackets are the signs that enclose; those that open and close alike count as ordinary when they stand alone.
var brackets = sync.OnceValue(func() map[string]symbol {
	all := symbols(around)
	// These three enclose only after a command such as \left.
	all["<"], all[">"], all["/"] = all[`\langle`], all[`\rangle`], signs()["/"]
	return all
})

// spaces are typed spaces, in em.
var spaces = sync.OnceValue(func() map[string]string {
	all := pairs(`
		\, 0.1667  \thinspace 0.1667  \: 0.2222  \> 0.2222  \medspace 0.2222  \; 0.2778  \thickspace 0.2778  \! -0.1667
		\enspace 0.5  \quad 1  \qquad 2`)
	all[`\ `] = "0.25"
	return all
})

// accents stand over what follows.
var accents = table(`\dot ˙  \ddot ¨  \bar ¯  \hat ^  \tilde ~  \vec →  \check ˇ  \breve ˘  \acute ´  \grave ` + "`")

// wide are the lines and braces above or below what follows.
var wide = map[string]line{
	`\overline`: {sign: "‾"}, `\underline`: {sign: "_", under: true},
	`\overbrace`: {sign: "⏞", script: true}, `\underbrace`: {sign: "⏟", under: true, script: true},
}

// line is a line or a brace as wide as what it stands above or below.
type line struct {
	sign   string
	under  bool
	script bool // a script belongs to the brace
}

// sizes are those of brackets made larger by hand, in em.
var sizes = table(`
	\big 1.2  \bigl 1.2  \bigr 1.2  \bigm 1.2  \Big 1.8  \Bigl 1.8  \Bigr 1.8  \Bigm 1.8
	\bigg 2.4  \biggl 2.4  \biggr 2.4  \biggm 2.4  \Bigg 3  \Biggl 3  \Biggr 3  \Biggm 3`)
