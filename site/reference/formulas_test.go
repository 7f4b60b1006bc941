package reference

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim"
	"turnplate/site/notebook"
)

// Every model's page has its formula, which sets, and a sketch; nothing else has one.
func TestEveryModelHasItsFormula(t *testing.T) {
	known := map[string]bool{}
	for _, m := range sim.Models() {
		known[m.Name] = true
		f, ok := formulas[m.Name]
		require.True(t, ok, "%s has no formula in formulas.go", m.Name)
		nb := notebook.Read("a", []byte(glance(m.Name)))
		assert.Empty(t, nb.Faults, m.Name)
		assert.NotPanics(t, func() { termNamed(f.sketch) }, m.Name)
	}
	for name := range formulas {
		assert.True(t, known[name], "%s is no model", name)
	}
}
