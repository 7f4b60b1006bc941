package model

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFindings(t *testing.T) {
	searches := 0
	find := func(f *Findings, of float64) string {
		found, err := f.Find([]any{"it", of, struct{ N []float64 }{[]float64{math.NaN()}}}, func() ([]byte, error) {
			searches++
			return []byte{0, 0xff, byte(of)}, nil
		})
		require.NoError(t, err)
		return string(found)
	}
	first := NewFindings(nil)
	assert.Equal(t, "\x00\xff\x01", find(first, 1))
	assert.Equal(t, "\x00\xff\x02", find(first, 2))
	_, err := first.Find([]any{"fails"}, func() ([]byte, error) { return nil, errors.New("it") })
	require.Error(t, err)
	second := NewFindings(first.All())
	assert.Equal(t, "\x00\xff\x02", find(second, 2))
	assert.Equal(t, 2, searches)
	find(second, 3)
	assert.Equal(t, 3, searches)
	assert.Len(t, first.All(), 2, "what fails isn't kept, and each has its own")
	assert.Equal(t, find(nil, 4), find(nil, 4))
	assert.Equal(t, 5, searches)
}
