package naive

import (
	"strings"

	"example.com/rung/curriculum"
)

// meant is the declared sign that an undeclared name is taken for: the one that stops most among those that the name
// begins with, a last e apart, or is few slips away from, then the one with the fewest slips, then the first; nil for none.
func (r *Reader) meant(written string) *curriculum.Sign {
	written = strings.ToLower(written)
	worst := 1 + len(written)/7
	for _, stops := range []curriculum.SignEffect{
		curriculum.LockEverything, curriculum.LockNamed, curriculum.LockBehaviour, curriculum.EndSession, curriculum.EndBehaviour} {
		for slips := 0; slips <= worst; slips++ {
			for i, s := range r.c.Signs {
				name := strings.ToLower(s.Name)
				stem := strings.TrimSuffix(name, "e")
				near := len(stem) >= 3 && strings.HasPrefix(written, stem) || slips < len(name) && within(written, name, slips)
				if s.Locks == stops && near {
					return &r.c.Signs[i]
				}
			}
		}
	}
	return nil
}

// within reports whether so many slips are enough to get from one word to the other, letter by letter from the front.
func within(a, b string, slips int) bool {
	switch {
	case slips < 0:
		return false
	case a == "" || b == "":
		return len(a)+len(b) <= slips
	case a[0] == b[0] && within(a[1:], b[1:], slips):
		return true
	case len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] && within(a[2:], b[2:], slips-1):
		return true
	}
	return within(a[1:], b[1:], slips-1) || within(a[1:], b, slips-1) || within(a, b[1:], slips-1)
}
