package curriculum

import "strings"

// Nearest is the name that word was most plausibly meant to be: the one with the fewest typing slips (see Slips), the
// first of equals; else the only one that it begins or ends up to a hyphen (nose of nose-touch); "" where none is near
// enough to be worth saying.
func Nearest(word string, names []string) string {
	best, found := 0, ""
	for _, n := range names {
		if d, near := Slips(word, n); near && n != word && (found == "" || d < best) {
			best, found = d, n
		}
	}
	if found == "" {
		return wholeOf(word, names)
	}
	return found
}

// Slips is how many typing slips lead from a word to a name: a letter added, dropped or changed, or two neighbours
// swapped. They are near where that is one slip, and one more for every four letters of the word, at most.
func Slips(word, name string) (n int, near bool) {
	limit := 1 + len(word)/4
	if len(name) > len(word)+limit || len(word) > len(name)+limit {
		return 0, false
	}
	n = slips([]rune(word), []rune(name))
	return n, n <= limit && n < len(name)
}

// wholeOf is the one name of which a word is the beginning or the end up to a hyphen, "" where there are none or several.
func wholeOf(word string, names []string) string {
	found := ""
	for _, n := range names {
		if word == "" || !strings.HasPrefix(n, word+"-") && !strings.HasSuffix(n, "-"+word) {
			continue
		}
		if found != "" {
			return ""
		}
		found = n
	}
	return found
}

// slips is the edit distance of two words where a swap of neighbours counts once (optimal string alignment).
func slips(a, b []rune) int {
	before, above, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range above {
		above[j] = j
	}
	for i := range a {
		row[0] = i + 1
		for j := range b {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			row[j+1] = min(above[j]+cost, above[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, above, row = above, row, before
	}
	return above[len(b)]
}
