package engine

import (
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// moved is one move of a dog. Words are made of it only when somebody asks.
type moved struct {
	rule     *rule // nil for a move by hand and an ease after a pause
	away     *curriculum.Away
	from, to place
	part     int    // of a rule joined by `or`: the alternative that held, else -1
	trial    string // "" for a move by hand
	at       time.Time
	trials   []string
	hand     *hand // of a move by hand
	written  *Move // a move that was resumed, instead of all the above
}

// moves are a dog's moves in one behaviour, oldest first. They are kept in blocks that stay where they are: a long history
// makes very many, and one growing list would be copied again and again. A move that is listed never changes.
type moves struct {
	full [][]moved
	open []moved // the block that is being filled
	n    int
}

const mostInBlock = 64

func (l *moves) add(m moved) {
	if len(l.open) == cap(l.open) {
		if len(l.open) > 0 {
			l.full = append(l.full, l.open)
		}
		l.open = make([]moved, 0, min(max(4, 2*len(l.open)), mostInBlock))
	}
	l.open = append(l.open, m)
	l.n++
}

// last is the rule of the newest move, nil where there is none or it has none.
func (l *moves) last() *rule {
	if l.n == 0 {
		return nil
	}
	return l.open[len(l.open)-1].rule
}

// copy shares what is listed; neither list sees what the other adds.
func (l *moves) copy() moves {
	return moves{slices.Clip(l.full), slices.Clip(l.open), l.n}
}

// out is all of them as answers give them.
func (l *moves) out() []Move {
	out := make([]Move, 0, l.n)
	for _, block := range append(slices.Clip(l.full), l.open) {
		for i := range block {
			out = append(out, block[i].out())
		}
	}
	return out
}

// hand is who moved a dog, and why.
type hand struct{ by, why string }

// place is a level, and with it its stage.
type place struct{ level *level }

// noted is a stop or flag rule that began to hold.
type noted struct {
	rule    *rule
	trial   string
	part    int
	written *Noted
}

// rules looks at the rules of the present level after a trial: those that note, then the first that moves.
func (f *Fold) rules(d *dog, st *state, s *session, t *curriculum.Trial, k kind) {
	sg := st.sg()
	if sg.kept {
		f.lapse(d, st, s, t)
		return
	}
	deciding := f.closing || sg.decide == 0 || evidence.has(k) && int(st.trials)%sg.decide == 0
	var ease *rule
	if deciding {
		ease = f.firstOf(sg.ease, st)
	}
	f.easeDue = ease != nil
	for _, r := range sg.notes {
		if !f.lookedAt(r) {
			continue
		}
		holds := f.ask(r, st)
		if st.note(st.held(r), r, t, holds, f) && r.word == curriculum.StopToday {
			s.work(st).stopped = true
		}
	}
	if !deciding {
		f.easeDue = false
		return
	}
	var split, advance *rule
	if len(sg.split) > 0 {
		split = f.firstOf(sg.split, st)
	}
	if ease == nil {
		advance = f.firstOf(sg.advance, st)
	}
	f.easeDue = false
	if split == nil {
		for _, r := range sg.split {
			if !f.lookedAt(r) {
				continue
			}
			*st.held(r) &^= 1 << (r.bit % 64)
		}
	}
	switch {
	case split != nil:
		f.split(d, st, s, t, split, ease, advance)
	case ease != nil:
		f.easing(d, st, s, t, ease, true)
	case advance != nil:
		stage, lvl := st.harder()
		f.move(d, st, advance, s, t, stage, lvl)
	}
}

// firstOf is the first rule that holds, or nil.
func (f *Fold) firstOf(rules []*rule, st *state) *rule {
	for _, r := range rules {
		if f.lookedAt(r) && f.ask(r, st) {
			return r
		}
	}
	return nil
}

// held is the word in which a stop, flag or split rule remembers whether it held when it was last looked at.
func (st *state) held(r *rule) *uint64 {
	if r.word == curriculum.StopToday {
		return &st.slots[r.bit/64]
	}
	return &st.slots[r.stage.flags+int(r.bit/64)]
}

// holding reports whether the rule held when it was last looked at.
func (st *state) holding(r *rule) bool { return *st.held(r)>>(r.bit%64)&1 != 0 }

// note lists a rule when it begins to hold, and remembers that it does.
func (st *state) note(held *uint64, r *rule, t *curriculum.Trial, holds bool, f *Fold) (began bool) {
	bit := uint64(1) << (r.bit % 64)
	began = holds && *held&bit == 0
	if began {
		f.fired(r)
		st.noted = append(st.noted, noted{rule: r, trial: t.ID, part: r.part(f, st)})
	}
	*held &^= bit
	if holds {
		*held |= bit
	}
	return began
}

// easing makes the move of an ease; counted says that it is one of the eases out of its level.
func (f *Fold) easing(d *dog, st *state, s *session, t *curriculum.Trial, r *rule, counted bool) {
	stage, lvl := st.easier(r)
	if counted && r.b.countsEases {
		st.setEased(st.lv(), st.eased()+1)
	}
	f.move(d, st, r, s, t, stage, lvl)
}

// split puts a level in. Where an ease holds too it alone is listed; without room the split is noted as a flag is, and
// an advance may still be taken.
func (f *Fold) split(d *dog, st *state, s *session, t *curriculum.Trial, split, ease, advance *rule) {
	sg := st.sg()
	st.setEased(st.lv(), 0)
	// where the ease leads is worked out before the levels change
	var easier *level
	easierStage := 0
	if ease != nil {
		var lvl int
		easierStage, lvl = st.easier(ease)
		easier = st.levels(st.b.stages[easierStage])[lvl]
	}
	from := st.place()
	put := f.putIn(st, split)
	if put != nil && ease != nil {
		f.fired(split) // only the ease is listed
	}
	for _, r := range sg.split {
		if r != split && f.lookedAt(r) {
			*st.held(r) &^= 1 << (r.bit % 64)
		}
	}
	if put == nil {
		st.note(st.held(split), split, t, true, f)
	}
	switch {
	case ease != nil:
		m := f.reasoned(st, ease, t, from)
		f.moveTo(d, st, m, easierStage, slices.Index(st.levels(st.b.stages[easierStage]), easier))
		s.work(st).moved = true
	case put != nil:
		m := f.reasoned(st, split, t, from)
		f.moveTo(d, st, m, sg.index, slices.Index(st.levels(sg), put))
		s.work(st).moved = true
	case advance != nil:
		stage, lvl := st.harder()
		f.move(d, st, advance, s, t, stage, lvl)
	}
}

// lapse looks at the rules of a kept behaviour.
func (f *Fold) lapse(d *dog, st *state, s *session, t *curriculum.Trial) {
	for _, r := range st.sg().lapse {
		if f.lookedAt(r) && f.ask(r, st) {
			stage, lvl := st.easier(r)
			f.move(d, st, r, s, t, stage, lvl)
			st.lapsed, st.stepTrials = true, 0
			return
		}
	}
}

// skip shows a trial to the skip rules of the later step it names, if it was run at that step's first level.
func (f *Fold) skip(d *dog, st *state, s *session, t *curriculum.Trial, k kind, sp *spot) {
	sg := sp.stage
	if st.kept() || sg.index <= st.stage || len(sg.skip) == 0 || sp.level != st.levels(sg)[0] {
		return
	}
	for _, tr := range sg.skipTracks {
		tr.take(f, st, t, k)
	}
	for _, r := range sg.skip {
		if f.ask(r, st) {
			f.move(d, st, r, s, t, sg.index, 0)
			return
		}
	}
}

// part is the alternative of an `or` that holds, or -1 where the rule is none.
func (r *rule) part(f *Fold, st *state) int {
	if r.when.op != opOr {
		return -1
	}
	return r.when.which(f, st)
}

// easier is where an ease leads.
func (st *state) easier(r *rule) (stage, lvl int) {
	switch {
	case r.to >= 0 && r.toFirst:
		return r.to, 0
	case r.to >= 0:
		return r.to, len(st.levels(st.b.stages[r.to])) - 1
	case st.level > 0:
		return st.stage, st.level - 1
	case st.stage > 0:
		return st.stage - 1, len(st.levels(st.b.stages[st.stage-1])) - 1
	}
	return 0, 0
}

// harder is where an advance leads.
func (st *state) harder() (stage, lvl int) {
	if st.level+1 < len(st.levels(st.sg())) {
		return st.stage, st.level + 1
	}
	return st.stage + 1, 0
}

// move makes the move of a rule that holds at the present trial.
func (f *Fold) move(d *dog, st *state, r *rule, s *session, t *curriculum.Trial, stage, lvl int) {
	f.moveTo(d, st, f.reasoned(st, r, t, st.place()), stage, lvl)
	s.work(st).moved = true
}

// reasoned is the move of a rule that holds at a trial, with its reason.
func (f *Fold) reasoned(st *state, r *rule, t *curriculum.Trial, from place) moved {
	return moved{rule: r, from: from, part: r.part(f, st), trial: t.ID, at: t.At, trials: f.trialsOf(&r.when, st)}
}

// moveTo lists a move and puts the dog at its new level.
func (f *Fold) moveTo(d *dog, st *state, m moved, stage, lvl int) {
	broke := st.pieces()
	st.enter(stage, lvl, m.at, f.day)
	if m.away != nil || m.rule != nil && m.rule.word == curriculum.Ease {
		st.failedBefore = broke
	}
	m.to = st.place()
	st.begun = true
	if st.kept() {
		st.lapsed, st.review = false, review{from: f.day}
	}
	st.moves.add(m)
	f.fired(m.rule)
	d.stand(st)
}

func (st *state) place() place { return place{st.lv()} }

// trialsOf lists the ids of the trials that make a criterion true, oldest first and each once.
func (f *Fold) trialsOf(n *node, st *state) []string {
	f.marks = n.reasons(f.marks[:0], f, st)
	marks := f.marks
	if len(marks) == 0 {
		return nil
	}
	slices.SortFunc(marks, func(a, b mark) int { return int(a.seq) - int(b.seq) })
	if cap(f.ids)-len(f.ids) < len(marks) {
		f.ids = make([]string, 0, max(512, len(marks)))
	}
	from := len(f.ids)
	for i, m := range marks {
		if i == 0 || m.seq != marks[i-1].seq {
			f.ids = append(f.ids, m.id)
		}
	}
	return f.ids[from:len(f.ids):len(f.ids)]
}

// because is a rule's criterion spelled out; of alternatives, with the one that held.
func (r *rule) because(part int) string {
	text := curriculum.CriterionText(r.src.When)
	if part >= 0 && part < len(r.when.kids) {
		if held := curriculum.CriterionText(r.when.kids[part].source); held != "" {
			text += " (held: " + held + ")"
		}
	}
	return text
}

// out is the place as answers give it.
func (p place) out() Place {
	return Place{Step: p.level.stage.step.Name, Level: p.level.values.Texts(), Kept: p.level.stage.kept}
}

// placeText is a step and level in words.
func placeText(sg *stage, l *level) string {
	if sg.kept {
		return keptWord
	}
	return strings.TrimSpace(sg.step.Name + " " + l.values.String())
}

// out is the move as answers give it.
func (m *moved) out() Move {
	if m.written != nil {
		return *m.written
	}
	o := Move{Trial: m.trial, From: m.from.out(), To: m.to.out(), Trials: slices.Clone(m.trials)}
	at := m.at
	o.At = &at
	if m.away != nil {
		o.Rule, o.Because = string(curriculum.Ease), awayText(m.away)
		o.Line, o.File = m.away.Pos.Line, m.away.Pos.File
		return o
	}
	if m.rule == nil {
		o.Rule, o.By, o.Because = ruleHand, m.hand.by, m.hand.why
		if o.Because == "" {
			o.Because = "a trainer's decision"
		}
		return o
	}
	o.Rule, o.Because = string(m.rule.word), m.rule.because(m.part)
	o.Line, o.File = m.rule.src.Pos.Line, m.rule.src.Pos.File
	return o
}

// ruleHand is the rule of a move by hand.
const ruleHand = "hand"

// noRoom is said behind the reason of a split that could put nothing in.
const noRoom = "; no room to split"

// out is the note as answers give it.
func (n *noted) out() Noted {
	if n.written != nil {
		return *n.written
	}
	out := Noted{Trial: n.trial, Rule: string(n.rule.word), Because: n.rule.because(n.part), Line: n.rule.src.Pos.Line, File: n.rule.src.Pos.File}
	if n.rule.word == curriculum.Split { // nothing could be put in: a senior trainer is asked to look
		out.Rule, out.Because = string(curriculum.Flag), out.Because+noRoom
	}
	return out
}
