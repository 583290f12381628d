package plan

import (
	"fmt"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// day is a date as people say it.
func day(t time.Time) string { return t.Format("2 January 2006") }

// plural is a number with its noun.
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// list is "a, b and c".
func list(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

// orList is "a, b or c".
func orList(words []string) string {
	if len(words) < 2 {
		return list(words)
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// times is how often.
func times(n int) string {
	if n == 2 {
		return "twice"
	}
	return plural(n, "time", "times")
}

// ordinal is "3rd".
func ordinal(n int) string {
	end := "th"
	switch {
	case n%100 >= 11 && n%100 <= 13:
	case n%10 == 1:
		end = "st"
	case n%10 == 2:
		end = "nd"
	case n%10 == 3:
		end = "rd"
	}
	return fmt.Sprintf("%d%s", n, end)
}

// number is v with at most two decimals and no needless noughts.
func number(v float64) string {
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
}

// nearest is the name that was probably meant, or "".
func nearest(word string, names []string) string { return curriculum.Nearest(word, names) }
