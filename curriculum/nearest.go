package curriculum

import "strings"

// Nearest is the name that word was most plausibly meant to be: the one with the fewest typing slips (a letter added,
// dropped, changed, or two neighbours swapped), the first of equals; else the only one that it begins or ends up to a hyphen (nose of nose-touch); "" where none is near
// enough to be worth saying.
func Nearest(word string, names []string) string {
	limit := 1 + len(word)/4
	best, found := limit+1, ""
	for _, n := range names {
		if n == word || len(n) > len(word)+limit || len(word) > len(n)+limit {
			continue
		}
		if d := slips([]rune(word), []rune(n)); d < best && d < len(n) {
			best, found = d, n
		}
	}
	if found == "" {
		return wholeOf(word, names)
	}
	return found
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
