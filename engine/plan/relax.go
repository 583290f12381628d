package plan

import "strings"

// A session falls short where nothing can be in it, where a place of the session rules stays empty though somebody could
// have it, or where there is work to do and the opening and the closing leave no room for any. Then the plan says which
// limits clash: the smallest sets of them that, eased, would be enough, each with the least that is needed. Locks, caps,
// doors, what must stay apart and the dog's profile are never eased; a limit is eased no further than the profile allows.
//
// Whether an amount is enough is asked of the solver, which finds a whole session or proves that there is none, rests
// and all. Some limits are not steady: more of them may be enough where still more is not. Their amounts are gone through
// one by one. Where several limits are eased together, each in its turn is eased as little as can be with those before it
// settled and those behind it as far as they go.
//
// relax_levers.go has what can be eased, relax_whole.go the question put to the solver.

// Clash is what keeps a session from being whole, and what would help.
type Clash struct {
	Short string       `json:"short"` // what is missing
	Ease  []Relaxation `json:"ease"`  // each is enough by itself; empty where no easing of limits helps
	// Proved says that no single limit but those offered, and no smaller amount of one, is enough; false where a search
	// ended before it was decided.
	Proved bool `json:"proved"`
}

// Relaxation is one or more limits eased together.
type Relaxation struct {
	Changes []Change `json:"changes"`
	Text    string   `json:"text"`
}

// Change is one limit eased. From and To are numbers for a limit that has an amount, otherwise Rule says what goes.
type Change struct {
	Limit string  `json:"limit"`
	From  float64 `json:"from,omitempty"`
	To    float64 `json:"to,omitempty"`
	Rule  string  `json:"rule,omitempty"`
}

// mostTogether is how many limits are eased together at most.
const mostTogether = 3

// clash says what keeps this session from being whole: nil where nothing does.
func (b *builder) clash(got *solution, m *model, few bool) *Clash {
	empty := m.empties(got)
	switch {
	case none(got.option):
		empty = []string{"no behaviour fits"}
	case few:
		empty = []string{"no behaviour fits with its usual trials"}
	case len(empty) == 0, m.alone(got):
		if !b.work(always) || b.work(got.in) {
			return nil
		}
		empty = []string{"beside the opening and the closing there is no room for work"}
	case len(empty) == 1:
		empty = []string{empty[0] + " stays empty"}
	default:
		empty = []string{list(empty) + " stay empty"}
	}
	k := &Clash{Short: empty[0], Ease: []Relaxation{}}
	levers := b.levers()
	for n := 1; n <= mostTogether && len(k.Ease) == 0; n++ {
		if n == 2 && !b.helps(levers) {
			break
		}
		subsets(len(levers), n, func(pick []int) {
			if r, ok := b.easeTogether(levers, pick); ok {
				k.Ease = append(k.Ease, r)
			}
		})
	}
	k.Proved = !b.unsure
	return k
}

// helps reports whether everything eased as far as it goes would be enough: in some place, and with or without the rules
// on the opening and the closing (a known behaviour needs one of them to come in).
func (b *builder) helps(levers []lever) bool {
	places, slots := []lever{{ease: func(*terms, int) {}}}, []lever{}
	base := &terms{r: b.r, s: *b.s}
	for _, l := range levers {
		switch l.limit {
		case "place":
			places = append(places, l)
		case "opens with", "closes with":
			slots = append(slots, l)
		default:
			l.ease(base, l.most)
		}
	}
	for _, p := range places {
		for without := range 1 << len(slots) {
			d := *base
			p.ease(&d, 1)
			for i, l := range slots {
				if without>>i&1 != 0 {
					l.ease(&d, 1)
				}
			}
			if b.whole(&d) != no {
				return true
			}
		}
	}
	return false
}

// subsets calls f with every set of n of the numbers below total, in order.
func subsets(total, n int, f func([]int)) {
	var walk func(from int, pick []int)
	walk = func(from int, pick []int) {
		if len(pick) == n {
			f(pick)
			return
		}
		for i := from; i < total; i++ {
			walk(i+1, append(pick[:len(pick):len(pick)], i))
		}
	}
	walk(0, nil)
}

// easeTogether is the least that a set of limits must be eased together: the first as little as can be with the others
// as far as they go, then the second, and so on. ok is false where that is not enough.
func (b *builder) easeTogether(levers []lever, pick []int) (r Relaxation, ok bool) {
	units := make([]int, len(pick))
	limits := map[string]bool{}
	for k, i := range pick {
		units[k] = levers[i].most
		if limit := levers[i].limit; limit == "place" && limits[limit] {
			return r, false // nobody is in two places
		}
		limits[levers[i].limit] = true
	}
	enough := func() bool {
		d := &terms{r: b.r, s: *b.s}
		for k, i := range pick {
			levers[i].ease(d, units[k])
		}
		return b.whole(d) == yes
	}
	if (len(pick) > 1 || levers[pick[0]].steady) && !enough() {
		return r, false
	}
	var texts []string
	for k, i := range pick {
		l := &levers[i]
		if l.unit != 0 {
			least, ok := l.leastEnough(func(n int) bool {
				units[k] = n
				return enough()
			})
			if !ok {
				return r, false
			}
			units[k] = least
		}
		c := Change{Limit: l.limit, From: float64(l.from) * l.unit, To: float64(units[k]) * l.unit}
		if l.unit < 0 { // success counts down from all
			c.From, c.To = 100+c.From, 100+c.To
		}
		if l.limit == limitMinutes {
			c.From = float64(b.limits.time) / 600
		}
		if l.limit == limitKcal {
			c.From = b.r.Kcal
		}
		text := l.text(float64(l.from)*l.unit, float64(units[k])*l.unit)
		if l.unit == 0 {
			c = Change{Limit: l.limit, Rule: text}
		}
		r.Changes = append(r.Changes, c)
		texts = append(texts, text)
	}
	r.Text = strings.Join(texts, " and ")
	return r, true
}

// explainClash writes what clashes into the notes.
func (b *builder) explainClash() {
	k := b.plan.Clash
	if k == nil {
		return
	}
	if len(k.Ease) == 0 {
		return // the reasons stand beside what is left out
	}
	var ways []string
	for _, r := range k.Ease {
		ways = append(ways, r.Text)
	}
	author := ""
	if b.authors(k) {
		author = " What the session rules say is their author's to change."
	}
	if !k.Proved {
		author = " Less may do: not every session was tried." + author
	}
	b.note("The limits clash: %s. Enough would be: %s.%s", k.Short, strings.Join(ways, "; or "), author)
}

// authors reports whether one of the changes is to the session rules.
func (b *builder) authors(k *Clash) bool {
	for _, r := range k.Ease {
		for _, c := range r.Changes {
			switch c.Limit {
			case limitPieces, limitKcal, "place", "equipment":
			case limitMinutes:
				if lasts := b.s.Lasts; !lasts.IsZero() && c.To*60 > lasts.Float() {
					return true
				}
			default:
				return true
			}
		}
	}
	return false
}
