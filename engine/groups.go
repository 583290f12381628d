package engine

import (
	"fmt"
	"slices"

	"example.com/rung/curriculum"
)

// division is a criterion looked at inside each session, place, handler or day alone.
type division struct {
	over    curriculum.Over
	is      node     // over the tracks below, which live in the slots of a group
	present bool     // only asked of the present session: nothing is remembered of it
	tracks  []*track // laid out from slot 0 of a group
	inner   []*division
	slots   int
	marks   int
	index   int    // among the divisions of the state, or of the group around it
	lasting bool   // of stop rules: moves leave it alone
	key     string // its meaning
}

// groupKey tells the groups of a division apart: a place or handler by name, a session or day by number.
type groupKey struct {
	name string
	n    int
}

// group is what a division keeps of one session, place, handler or day.
type group struct {
	key     groupKey
	came    bool   // the criterion came true in it
	because []mark // the trials that made it true the first time
	last    uint32 // its newest evidence, 0 for none
	slots   []uint64
	marks   []mark
	inner   [][]group
}

// state is the group as criteria look at it.
func (g *group) state(b *behaviour) state {
	return state{b: b, slots: g.slots, marks: g.marks, groups: g.inner}
}

// keyOf is the group of a trial; false where it recorded none.
func (v *division) keyOf(f *Fold, t *curriculum.Trial) (groupKey, bool) {
	switch v.over {
	case curriculum.Places:
		return groupKey{name: t.Place}, t.Place != ""
	case curriculum.Handlers:
		return groupKey{name: t.Handler}, t.Handler != ""
	case curriculum.Days:
		return groupKey{n: f.day}, true
	}
	return groupKey{n: int(f.session)}, true
}

func (v *division) fresh(key groupKey) group {
	return group{key: key, slots: make([]uint64, v.slots), marks: make([]mark, v.marks), inner: make([][]group, len(v.inner))}
}

func find(groups []group, key groupKey) *group {
	for i := len(groups) - 1; i >= 0; i-- {
		if groups[i].key == key {
			return &groups[i]
		}
	}
	return nil
}

// take shows a trial to the group it belongs to.
func (v *division) take(f *Fold, d *dog, b *behaviour, groups *[]group, t *curriculum.Trial, k kind) {
	key, ok := v.keyOf(f, t)
	if !ok {
		return
	}
	g := find(*groups, key)
	if g == nil {
		if v.lasting && v.over == curriculum.Sessions {
			*groups = slices.DeleteFunc(*groups, func(g group) bool { return !d.keeps(uint32(g.key.n)) })
		}
		*groups = append(*groups, v.fresh(key))
		g = &(*groups)[len(*groups)-1]
	}
	st := g.state(b)
	for _, tr := range v.tracks {
		tr.take(f, &st, t, k)
	}
	for i, in := range v.inner {
		in.take(f, d, b, &g.inner[i], t, k)
	}
	if evidence.has(k) {
		g.last = f.seq
	}
	if !v.present && !g.came && v.is.eval(f, &st) {
		g.came, g.because = true, v.is.reasons(nil, f, &st)
	}
}

// here is the group of the present session, a fresh one where nothing was taken in it.
func (v *division) here(f *Fold, st *state) state {
	if g := find(st.groups[v.index], groupKey{n: int(f.session)}); g != nil {
		return g.state(st.b)
	}
	g := v.fresh(groupKey{})
	return g.state(st.b)
}

// latest is the groups with evidence, the one with the newest first.
func latest(groups []group) []*group {
	var out []*group
	for i := range groups {
		if groups[i].last > 0 {
			out = append(out, &groups[i])
		}
	}
	slices.SortFunc(out, func(a, b *group) int { return int(b.last) - int(a.last) })
	return out
}

// repeated is the groups in which the criterion came true: of the newest k, all of which it takes, where they are asked
// for in a row.
func (n *node) repeated(st *state) (came []*group) {
	groups := st.groups[n.div.index]
	if n.inARow {
		for _, g := range latest(groups) {
			if !g.came || len(came) == n.k {
				break
			}
			came = append(came, g)
		}
		return came
	}
	for i := range groups {
		if groups[i].came {
			came = append(came, &groups[i])
		}
	}
	return came
}

// divisions are those of the behaviour's stop rules, then those of the present level, as their groups stand in a state.
func (st *state) divisions() []*division {
	return slices.Concat(st.b.stopDivisions, st.sg().divisions)
}

// cloneGroups copies what further trials change in place.
func cloneGroups(of [][]group) [][]group {
	if of == nil {
		return nil
	}
	out := make([][]group, len(of))
	for i, groups := range of {
		out[i] = slices.Clone(groups)
		for j := range out[i] {
			g := &out[i][j]
			g.slots, g.marks, g.inner = slices.Clone(g.slots), slices.Clone(g.marks), cloneGroups(g.inner)
		}
	}
	return out
}

// divide compiles what is looked at inside groups and gives its tracks their places.
func (cs *criteria) divide(over curriculum.Over, present bool, compile func(*criteria) node) *division {
	sub := &criteria{c: cs.c, keys: map[string]*track{}, word: cs.word, negated: cs.negated, grouped: true}
	v := &division{over: over, present: present, lasting: cs.scope == wholeSession}
	v.is = compile(sub)
	cs.faults = append(cs.faults, sub.faults...)
	cs.conditions = cs.conditions || sub.conditions
	v.tracks, v.inner = sub.tracks, sub.divisions
	for _, tr := range v.tracks {
		tr.at, tr.ids = v.slots, v.marks
		v.slots += tr.size()
		v.marks += tr.keep
	}
	if len(sub.faults) > 0 {
		return v
	}
	v.key = fmt.Sprintf("%d %v %v (%s)", over, present, v.lasting, v.is.key())
	for _, known := range cs.divisions {
		if known.key == v.key {
			return known
		}
	}
	v.index = len(cs.divisions)
	cs.divisions = append(cs.divisions, v)
	return v
}

// inside compiles a criterion that is asked of the present session alone, where no slots begin anew with each session.
func (cs *criteria) inside(source curriculum.Criterion, compile func(*criteria) node) node {
	return node{op: opInside, source: source, div: cs.divide(curriculum.Sessions, true, compile)}
}

func (cs *criteria) repeated(c curriculum.Repeated) node {
	text := curriculum.CriterionText(c)
	cs.atLeastOne(c, c.N)
	if c.Over > curriculum.Days {
		cs.fault(CodeBroken, text, "%q repeats over nothing known", text).fix("repeat over sessions, places, handlers or days")
	}
	if hasShare(c.Is) {
		cs.fault(CodeBroken, text, "a whole-session share cannot stand inside %q", text).fix("write its own: 80% of a session of at least 10 trials in 2 sessions")
	}
	if cs.scope != sinceEntry {
		return cs.inside(c, func(sub *criteria) node { return sub.repeated(c) })
	}
	v := cs.divide(c.Over, false, func(sub *criteria) node { return sub.compile(c.Is) })
	return node{op: opRepeated, k: c.N, inARow: c.InARow, div: v, source: c}
}

// hasShare reports whether a criterion has a whole-session share in it.
func hasShare(c curriculum.Criterion) bool {
	return curriculum.AnyPart(c, func(p curriculum.Criterion) bool { _, is := p.(curriculum.SessionShare); return is })
}
