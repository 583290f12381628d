package odds

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// writeTable writes columns, each as wide as it needs.
func writeTable(b *strings.Builder, head []string, rows [][]string) {
	wide := make([]int, len(head))
	for _, row := range append([][]string{head}, rows...) {
		for i, cell := range row {
			wide[i] = max(wide[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range append([][]string{head}, rows...) {
		line := ""
		for i, cell := range row {
			line += "  " + right(cell, wide[i])
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

// whole is a chance as a whole number of hundredths.
func whole(v float64) string {
	switch n := math.Round(100 * v); {
	case n == 0 && v > 0:
		return "<1"
	case n == 100 && v < 1:
		return ">99"
	default:
		return fmt.Sprintf("%.0f", n)
	}
}

// fine is a chance in hundredths with one decimal.
func fine(v float64) string {
	switch n := math.Round(1000*v) / 10; {
	case n == 0 && v > 0:
		return "<0.1%"
	case n == 100 && v < 1:
		return ">99.9%"
	default:
		return fmt.Sprintf("%.1f%%", n)
	}
}

// trials is a number of trials for people.
func trials(t Trials) string {
	switch {
	case !t.Finite():
		return "never"
	case t > manyTrials:
		return "over 10,000"
	case t >= 100:
		return fmt.Sprintf("%.0f", float64(t))
	}
	return fmt.Sprintf("%.1f", float64(t))
}

// spreadText is a mean with its spread.
func spreadText(mean, sd Trials) string {
	if !mean.Finite() || mean > manyTrials {
		return trials(mean)
	}
	return fmt.Sprintf("%s ± %s", trials(mean), trials(sd))
}

// firstMove is the mean with its spread, or why there is none.
func (r *Row) firstMove() string {
	switch {
	case r.Unknown > 0:
		return "not known"
	case r.Never > 0 && r.Never < 1:
		return "some never"
	}
	return spreadText(r.Mean, r.SD)
}

// reached is the trial by which so many have moved, as far as anyone waits.
func (r *Row) reached(n ByTrial) string {
	switch {
	case n > 0:
		return fmt.Sprint(n)
	case r.Never > 0 || r.Unknown > 0 || r.Through == 0: // never, not known, or not asked for
		return "-"
	}
	return fmt.Sprintf("over %d", maxWait)
}

func pad(s string, n int) string {
	return s + strings.Repeat(" ", max(0, n-utf8.RuneCountInString(s)))
}

func right(s string, n int) string {
	return strings.Repeat(" ", max(0, n-utf8.RuneCountInString(s))) + s
}

func centred(s string, n int) string {
	return strings.Repeat(" ", max(0, n-utf8.RuneCountInString(s))/2) + s
}

// fill writes a paragraph in lines of at most textWide columns, the first behind lead, the others behind rest.
func fill(b *strings.Builder, s, lead, rest string) {
	line, empty := lead, true
	for _, word := range strings.Fields(s) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > textWide {
			b.WriteString(line + "\n")
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	b.WriteString(line + "\n")
}
