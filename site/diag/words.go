package diag

import "strings"

// WithArticle puts a or an before a noun.
func WithArticle(noun string) string {
	if strings.ContainsRune("aeiouAEIOU", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}
