package page

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"turnplate/sim/geom"
	"turnplate/sim/unit"
	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/notebook"
)

// The sample site below is invented for these tests: no number in it is a result.

const studyText = "---\n" +
	"title: How much caster is worth having?\n" +
	"summary: More caster steadies the straight-ahead and costs effort at the rim. This study finds where the gain flattens for the Corrie.\n" +
	"author: The Corrie garage\ndate: 2025-03-09\norder: 1\n---\n\n" +
	"The steering axis leans back. The more it leans, the further ahead of the contact centre it meets the ground, and the more firmly the road pulls the wheels straight[^g]. " +
	"Past {k} of caster each further degree buys less than half of what the first one did, and the effort standing still goes up all the same.\n\n" +
	"```go params\nstock  := use(\"vehicles/corrie\").truck // as measured\ncaster := span(0*deg, 8*deg, 33)\nset    := AlignTo{Vehicle: stock, Caster: caster, Camber: 0*deg}\npark   := ParkingEffort{Vehicle: set.Vehicle, Friction: 0.8}\nCurves{Title: \"Effort at the rim, standing still\", X: caster, Y: park.RimForce}\n```\n\n" +
	"## Effort against caster\n\nThe heavier tyre needs {a} more at the rim than the stock one, whatever the caster. " +
	"See [the vehicle](../vehicles/corrie.md), [the measuring day](https://example.org/day) or [nothing](javascript:alert(1)).\n\n" +
	"| Setting | Left | Right |\n|---|---:|---:|\n| As it came in | 2.1° | 1.7° |\n| After | {b} | {c} |\n\n" +
	"### With a tall tyre\n\nUncertain friction widens the answer.\n\n" +
	"```go params shown\ngrip := normal(0.8, 0.05)\n```\n\n" +
	"```go params\nx\n```\n\n" +
	"## What is given back\n\n" +
	"- Camber grows as the wheels turn.\n- Toe has to be set again:\n\n  ```go params\n  y\n  ```\n\n" +
	"> Set caster first, then camber, then toe.\n\n" +
	"## Through the travel\n\n```go params hidden\nz\n```\n\nThe ground’s pull is $M = \\mu W k$ and that is all of it.\n\n" +
	"## The corner itself\n\n```go params\nd\n```\n\n```go params\ne\n```\n\n" +
	"## Δ of the two sides\n\n<b onclick=\"x()\">Not bold.</b> A term[^h] more.\n\n```\nplain text in a fence, which is only printed and may well be wider than a telephone\n```\n\n" +
	"[^g]: T. D. Gillespie, *Fundamentals of Vehicle Dynamics*, ch. 8.\n[^h]: ISO 8855:2011.\n"

func mustUnit(name string) unit.Unit { return unit.MustParse(name) }

func typed(s string) figure.Text { return figure.Text{{Text: figure.Plain(s)}} }

func curve(n int, lo, hi float64, f func(float64) float64) (x, y []float64) {
	for i := range n {
		v := lo + (hi-lo)*float64(i)/float64(n-1)
		x, y = append(x, v), append(y, f(v))
	}
	return x, y
}

const rad = math.Pi / 180

func line(label string, f func(deg float64) float64) figure.Line {
	x, y := curve(33, 0, 8*rad, func(v float64) float64 { return f(v / rad) })
	return figure.Line{Label: figure.Plain(label), X: x, Y: y}
}

func head(id, title, caption string) figure.Head {
	return figure.Head{ID: id, Title: typed(title), Caption: typed(caption)}
}

var (
	casterScale = figure.Scale{Label: "Caster", Metric: mustUnit("deg"), US: mustUnit("deg")}
	effortScale = figure.Scale{Label: "Effort at the rim, standing still", Metric: mustUnit("N"), US: mustUnit("lbf")}
)

func family() *figure.Curves {
	return &figure.Curves{
		Head: head("effort", "Effort at the rim, standing still", "Brakes held, on dry asphalt, with the engine off."),
		X:    casterScale, Y: effortScale,
		Panels: []figure.Panel{{
			Lines: []figure.Line{
				line("Stock tyre", func(c float64) float64 { return 96 + 0.9*c + 0.12*c*c }),
				line("33-inch, narrow", func(c float64) float64 { return 108 + 1.1*c + 0.16*c*c }),
				line("35-inch", func(c float64) float64 { return 128 + 1.4*c + 0.2*c*c }),
				line("35-inch, wide wheel", func(c float64) float64 {
					if c > 5.6 {
						return math.NaN()
					}
					return 131 + 2.6*c + 0.34*c*c
				}),
			},
			Points: []figure.Points{{Label: "Spring balance, 9 March", Error: []float64{4, 4, math.NaN()}, X: []float64{2.1 * rad, 3.4 * rad, 4.2 * rad},
				Y: []float64{129, 139, 136}, Names: []string{"as it came", "shims out", "cams in"}}},
		}},
		Absent: 9,
	}
}

func uncertain() *figure.Curves {
	l := line("", func(c float64) float64 { return 3.1*c - 0.12*c*c - 2 })
	for _, y := range l.Y {
		l.Low, l.High = append(l.Low, y-1.2-0.2*math.Abs(y)/3), append(l.High, y+1.4+0.2*math.Abs(y)/3)
	}
	return &figure.Curves{
		Head: head("return", "Torque that returns the wheel", ""),
		X:    casterScale, Y: figure.Scale{Label: "Handwheel torque", Metric: mustUnit("N*m"), US: mustUnit("lbf*ft")},
		Panels: []figure.Panel{{Lines: []figure.Line{l}}},
	}
}

func panels() *figure.Curves {
	c := &figure.Curves{
		Head: head("travel", "Camber through the travel, arm by arm", "Each plot is one arm; the lines are ride heights."),
		X:    figure.Scale{Label: "Bump", Metric: mustUnit("mm"), US: mustUnit("inch")},
		Y:    figure.Scale{Label: "Camber", Metric: mustUnit("deg"), US: mustUnit("deg")}, Ordered: true,
	}
	for k, name := range []string{"Stock arm", "Long arm", "Adjustable arm"} {
		p := figure.Panel{Title: figure.Plain(name)}
		for j, lift := range []string{"stock height", "25 mm up", "50 mm up", "75 mm up"} {
			x, y := curve(41, -0.11, 0.09, func(z float64) float64 {
				return rad * (-9*z - 60*z*z*(1-float64(k)*0.3) - 0.45*float64(j) + 0.4*float64(k))
			})
			p.Lines = append(p.Lines, figure.Line{Label: figure.Plain(lift), X: x, Y: y})
		}
		c.Panels = append(c.Panels, p)
	}
	return c
}

func corner(label string, caster, inclination float64) figure.Scene {
	p := func(x, y, z float64) geom.Point { return geom.Point{X: x / 1e3, Y: y / 1e3, Z: z / 1e3} }
	lower := p(6, 718, 322)
	tanT, tanS := math.Tan(caster*rad), math.Tan(inclination*rad)
	along := func(dz float64) geom.Point {
		return lower.Add(geom.Point{X: -tanT * dz, Y: -tanS * dz, Z: dz})
	}
	s := figure.Scene{Label: figure.Plain(label)}
	s.UpperFront, s.UpperRear, s.UpperBall = p(150, 442, 690), p(-190, 452, 668), along(0.395)
	s.LowerFront, s.LowerRear, s.LowerBall = p(215, 330, 345), p(-225, 336, 330), lower
	s.TieInner, s.TieOuter = p(-128, 352, 398), p(-142, 702, 412)
	s.Radius, s.LoadedRadius, s.Width, s.ShoulderRadius = 0.444, 0.424, 0.318, 0.04
	s.Camber = -0.5 * rad
	s.Spin = geom.Point{X: 0.002, Y: math.Cos(s.Camber), Z: -math.Sin(s.Camber)}
	s.WheelCentre = p(0, 822, 424)
	s.Contact, s.AxisGround = p(0, 826, 0), along(-0.322)
	s.Caster, s.Inclination = caster*rad, inclination*rad
	s.Trail, s.ScrubRadius = s.AxisGround.X-s.Contact.X, s.Contact.Y-s.AxisGround.Y
	return s
}

func table() *figure.Table {
	number := func(s string) figure.Cell { return figure.Cell{Text: figure.Plain(s), Number: true} }
	return &figure.Table{
		Head: head("cost", "What each arm gives and asks", "Cams at most three quarters used."), RowHead: "Upper arm", Absent: 1,
		Rows: []figure.Words{{Metric: "Stock"}, {Metric: "Long"}, {Metric: "Adjustable, boxed"}},
		Columns: []figure.Column{
			{Head: figure.Plain("Caster reached"), Unit: mustUnit("deg"), Cells: []figure.Cell{number("2.4"), number("4.35"), number("5")}},
			{Head: figure.Plain("Cam used"), Unit: mustUnit("percent"), Cells: []figure.Cell{number("100"), number("72"), number("41")}},
			{Head: figure.Plain("Effort"), Unit: mustUnit("N"), Cells: []figure.Cell{number("131.0 ± 8"), number("139.5 ± 9"), {Text: figure.Plain("–"), Absent: true}}},
			{Head: figure.Plain("Limited by"), Cells: []figure.Cell{{Text: figure.Plain("cam travel")}, {Text: figure.Plain("nothing")}, {Text: figure.Plain("joint angle")}}},
		},
	}
}

// samplePage is one page with one of everything on it.
func samplePage() Page {
	value := func(s string) figure.Text { return figure.Text{{Text: figure.Plain(s), Value: true}} }
	nb := notebook.Read("studies/caster", []byte(studyText))
	return Page{
		Site: sampleSite(), Path: "studies/caster.html", Notebook: nb, Digest: "5f0c2b9e41d7",
		Resolve: func(dest string) (string, bool) { return dest, true },
		Eval: &eval.Page{
			Title:   typed(nb.Front.Title),
			Summary: typed(nb.Front.Summary),
			Inserts: []figure.Text{value("4.5°"), value("31 N"), value("4.4°"), value("4.1 ± 0.3°")},
			Blocks: []eval.Block{
				{Figures: []figure.Figure{family()}},
				{},
				{Figures: []figure.Figure{uncertain(), &figure.Claim{Head: figure.Head{ID: "limit"}, Holds: true,
					Says: figure.Text{{Text: figure.Plain("6.0°"), Value: true}, {Text: figure.Plain(" stays under the limit for an intact system")}}}}},
				{Figures: []figure.Figure{table(), &figure.Claim{Head: figure.Head{ID: "even"}, Says: typed("Both sides reach the same caster with the stock arm"),
					Detail: "First fails with lift 50 mm, upper arm “Stock”: 2.4° left, 1.9° right."}}},
				{Figures: []figure.Figure{panels()}},
				{Figures: []figure.Figure{
					&figure.Drawing{Head: head("front", "The left front corner", "Drawn to scale from the measured points."), View: "front", Scenes: []figure.Scene{corner("", 4.4, 12.5)}},
					&figure.Drawing{Head: head("side", "Caster and trail", ""), View: "side", Scenes: []figure.Scene{corner("", 4.4, 12.5)}},
					&figure.Drawing{Head: head("top", "From above", ""), View: "top", Scenes: []figure.Scene{corner("", 4.4, 12.5)}},
					&figure.Drawing{Head: head("arms", "Two settings side by side", ""), View: "side", Scenes: []figure.Scene{corner("As it came", 1.2, 12.5), corner("Cams in", 5.4, 12)}},
				}},
				{Figures: []figure.Figure{&figure.Exercise{Head: figure.Head{ID: "ask"},
					Ask:    typed("With 5° of caster and a loaded radius of 424 mm, how far ahead of the contact centre does the axis meet the ground if it passes through the wheel centre?"),
					Answer: value("37.1 mm"), Within: value("0.5 mm"), Working: typed("Trail is the loaded radius times the tangent of caster.")}}},
			},
			Notes:    []string{"Tyre “35-inch”: all but its dimensions is kept from the stock tyre."},
			Cautions: true,
		},
	}
}

func sampleSite() Site {
	return Site{
		Title: "The Corrie notebooks", Version: "0.1", Note: "The Corrie, its parts and its club are invented.",
		Sections: []Section{
			{Title: "Start", Path: "index.html", Pages: []Link{{Title: "Terms", Path: "terms.html"}}},
			{Title: "Vehicles", Path: "vehicles/index.html", Pages: []Link{{Title: "The Corrie", Summary: "An invented mid-size 4x4, lifted by 50 mm, on 35-inch tyres.", Path: "vehicles/corrie.html"}}},
			{Title: "Studies", Path: "studies/index.html", Pages: []Link{
				{Title: "How much caster is worth having?", Summary: "Where the gain flattens.", Path: "studies/caster.html"},
				{Title: "What the bigger tyre costs", Summary: "Mass, gearing and stopping.", Path: "studies/tyre.html"},
				{Title: "Which upper arm?", Path: "studies/arm.html"},
			}},
			{Title: "Build write-up", Path: "build/index.html"},
			{Title: "Workshop", Path: "workshop/index.html"},
		},
	}
}

// galleryPage is a page of figures at the edges of what can be drawn.
func galleryPage() Page {
	text := "# Edges\n\n"
	var blocks []eval.Block
	for range gallery() {
		text += "```go params hidden\nx\n```\n\n"
	}
	for _, f := range gallery() {
		blocks = append(blocks, eval.Block{Figures: []figure.Figure{f}})
	}
	nb := notebook.Read("edges", []byte(text))
	return Page{Site: sampleSite(), Path: "edges.html", Notebook: nb, Eval: &eval.Page{Title: typed("Edges"), Blocks: blocks}}
}

func gallery() []figure.Figure {
	plain := figure.Scale{Label: "Something with a rather long name that a notebook might give to an axis"}
	newton := figure.Scale{Label: "Force", Metric: mustUnit("N"), US: mustUnit("lbf")}
	curves := func(id, title string, x, y figure.Scale, panels ...figure.Panel) *figure.Curves {
		return &figure.Curves{Head: head(id, title, ""), X: x, Y: y, Panels: panels}
	}
	many := figure.Panel{}
	close := figure.Panel{}
	long := figure.Panel{}
	for i := range 14 {
		many.Lines = append(many.Lines, line(string(rune('A'+i))+" choice", func(c float64) float64 { return float64(i)*3 + c }))
	}
	for i, name := range []string{"First of five", "Second", "Third, longer", "Fourth", "Fifth"} {
		close.Lines = append(close.Lines, line(name, func(c float64) float64 { return 50 + 0.02*float64(i) + c*c*c }))
	}
	for i, name := range []string{"An alternative with a name that goes on and on until nobody reads it", "<b>&\"'</b>", "Δ σ τ, 38°"} {
		long.Lines = append(long.Lines, line(name, func(c float64) float64 { return -float64(i)*c - 1 }))
	}
	lone := figure.Line{Label: figure.Plain(""), X: []float64{0, 0.01, 0.02, 0.03, 0.04, 0.05}, Y: []float64{1, math.NaN(), 2, math.NaN(), 3, 3.2}}
	short := figure.Line{Label: figure.Plain("three masses"), X: []float64{20, 31, 38}, Y: []float64{1.1, 1.5, 2.2}}
	noisy := figure.Line{}
	for i := range 20000 {
		t := float64(i) / 20000
		noisy.X, noisy.Y = append(noisy.X, t), append(noisy.Y, math.Sin(40*t)+0.3*math.Sin(1900*t))
	}
	huge, tiny := line("", func(c float64) float64 { return 2.5e7 * (1 + c) }), line("", func(c float64) float64 { return 1e-6 * (3 - c) })
	nine := []figure.Panel{}
	for i := range 5 {
		nine = append(nine, figure.Panel{Title: figure.Plain([]string{"Stock", "25 mm", "50 mm", "A title too long for its little plot, by some way", "100 mm"}[i]),
			Lines: []figure.Line{line("", func(c float64) float64 { return 100 * math.Sin(c+float64(i)) })}})
	}
	const degree = math.Pi / 180
	absent := corner("can't be", 4, 12)
	absent.UpperBall.X = math.NaN()
	steered := corner("", 4, 12)
	steered.Spin = geom.Point{X: 0.5, Y: 0.86}
	wide := corner("Leaning outward", -3, -4)
	return []figure.Figure{
		contourMap("map", 1), contourMap("maps", 3), bars("bars", 1), bars("sets", 4), shopSheet(),
		curves("many", "Fourteen lines", casterScale, newton, many),
		curves("close", "Five that end together", casterScale, newton, close),
		curves("long", "Long and hostile names", casterScale, plain, long),
		curves("lone", "Values between gaps", figure.Scale{Label: "Time", Metric: mustUnit("s")}, newton, figure.Panel{Lines: []figure.Line{lone}}),
		curves("short", "Three points", figure.Scale{Label: "Mass", Metric: mustUnit("kg"), US: mustUnit("lb")}, plain, figure.Panel{Lines: []figure.Line{short}}),
		curves("noisy", "Twenty thousand points", figure.Scale{Label: "Time", Metric: mustUnit("s")}, newton, figure.Panel{Lines: []figure.Line{noisy}}),
		curves("huge", "Large numbers", casterScale, newton, figure.Panel{Lines: []figure.Line{huge}}),
		curves("tiny", "Small numbers", casterScale, newton, figure.Panel{Lines: []figure.Line{tiny}}),
		curves("flat", "All the same", casterScale, newton, figure.Panel{Lines: []figure.Line{line("", func(float64) float64 { return 5 })}}),
		curves("closed", "Two that close", casterScale, newton, figure.Panel{Lines: []figure.Line{
			{Label: figure.Plain("First"), X: []float64{0, degree, 2 * degree, degree, 0}, Y: []float64{10, 20, 10, 0, 10}},
			{Label: figure.Plain("Second"), X: []float64{0, 1.6 * degree, 3.2 * degree, 1.6 * degree, 0}, Y: []float64{10, 14, 10, 6, 10}},
		}}),
		curves("none", "Nothing at all", casterScale, newton),
		curves("five", "Five plots", casterScale, newton, nine...),
		&figure.Drawing{Head: head("gone", "One is out of reach", ""), View: "front", Scenes: []figure.Scene{corner("Stock", 2, 12), absent, wide}},
		&figure.Drawing{Head: head("steered", "Steered, from above", ""), View: "top", Scenes: []figure.Scene{steered}},
		&figure.Drawing{Head: head("turned", "Steered, from the front", ""), View: "front", Scenes: []figure.Scene{steered}},
		&figure.Drawing{Head: head("three", "Three from above", ""), View: "top", Scenes: []figure.Scene{corner("A", 1, 12), corner("B", 4, 10), corner("C with a name of some length", 8, 9)}},
		&figure.Drawing{Head: head("empty", "None in reach", ""), View: "side", Scenes: []figure.Scene{absent}},
	}
}

func contourMap(id string, n int) *figure.Contours {
	c := &figure.Contours{Head: head(id, "Effort over caster and lift", ""), X: casterScale, Z: effortScale,
		Y: figure.Scale{Label: "Lift", Metric: mustUnit("mm"), US: mustUnit("inch")}}
	for k := range n {
		f := figure.Field{}
		if n > 1 {
			f.Title = figure.Plain([]string{"Stock arm", "Long arm", "Adjustable arm"}[k])
		}
		for i := range 25 {
			f.X = append(f.X, float64(i)/24*8*rad)
		}
		for j := range 21 {
			lift := float64(j) / 20 * 0.1
			f.Y = append(f.Y, lift)
			var row []float64
			for _, x := range f.X {
				z := 96 + 5*x/rad + 400*lift + 30*math.Sin(x/rad*0.9)*math.Cos(lift*40)
				if x/rad > 4.5+float64(k)+12*lift {
					z = math.NaN()
				}
				row = append(row, z)
			}
			f.Z = append(f.Z, row)
		}
		c.Panels = append(c.Panels, f)
	}
	return c
}

func bars(id string, sets int) *figure.Bars {
	b := &figure.Bars{Head: head(id, "What the tyre costs", ""), XLabel: "Tyre", Y: figure.Scale{Label: "Brake torque for half a g", Metric: mustUnit("N*m"), US: mustUnit("lbf*ft")},
		Names: []figure.Words{{Metric: "Stock"}, {Metric: "33-inch"}, {Metric: "35-inch on the wide wheel with a long name that has to wrap"}, {Metric: "37-inch"}}, Absent: 1}
	for k := range sets {
		s := figure.BarSet{Label: figure.Plain([]string{"empty", "laden", "towing", "downhill"}[k])}
		if sets == 1 {
			s.Label = figure.Plain("")
		}
		for i := range b.Names {
			y := 3000 + 420*float64(i) + 600*float64(k)
			if i == 3 && k == 0 {
				y = math.NaN()
			}
			if k == 3 {
				y = -y / 4
			}
			s.Y = append(s.Y, y)
			if k == 0 {
				s.Low, s.High = append(s.Low, y-180), append(s.High, y+220)
			}
		}
		b.Sets = append(b.Sets, s)
	}
	return b
}

func shopSheet() *figure.Sheet {
	return &figure.Sheet{Head: figure.Head{ID: "shop"}, Vehicle: "Corrie, 50 mm lift",
		Angles: []figure.SheetAngle{
			{Name: "Caster, left", Target: "5.00°", Minutes: "5° 00′", From: "4.50°", To: "5.50°", Before: "4.10°"},
			{Name: "Camber, left", Target: "−0.25°", Minutes: "−0° 15′", From: "−0.50°", To: "0.00°"},
			{Name: "Total toe", Target: "0.10°", Minutes: "0° 06′", From: "0.00°", To: "0.20°", Before: "0.35°", AtRim: figure.Span{Text: figure.Either("0.8 mm", "0.03 in"), Value: true}}},
		Stands: []figure.SheetStand{{What: "Front tyres, cold", Value: figure.Span{Text: figure.Either("230 kPa", "33 psi"), Value: true}}, {What: "Rear tyres, cold"},
			{What: "Hub to arch", Value: figure.Span{Text: figure.Either("520 mm", "20.5 in"), Value: true}}, {What: "Load", Value: figure.Span{Text: figure.Plain("as it stands")}}},
		Rim: figure.Span{Text: figure.Plain("17 in"), Value: true},
		Cams: [2]figure.SheetCams{{Given: true, Front: figure.SheetCam{Out: 4e-3, Turn: 0.66, Text: "38°"}, Rear: figure.SheetCam{Out: -6e-3, Turn: -1.57, Text: "−90°"}},
			{Given: true, Front: figure.SheetCam{Out: 4e-3, Turn: 0.72, Text: "41°"}, Rear: figure.SheetCam{Text: "0°"}}},
		Settings: []figure.SheetSetting{
			{Name: "Front cam of the lower arm, pivot out (+) or in (−)", Left: figure.Span{Text: figure.Plain("38 ± 4°"), Value: true}, Right: figure.Span{Text: figure.Plain("41 ± 4°"), Value: true}},
			{Name: "Rear cam of the lower arm, pivot out (+) or in (−)", Left: figure.Span{Text: figure.Plain("−90°"), Value: true}, Right: figure.Span{Text: figure.Plain("0°"), Value: true}, Limit: "left at the limit"},
			{Name: "Upper arm, rearward (+) or forward (−)", Left: figure.Span{Text: figure.Either("4.5 mm", "0.18 in"), Value: true}, Right: figure.Span{Text: figure.Either("4.5 mm", "0.18 in"), Value: true}}},
		Notes: []figure.Text{typed("Tyres at 230 kPa, half a tank, nobody aboard.")}}
}

func sampleIndex() Page {
	site := sampleSite()
	return Page{Site: site, Path: "index.html", Eval: &eval.Page{Title: typed("The Corrie notebooks"),
		Summary: typed("Front-suspension choices for one lifted 4x4, with the numbers worked out.")}, List: site.Sections[1:4], Digest: "5f0c2b9e41d7"}
}

// writeSite renders the sample pages into a folder.
func writeSite(t testing.TB, folder string) {
	t.Helper()
	write := func(name string, data []byte) {
		name = filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, p := range []Page{samplePage(), sampleIndex(), galleryPage()} {
		out, err := Render(p)
		if err != nil {
			t.Fatal(err)
		}
		write(p.Path, out.HTML)
		for _, f := range out.Files {
			write(f.Path, f.Data)
		}
	}
	assets, err := os.ReadDir("assets")
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range assets {
		data, err := os.ReadFile(filepath.Join("assets", a.Name()))
		if err != nil {
			t.Fatal(err)
		}
		write(AssetFolder+"/"+a.Name(), data)
	}
}
