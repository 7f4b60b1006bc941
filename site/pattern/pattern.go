// Package pattern has the regular expressions that the rest of the site uses only now and then.
package pattern

import (
	"regexp"
	"sync"
)

// Of gives a regular expression that is compiled when it is first asked for. A browser's first page waits for all that
// the program does when it starts, and most patterns are for mistakes that few readers and authors make.
func Of(text string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(text) })
}
