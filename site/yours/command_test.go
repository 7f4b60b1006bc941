package yours

import (
	"testing"

	"github.com/stretchr/testify/require"

	"turnplate/site/eval"
)

// Whatever a reader does, what was right before stays unless it is told to go.
func TestDo(t *testing.T) {
	page := corrie(t)
	c := Changes{Name: "truck"}
	do := func(cmd Command) Answer {
		t.Helper()
		a := c.Do(cmd, carryOut(c, page), eval.SurveyReadings)
		c = a.Changes
		return a
	}
	require.Empty(t, do(Command{Do: "set", Path: "Mass", Text: "4400", US: true}).Notes)
	wrong := do(Command{Do: "set", Path: "Mass", Text: "heavy"})
	require.Equal(t, "truck.Mass = 4400*lb\n", c.Text())
	require.Equal(t, "Mass", wrong.Notes[0].Path)
	html, err := Form{Changes: c, Page: page, Now: carryOut(c, page), Notes: wrong.Notes}.HTML()
	require.NoError(t, err)
	require.Contains(t, string(html), `value="heavy"`, "what was typed stays, to be mended")

	link := c.Pack()
	require.Contains(t, do(Command{Do: "printout", Values: map[string]string{"Caster.Left": "4"}}).Said, "moved")
	require.NotEmpty(t, do(Command{Do: "printout"}).Notes)
	require.GreaterOrEqual(t, len(c.List), 3)
	require.NotEmpty(t, do(Command{Do: "file", File: "a.CSV", Text: "Kind,From\n"}).Notes)
	require.NotEmpty(t, do(Command{Do: "file", File: "a.csv", Text: "Kind,From,To,Reading (mm)\ntape,UpperBall,LowerBall,1\n"}).Notes)
	require.NotEmpty(t, do(Command{Do: "file", File: "a.md", Text: "# A page\n"}).Notes)
	require.NotEmpty(t, do(Command{Do: "link", Text: "x"}).Notes)
	require.GreaterOrEqual(t, len(c.List), 3, "none of these took anything away")
	require.Empty(t, do(Command{Do: "link", Text: link}).Notes)
	require.Equal(t, "truck.Mass = 4400*lb\n", c.Text())
	require.Len(t, do(Command{Do: "file", File: "a.md", Text: "truck.Mass = 2000*kg\ntruck.Masss = 1*kg\n"}).Notes, 1)
	require.Equal(t, "truck.Mass = 2000*kg\n", c.Text(), "what could be read counts")
	do(Command{Do: "clear"})
	require.Empty(t, c.List)
	require.Equal(t, c, c.Do(Command{Do: "nothing"}, nil, nil).Changes)
	require.NotEmpty(t, c.Do(Command{Do: "printout"}, nil, nil).Notes)
	require.NotEmpty(t, c.Do(Command{Do: "file", File: "a.csv"}, nil, nil).Notes)
}
