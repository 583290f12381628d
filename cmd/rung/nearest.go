package main

import "strings"

// nearest is the name in names that s was most likely meant to be, or "" where none is near.
func nearest(s string, names []string) string {
	best, most := "", 1+len(s)/3
	for _, n := range names {
		if d := distance(strings.ToLower(s), strings.ToLower(n)); d <= most && (best == "" || d < most) {
			best, most = n, d
		}
	}
	return best
}

// distance counts the letters to insert, drop, change or swap with their neighbour to get from a to b.
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	d := make([][]int, len(s)+1)
	for i := range d {
		d[i] = make([]int, len(t)+1)
		d[i][0] = i
	}
	for j := range d[0] {
		d[0][j] = j
	}
	for i := 1; i <= len(s); i++ {
		for j := 1; j <= len(t); j++ {
			change := d[i-1][j-1]
			if s[i-1] != t[j-1] {
				change++
			}
			d[i][j] = min(change, d[i-1][j]+1, d[i][j-1]+1)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(s)][len(t)]
}

// perhaps is a sentence that offers the nearest name, or lists them all where none is near and they are few.
func perhaps(s string, names []string) string {
	if n := nearest(s, names); n != "" {
		return "Did you mean " + n + "?"
	}
	if len(names) > 0 && len(names) <= 20 {
		return "Known here: " + strings.Join(names, ", ") + "."
	}
	return ""
}
