package plan

import (
	"fmt"
	"math"
	"slices"

	"example.com/rung/curriculum"
)

// lever is one limit that can be eased, in whole units; where the unit is nought it can only go whole.
type lever struct {
	limit  string
	from   int     // in units
	most   int     // as far as it is tried
	unit   float64 // of From and To
	steady bool    // more of it is enough wherever less is
	ease   func(d *terms, units int)
	text   func(from, to float64) string
}

// terms is what of a request and its session rules a lever may ease.
type terms struct {
	r Request
	s curriculum.Session
}

// Levers are tried no further than this: nobody eases a limit beyond it for one session.
const (
	mostMinutes = 60
	mostPieces  = 200
	mostKcal    = 500
	mostCount   = 60
)

// levers is the limits of this session that can be eased, in the order in which they are offered.
func (b *builder) levers() (out []lever) {
	l := &b.limits
	instead := func(what string) func(from, to float64) string {
		return func(from, to float64) string {
			return fmt.Sprintf("%s %s instead of %s", number(to), what, number(from))
		}
	}
	more := func(one, many string) func(from, to float64) string {
		return func(from, to float64) string { return plural(int(to-from), one, many) + " more" }
	}
	if l.time >= 0 {
		out = append(out, lever{limitMinutes, l.time / 300, 2 * mostMinutes, 0.5, true, func(d *terms, n int) {
			d.r.Minutes, d.s.Lasts = float64(n)/2, curriculum.Q(int64(30*n), curriculum.Second)
		}, func(_, to float64) string {
			if from := float64(l.time) / 600; from < 1 {
				return minutes(to) + " instead of " + minutes(from)
			}
			return fmt.Sprintf("%s instead of %s", minutes(to), number(float64(l.time)/600))
		}})
	}
	if b.r.Pieces > 0 {
		out = append(out, lever{limitPieces, b.r.Pieces, mostPieces, 1, true, func(d *terms, n int) { d.r.Pieces = n }, more("piece", "pieces")})
	}
	if b.r.Kcal > 0 {
		out = append(out, lever{limitKcal, int(math.Floor(b.r.Kcal)), mostKcal, 1, true, func(d *terms, n int) { d.r.Kcal = float64(n) }, func(_, to float64) string {
			return fmt.Sprintf("%s kcal at hand instead of %s", number(to), number(b.r.Kcal))
		}})
	}
	for _, k := range []struct {
		limit, what string
		most        int
		steady      bool
		of          func(*curriculum.Session) *int
	}{
		// with more trials there are more ways to be paid and to open and close with one behaviour, and what is needed for them
		{limitTrials, "trials", mostCount, false, func(s *curriculum.Session) *int { return &s.MaxTrials }},
		{limitBehaviours, "behaviours", mostCount, true, func(s *curriculum.Session) *int { return &s.MaxBehaviours }},
		{limitNew, "new behaviours", mostCount, true, func(s *curriculum.Session) *int { return &s.MaxNew }},
		// with longer runs there are fewer blocks to put between others; beyond an item's trials nothing changes
		{limitInARow, "in a row", mostWork, false, func(s *curriculum.Session) *int { return &s.MaxInARow }},
	} {
		if n := *k.of(b.s); n > 0 && n < k.most {
			out = append(out, lever{k.limit, n, k.most, 1, k.steady, func(d *terms, n int) { *k.of(&d.s) = n }, instead(k.what)})
		}
	}
	if !b.s.Success.IsZero() {
		down := 100 - b.aim()/10
		// where there are rests it matters in which order things come, and that depends on how hard they seem
		out = append(out, lever{limitSuccess, down, 100, -1, b.s.Rest.IsZero(), func(d *terms, n int) { d.s.Success = curriculum.Percent(int64(max(0, 100-n))) },
			func(_, to float64) string {
				return fmt.Sprintf("success at %s%% instead of %s", number(100+to), b.s.Success)
			}})
	}
	return append(out, b.rules()...)
}

// rules is what can only be let go whole.
func (b *builder) rules() (out []lever) {
	whole := func(limit, text string, ease func(*terms)) {
		out = append(out, lever{limit, 0, 1, 0, true, func(d *terms, _ int) { ease(d) }, func(_, _ float64) string { return text }})
	}
	if !b.s.OpensWith.IsZero() {
		whole("opens with", "without `opens with`", func(d *terms) { d.s.OpensWith = curriculum.Slot{} })
	}
	if !b.s.ClosesWith.IsZero() {
		whole("closes with", "without `closes with`", func(d *terms) { d.s.ClosesWith = curriculum.Slot{} })
	}
	if b.r.Equipment != nil {
		for _, e := range b.c.Equipment {
			if !slices.Contains(b.r.Equipment, e.Name) {
				whole("equipment", "with "+e.Name+" at hand", func(d *terms) { d.r.Equipment = append(append([]string{}, d.r.Equipment...), e.Name) })
			}
		}
	}
	for _, p := range b.c.Places {
		if p != b.r.Place {
			whole("place", "in "+p, func(d *terms) { d.r.Place = p })
		}
	}
	return out
}

// leastEnough is the least amount of a lever that is enough. Of a steady one its most is known to be; of another each
// amount is tried.
func (l *lever) leastEnough(enough func(int) bool) (least int, ok bool) {
	if !l.steady {
		for n := l.from + 1; n <= l.most; n++ {
			if enough(n) {
				return n, true
			}
		}
		return 0, false
	}
	low, high := l.from, l.most // low is not enough, high is
	for high-low > 1 {
		if mid := (low + high) / 2; enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high, true
}
