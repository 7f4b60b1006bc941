package eval

import (
	"turnplate/site/figure"
)

func drawing(s *scope, a *arguments) figure.Figure { return nil }
