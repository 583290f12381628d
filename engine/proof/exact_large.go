package proof

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// smaller says which criteria of rules make too many states to look at, and what can be proved in their place.
func smaller(rules []curriculum.Rule) string {
	var uneven, even, sure, windows []curriculum.Criterion
	for i := range rules {
		for c := range curriculum.Parts(rules[i].When) {
			switch x := c.(type) {
			case curriculum.Sequential:
				if new(big.Rat).Add(x.Low.Rat(), x.High.Rat()).Cmp(big.NewRat(1, 1)) != 0 {
					uneven = append(uneven, c)
				} else {
					even = append(even, c)
				}
			case curriculum.Confidence:
				sure = append(sure, c)
			case curriculum.Window:
				if !x.Each && x.N > 1 { // a block has few states, however long
					windows = append(windows, c)
				}
			}
		}
	}
	switch {
	case len(uneven) > 0:
		return quoted(uneven, 2) + " counts on without ever coming back to where it was; between shares that add up to 100%, such as 30% against 70%, it does, and can be proved"
	case len(sure) > 0:
		return quoted(sure, 2) + " leaves out what was helped late, so that the order of all it looks at matters; of last 15 or so it can be proved"
	case len(even) > 0:
		return quoted(even, 2) + " counts on for as long as nothing ends it; with the same test in the ease it can be proved"
	case len(windows) > 0:
		slices.SortStableFunc(windows, func(a, b curriculum.Criterion) int {
			return b.(curriculum.Window).N - a.(curriculum.Window).N
		})
		return "make the longest windows shorter, or blocks such as 8 of each 10: here they are " + quoted(windows, 2)
	}
	return "make a rule of fewer parts"
}

// quoted are the first of some criteria as they are written, each once.
func quoted(of []curriculum.Criterion, most int) string {
	var out []string
	for _, c := range of {
		if text := fmt.Sprintf("`%s`", curriculum.CriterionText(c)); !slices.Contains(out, text) && len(out) < most {
			out = append(out, text)
		}
	}
	return strings.Join(out, " and ")
}
