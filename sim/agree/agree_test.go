package agree

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// counted counts failures.
type counted int

func (c *counted) Errorf(string, ...any) { *c++ }
func (c *counted) FailNow()              {}

func TestAgree(t *testing.T) {
	for _, c := range []struct {
		want, got, by      float64
		absolute, relative bool
	}{
		{100, 101, 0.02, false, true},
		{100, 101, 2, true, true},
		{-100, -101, 0.02, false, true},
		{0, 1e-12, 1e-9, true, false},
		{0, 0, 0, true, true},
		{1, math.NaN(), 1, false, false},
		{math.NaN(), 1, 1, false, false},
		{math.Inf(1), math.Inf(1), 1, false, false},
	} {
		var absolute, relative counted
		Absolute(&absolute, c.want, c.got, c.by, "")
		Relative(&relative, c.want, c.got, c.by, "")
		assert.Equal(t, c.absolute, absolute == 0, "%v", c)
		assert.Equal(t, c.relative, relative == 0, "%v", c)
	}
}
