package figure

import "strings"

// inWords is a drawing in words for readers of each system: its author's own, or else what it says of itself.
func (h Head) inWords(say func(System) string) Words {
	words := func(system System) string {
		if own := clean(h.Alt.In(system)); own != "" {
			return own
		}
		return say(system)
	}
	return Either(words(Metric), words(US))
}

// alternative says in words what the curves show: what is plotted, and for each line where it starts,
// ends, and turns.
func (r *curves) alternative(system System) string {
	sh := r.shown.in(system)
	var b strings.Builder
	b.WriteString(title(clean(r.Y.Label), sh.y.unit.Symbol) + " against " + title(clean(r.X.Label), sh.x.unit.Symbol))
	b.WriteString(", from " + sh.x.reading(r.x.lo) + " to " + sh.x.reading(r.x.hi) + ".")
	const most = 16 // lines; nobody can listen to more
	told := 0
	for _, p := range r.Panels {
		for _, l := range p.Lines {
			if told++; told > most {
				continue
			}
			name := heading(p.Title.clean().In(system), l.Label.clean().In(system))
			if name != "" {
				name += ": "
			}
			b.WriteString(" " + name + sh.course(l) + ".")
		}
		for _, s := range p.Points {
			b.WriteString(" " + orElse(clean(s.Label), "Readings") + ": " + count(s.count(), "reading", "readings") + sh.errors(s) + ".")
		}
	}
	for _, limit := range r.Limits {
		b.WriteString(" Limit, " + limit.Label.clean().In(system) + ": " + sh.course(limit.Line))
		if limit.Better != "" {
			b.WriteString("; " + limit.Better + " is better")
		}
		b.WriteString(".")
	}
	if told > most {
		b.WriteString(" And " + count(told-most, "more line.", "more lines."))
	}
	return b.String()
}

// errors says how far a set of readings may be out.
func (sh shown) errors(s Points) string {
	most, alike := 0.0, true
	for i := range s.count() {
		_, _, barred := s.bar(i)
		if barred {
			most = max(most, s.Error[i])
		}
		alike = alike && barred && s.Error[i] == s.Error[0]
	}
	switch {
	case most == 0:
		return ""
	case alike:
		return ", each ± " + sh.y.reading(most)
	}
	return ", up to ± " + sh.y.reading(most)
}

// course describes one line.
func (sh shown) course(l Line) string {
	first, last, low, high := -1, -1, -1, -1
	rises, falls, gaps := true, true, false
	for i := range l.count() {
		if !l.has(i) {
			gaps = true
			continue
		}
		if first < 0 {
			first, low, high = i, i, i
		} else {
			rises = rises && l.Y[i] >= l.Y[last]
			falls = falls && l.Y[i] <= l.Y[last]
		}
		if l.Y[i] < l.Y[low] {
			low = i
		}
		if l.Y[i] > l.Y[high] {
			high = i
		}
		last = i
	}
	if first < 0 {
		return "no values"
	}
	at := func(i int) string { return sh.y.reading(l.Y[i]) + " at " + sh.x.reading(l.X[i]) }
	const flat = 0.005 // of the axis: less can't be seen
	text := ""
	switch {
	case first == last:
		return at(first)
	case l.Y[high]-l.Y[low] < flat*sh.y.size():
		text = "stays near " + sh.y.reading(l.Y[first])
	case rises:
		text = "rises from " + at(first) + " to " + at(last)
	case falls:
		text = "falls from " + at(first) + " to " + at(last)
	default:
		text = "starts with " + at(first) + ", ends with " + at(last)
		if low != first && low != last {
			text += ", lowest " + at(low)
		}
		if high != first && high != last {
			text += ", highest " + at(high)
		}
	}
	if gaps {
		text += ", with gaps"
	}
	return text
}
