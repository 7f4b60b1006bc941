package model

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestCacheIsBounded(t *testing.T) {
	c := NewCache()
	c.room = 1000
	for i := range 100 {
		c.put(&cached{key: cacheKey{byte(i)}, size: 90})
	}
	assert.LessOrEqual(t, c.Numbers(), 1000)
	assert.Nil(t, c.get(cacheKey{1}))
	assert.NotNil(t, c.get(cacheKey{99}))
}
