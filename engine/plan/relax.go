package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// A session falls short where nothing can be in it, where a place of the session rules stays empty though somebody could
// have it, or where there is work to do and the opening and the closing leave no room for any. Then the plan says which
// limits clash: the smallest sets of them that, eased, would be enough, each with the least that is needed. Locks, caps,
// doors, what must stay apart and the dog's profile are never eased; a limit is eased no further than the profile allows.
//
// Whether an amount is enough is asked of the solver, which finds a whole session or proves that there is none, rests
// and all. Some limits are not steady: more of them may be enough where still more is not. Their amounts are gone through
// one by one. Where several limits are eased together, each in its turn is eased as little as can be with those before it
// settled and those behind it as far as they go.

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

// easeBudget bounds the search for one easing of a limit: that the places can be filled shows early.
const easeBudget = 10_000

// work reports whether a candidate of this day is in for more than an opening or a closing.
func (b *builder) work(in func(i int) bool) bool {
	for i, c := range b.cands {
		if !c.placeOnly() && in(i) {
			return true
		}
	}
	return false
}

func (got *solution) in(i int) bool { return got.option[i].trials > 0 }

func always(int) bool { return true }

// verdict is the answer to a question that a search may leave open.
type verdict int

const (
	no verdict = iota
	yes
	open
)

// whole is whether a session of this day would be whole: with work in it, where this day as it is or so eased has work,
// and with a place filled, where somebody could have it on this day as it is.
func (b *builder) whole(d *terms) verdict {
	t := &builder{c: b.c, v: b.v, r: d.r, s: &d.s, plan: &Plan{Dog: b.plan.Dog}, today: b.today}
	t.setLimits()
	t.stock()
	t.gate()
	if t.foods.none != "" || len(t.cands) == 0 {
		return no
	}
	m := t.restedModel(false)
	lost := func(p, was curriculum.Slot, may []int) bool {
		return !p.IsZero() && len(may) == 0 && len(b.slotted(was)) > 0
	}
	if lost(d.s.OpensWith, b.s.OpensWith, m.opens) || lost(d.s.ClosesWith, b.s.ClosesWith, m.closes) {
		return no
	}
	v := m.reaches(m.askWhole(t, b.work(always) || t.work(always)))
	b.unsure = b.unsure || v == open
	return v
}

// askWhole makes the model ask for a whole session alone, whatever it brings beside, and says what one is worth at least.
func (m *model) askWhole(b *builder, work bool) (least int) {
	alone := len(m.items) == 1
	if alone { // it has every place that it may have, so none of them counts
		m.items[0].placeOnly = m.items[0].placeOnly && len(m.opens)+len(m.closes) == 0
		m.opens, m.closes = nil, nil
	}
	for i := range m.items {
		counts := !work && alone || !b.cands[i].placeOnly()
		for _, options := range [][]option{m.items[i].options, m.items[i].both} {
			for k := range options {
				options[k].value = 0
				if counts && options[k].trials > 0 {
					options[k].value = microPoints
				}
			}
		}
	}
	for i := range m.pairs {
		m.pairs[i].value = 0
	}
	if work || alone {
		least = microPoints
	}
	for _, may := range [][]int{m.opens, m.closes} {
		if len(may) > 0 {
			least += placeValue
		}
	}
	return max(least, 1)
}

// reaches is whether a solution is worth so much. The last question of a model is put only if there is one without it.
func (m *model) reaches(value int) verdict {
	accepts := m.accepts
	m.accepts = nil
	got := m.solveBetween(easeBudget, value-1, value)
	m.accepts = accepts
	if !none(got.option) && accepts != nil && !accepts(got) {
		got = m.solveBetween(easeBudget, value-1, value)
	}
	switch {
	case !none(got.option):
		return yes
	case got.exact:
		return no
	}
	return open
}

// empties is the places of a solution that are empty though somebody could have them.
func (m *model) empties(got *solution) (out []string) {
	if got.opens < 0 && len(m.opens) > 0 {
		out = append(out, "the opening")
	}
	if got.closes < 0 && len(m.closes) > 0 {
		out = append(out, "the closing")
	}
	return out
}

// alone reports whether one run of a behaviour that may have every place asked for is the whole session.
func (m *model) alone(got *solution) bool {
	at, blocks := -1, 0
	for i, o := range got.option {
		if o.blocks > 0 {
			at, blocks = i, blocks+o.blocks
		}
	}
	may := func(list []int) bool { return len(list) == 0 || slices.Contains(list, at) }
	return blocks == 1 && may(m.opens) && may(m.closes)
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
