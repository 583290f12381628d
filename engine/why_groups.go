package engine

import (
	"fmt"
	"strings"

	"example.com/rung/curriculum"
)

// repeatedCount fills in a count of sessions, places, handlers or days.
func (c *CountWhy) repeatedCount(f *Fold, st *state, n *node) {
	came := n.repeated(st)
	newest := latest(st.groups[n.div.index])
	c.Have, c.Among, c.Holds = len(came), len(newest), len(came) >= n.k
	word := overWords[n.div.over]
	before := false
	if n.inARow && c.Have == 0 && len(newest) > 0 && n.div.open(f, newest[0]) {
		// the one that is going on may still come true
		for _, g := range newest[1:] {
			if !g.came || len(came) == n.k-1 {
				break
			}
			came = append(came, g)
		}
		before = true
	}
	var names []string
	for _, g := range came {
		if g.key.name != "" {
			names = append(names, g.key.name)
		}
		for _, m := range g.because {
			c.Counts = append(c.Counts, m.id)
		}
	}
	c.others(st, 0)
	missing := count(n.k-len(came), "more "+word)
	if len(came) == 0 {
		missing = count(n.k, word)
	}
	switch {
	case c.Holds:
		c.Sentence = fmt.Sprintf("%s: true in %s: holds", c.Text, count(c.Have, word))
		return
	case before:
		c.Sentence = fmt.Sprintf("%s: true in the %s before this one, %s missing", c.Text, count(len(came), word), missing)
	case n.inARow:
		c.Sentence = fmt.Sprintf("%s: true in the %d latest of %d, %s missing", c.Text, len(came), n.k, missing)
	case len(names) > 0:
		c.Sentence = fmt.Sprintf("%s: true in %d of %d so far (%s), %s missing", c.Text, c.Have, n.k, strings.Join(names, ", "), missing)
	default:
		c.Sentence = fmt.Sprintf("%s: true in %d of %d so far, %s missing", c.Text, c.Have, n.k, missing)
	}
	if len(newest) > 0 && !newest[0].came {
		in := newest[0].state(st.b)
		var inner RuleWhy
		inner.counts(f, &in, &n.div.is)
		for _, part := range inner.Counts {
			c.Sentence += "; " + n.div.where(f, newest[0]) + " " + part.Sentence
		}
	}
}

// open reports whether a group is the session or the day that is going on.
func (v *division) open(f *Fold, g *group) bool {
	return v.over == curriculum.Sessions && g.key.n == int(f.session) || v.over == curriculum.Days && g.key.n == f.day
}

// where says which group is meant, of those that have trials the one with the newest.
func (v *division) where(f *Fold, g *group) string {
	switch {
	case v.over == curriculum.Places:
		return "at " + g.key.name
	case v.over == curriculum.Handlers:
		return "with " + g.key.name
	case v.over == curriculum.Days && v.open(f, g):
		return "today"
	case v.open(f, g):
		return "in this session"
	}
	return "in the newest " + overWords[v.over]
}

// others lists the trials since the level was entered that do not count, and why; only those of one session where it is
// not nought.
func (c *CountWhy) others(st *state, session uint32) {
	counts := map[string]bool{}
	for _, id := range c.Counts {
		counts[id] = true
	}
	for _, s := range st.trail.all() {
		if s.epoch != st.epoch || session != 0 && s.sess != session || counts[s.id] {
			continue
		}
		why := kindWords[s.kind]
		switch {
		case s.why != whyFed:
			why = s.whyNot(nil, false)
		case s.kind == success && session != 0:
			why += ", but short of what is asked beside, or without a note of it"
		case s.kind == success:
			why += ", but none of those that made it true"
		}
		c.DoNot = append(c.DoNot, NotCount{s.id, why})
	}
}

// sharedCount is how far a whole-session share is.
func (c *CountWhy) sharedCount(f *Fold, st *state, n *node) {
	if g := find(st.groups[n.div.index], groupKey{n: int(f.session)}); g != nil {
		in := g.state(st.b)
		c.Among, _ = n.track.filled(&in)
		c.Have = n.track.counted(&in)
		for _, m := range n.track.reasons(nil, &in, keptReasons) {
			c.Counts = append(c.Counts, m.id)
		}
		if len(c.Counts) == c.Have {
			c.others(st, f.session)
		}
	}
	c.Need = n.n
	now := fmt.Sprintf("%d of %d in this session so far", c.Have, c.Among)
	if c.Among < n.n {
		now += fmt.Sprintf(", %s needed before it counts", count(n.n, "trial"))
	}
	c.Sentence = c.Text + ": " + now
	if n.k > 1 {
		met := min(len(n.shared(f, st)), n.k)
		c.Sentence += fmt.Sprintf("; met in %d of %d sessions", met, n.k)
	}
	c.Sentence += "; asked when the session closes"
}
