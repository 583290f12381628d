package naive

import (
	"math/big"
	"time"

	"example.com/rung/curriculum"
)

// Place is where a behaviour stands.
type Place struct {
	Step  string
	Level map[string]string
	Kept  bool
}

// Move is one change of level.
type Move struct {
	Trial    string
	Rule     string
	From, To Place
	Line     int
	At       *time.Time
	By       string

	When curriculum.Criterion // of the rule, for counting what fired
}

// Noted is a stop or flag that began to hold; a split without room is one too.
type Noted struct {
	Trial string
	Rule  string
	Line  int

	When curriculum.Criterion
}

func (p *progress) place() Place {
	return Place{Step: p.b.Steps[p.step].Name, Level: p.at.level.Texts(), Kept: p.kept}
}

// look looks at the rules after a trial was taken.
func (r *Reader) look(d *dog, l *line) {
	if l.what == spoiled {
		return
	}
	p := l.of
	s := p.state(r, d, l.t.At)
	if s == curriculum.Waiting || s == curriculum.Paused {
		return
	}
	if !l.atPresent() {
		r.lookAtSkip(d, l, s)
		return
	}
	if p.visit == 0 {
		p.enter(l.t.At) // the first level is entered with the first trial at it
		p.stepVisit = p.visit
	}
	l.visit = p.visit
	if l.what.evidence() && !p.begun {
		p.begin()
	}
	if s == curriculum.Kept {
		r.lookAtLapse(d, l, l.session, false)
		return
	}
	r.lookAtRules(d, l, l.session, false)
}

// close closes a session: rules with a whole-session share, and those that are decided each session, are looked at
// for every behaviour whose present level was worked in it, in the order of their last evidence there.
func (r *Reader) close(d *dog, s *session) {
	s.closed = true
	lasts := map[*progress]*line{}
	for _, l := range d.lines {
		if p := l.of; l.session == s && p.visit > 0 && l.visit == p.visit && l.what.evidence() {
			lasts[p] = l
		}
	}
	for _, l := range d.lines { // a line after another
		if lasts[l.of] == l {
			r.lookAtClose(d, l, s)
		}
	}
}

// lookAtClose looks at one behaviour, whose last evidence in the closing session is given.
func (r *Reader) lookAtClose(d *dog, last *line, s *session) {
	p, before := last.of, last.moved
	switch p.state(r, d, last.t.At) {
	case curriculum.Kept:
		r.lookAtLapse(d, last, s, true)
	case curriculum.Working, curriculum.Lapsed:
		r.lookAtRules(d, last, s, true)
	}
	if !last.moved || before {
		return
	}
	// it was made after all of the session's trials so far
	last.moved = false
	for i := len(d.lines) - 1; i >= 0; i-- {
		if l := d.lines[i]; l.of == p && l.session == s {
			l.moved = true
			return
		}
	}
}

// lookedAtNow says whether a rule is looked at at this moment.
func (p *progress) lookedAtNow(d *dog, rule curriculum.Rule, present *line, closing bool) bool {
	decides := rule.Word == curriculum.Advance || rule.Word == curriculum.Ease || rule.Word == curriculum.Split
	decide := p.b.Steps[p.step].Decide
	switch {
	case hasShare(rule.When):
		return closing
	case decides && decide.EachSession:
		return closing
	case closing:
		return false
	case decides && decide.EveryTrials > 0:
		return present.what.evidence() && p.evidenceHere(d)%decide.EveryTrials == 0
	}
	return true
}

// evidenceHere counts evidence since the present level was entered.
func (p *progress) evidenceHere(d *dog) int {
	n := 0
	for _, l := range d.lines {
		if l.of == p && l.visit == p.visit && l.what.evidence() {
			n++
		}
	}
	return n
}

// lookAtRules: stop and flag are noted; then at most one move is made: ease, then split, then advance.
func (r *Reader) lookAtRules(d *dog, l *line, s *session, closing bool) {
	p := l.of
	step := p.b.Steps[p.step]
	base := look{r: r, d: d, p: p, present: l, session: s, lines: p.sinceEntry(d)}
	first := func(word curriculum.RuleWord, k look) (int, bool) {
		for i, rule := range step.Rules {
			k.word = word
			if rule.Word == word && p.lookedAtNow(d, rule, l, closing) && k.holds(rule.When) {
				return i, true
			}
		}
		return 0, false
	}
	ease, eases := first(curriculum.Ease, base)
	withDue := base
	withDue.easeDue = eases
	for i, rule := range step.Rules {
		if !p.lookedAtNow(d, rule, l, closing) {
			continue
		}
		k := withDue
		k.word = rule.Word
		switch rule.Word {
		case curriculum.StopToday:
			k.lines = p.fedInSession(d, s)
			p.note(rule, l, heldKey{step: p.step, rule: i, session: s}, k.holds(rule.When))
		case curriculum.Flag:
			p.note(rule, l, heldKey{step: p.step, rule: i, visit: p.visit}, k.holds(rule.When))
		}
	}
	split, splits := first(curriculum.Split, withDue)
	advance, advances := first(curriculum.Advance, withDue)
	// remember what a split without room said, so that it says it once
	for i, rule := range step.Rules {
		if rule.Word == curriculum.Split && p.lookedAtNow(d, rule, l, closing) && !(splits && i == split) {
			p.heldLast[heldKey{step: p.step, rule: i, visit: p.visit}] = false
		}
	}
	var easier *rung
	easierStep := 0
	if eases {
		easierStep, easier = p.easeTo(step.Rules[ease])
	}
	from := p.place()
	here := p.at
	var put *rung
	if splits {
		p.eases = append(p.eases, easeOrSplit{here, true})
		put = p.putIn(step.Rules[split])
		if put == nil {
			p.note(step.Rules[split], l, heldKey{step: p.step, rule: split, visit: p.visit}, true)
		}
	}
	switch {
	case eases:
		if !splits {
			p.eases = append(p.eases, easeOrSplit{here, false})
		}
		p.goTo(easierStep, easier)
		p.made(l, step.Rules[ease], from)
	case put != nil:
		p.goTo(p.step, put)
		p.made(l, step.Rules[split], from)
	case advances:
		p.goUp()
		p.made(l, step.Rules[advance], from)
	}
}

// made lists a move made at a trial, and enters the level.
func (p *progress) made(l *line, rule curriculum.Rule, from Place) {
	at := l.t.At
	p.enter(at)
	l.moved = true
	p.moves = append(p.moves, Move{Trial: l.t.ID, Rule: string(rule.Word), From: from, To: p.place(), Line: rule.Pos.Line, At: &at, When: rule.When})
}

// note lists a stop or flag when it begins to hold.
func (p *progress) note(rule curriculum.Rule, l *line, key heldKey, holds bool) {
	if holds && !p.heldLast[key] {
		word := rule.Word
		if word == curriculum.Split {
			word = curriculum.Flag
		}
		p.noted = append(p.noted, Noted{Trial: l.t.ID, Rule: string(word), Line: rule.Pos.Line, When: rule.When})
	}
	p.heldLast[key] = holds
}

// enter begins a new stay at the present level: windows are empty.
func (p *progress) enter(at time.Time) {
	p.visit++
	p.entered = at
	if p.kept {
		p.keptOn[p.visit] = at
	}
	if p.stepVisit < 0 {
		p.stepVisit = p.visit
	}
}

// goTo stands at a step and level; enter follows.
func (p *progress) goTo(step int, g *rung) {
	if step != p.step || p.visit == 0 {
		p.stepVisit = -1 // a new step is entered with the next stay
	}
	p.step, p.at = step, g
	p.begin()
}

// goUp: the next level, the next step's first, or kept.
func (p *progress) goUp() {
	i := p.index(p.step, p.at)
	switch {
	case i+1 < len(p.steps[p.step]):
		p.goTo(p.step, p.steps[p.step][i+1])
	case p.step+1 < len(p.steps):
		p.goTo(p.step+1, p.steps[p.step+1][0])
	default:
		p.keep()
	}
}

// keep: the behaviour is finished.
func (p *progress) keep() {
	last := len(p.steps) - 1
	rungs := p.steps[last]
	p.goTo(last, rungs[len(rungs)-1])
	p.kept, p.everKept, p.lapsed = true, true, false
}

// levelBefore is the level before on the way up; at the very start the level itself.
func (p *progress) levelBefore(at place) place {
	if i := p.index(at.step, at.rung); i > 0 {
		return place{at.step, p.steps[at.step][i-1]}
	}
	if at.step == 0 {
		return at
	}
	rungs := p.steps[at.step-1]
	return place{at.step - 1, rungs[len(rungs)-1]}
}

// easeTo is where an ease rule leads.
func (p *progress) easeTo(rule curriculum.Rule) (int, *rung) {
	if rule.To == "" {
		b := p.levelBefore(place{p.step, p.at})
		return b.step, b.rung
	}
	step := p.b.Step(rule.To)
	rungs := p.steps[step]
	if rule.ToFirst {
		return step, rungs[0]
	}
	return step, rungs[len(rungs)-1]
}

// putIn puts in what a split asks for, before the present level, and returns the first of it; nil where there is no
// room.
func (p *progress) putIn(rule curriculum.Rule) *rung {
	i := p.index(p.step, p.at)
	var fresh []*rung
	if len(rule.Into) > 0 {
		if p.splitInto[p.at] || p.at.piece {
			return nil
		}
		p.splitInto[p.at] = true
		for _, name := range rule.Into {
			l := curriculum.Level{Values: []curriculum.NamedValue{{Of: curriculum.PieceRamp, LevelValue: curriculum.LevelValue{Name: name}}}}
			fresh = append(fresh, &rung{level: l, piece: true, own: true})
		}
	} else {
		if i == 0 {
			return nil
		}
		l, ok := halfWay(p.steps[p.step][i-1].level, p.at.level, p.b.Steps[p.step].Ramps)
		if !ok {
			return nil
		}
		fresh = []*rung{{level: l, own: true}}
	}
	rungs := append([]*rung{}, p.steps[p.step][:i]...)
	rungs = append(rungs, fresh...)
	p.steps[p.step] = append(rungs, p.steps[p.step][i:]...)
	return fresh[0]
}

// halfWay is the level between two: every numeric ramp that differs by more than its grain is halved, the rest stays
// as in the level before.
func halfWay(before, this curriculum.Level, ramps []curriculum.Ramp) (curriculum.Level, bool) {
	var out curriculum.Level
	room := false
	for _, v := range before.Values {
		w, ok := this.Get(v.Of)
		if ok && v.Thin == nil && v.Name == "" && w.Thin == nil && w.Name == "" {
			for _, ramp := range ramps {
				if ramp.Of != v.Of {
					continue
				}
				a, b := v.Quantity.Base(), w.Quantity.Base()
				gap := new(big.Rat).Sub(b, a)
				grain := ramp.Grain.Base()
				if gap.Sign() == 0 || new(big.Rat).Abs(gap).Cmp(grain) <= 0 {
					continue
				}
				mid := new(big.Rat).Add(a, b)
				mid.Mul(mid, big.NewRat(1, 2))
				if grain.Sign() > 0 {
					mid = nearest(mid, grain, ramp.Falling)
				}
				if q, ok := curriculum.FromBase(mid, v.Quantity.Unit); ok {
					v.Quantity = q
					room = true
				}
			}
		}
		out.Values = append(out.Values, v)
	}
	return out, room
}

// nearest is the nearest multiple of the grain; a tie goes to the easier side, which is up on a falling ramp.
func nearest(x, grain *big.Rat, easierIsUp bool) *big.Rat {
	n := new(big.Rat).Quo(x, grain)
	whole := new(big.Int).Div(n.Num(), n.Denom()) // floors, the divisor is positive
	rest := new(big.Rat).Sub(n, new(big.Rat).SetInt(whole))
	c := rest.Cmp(big.NewRat(1, 2))
	if c > 0 || c == 0 && easierIsUp {
		whole.Add(whole, big.NewInt(1))
	}
	return new(big.Rat).Mul(new(big.Rat).SetInt(whole), grain)
}

// lookAtSkip: evidence naming a later step and no level but its first, since the last move.
func (r *Reader) lookAtSkip(d *dog, l *line, s curriculum.State) {
	p := l.of
	if s == curriculum.Kept || !l.named || l.step <= p.step || l.rung != p.steps[l.step][0] {
		return
	}
	l.skips = 1 + len(p.moves)
	var lines []*line
	for _, o := range d.lines {
		if o.of == p && o.step == l.step && o.skips == l.skips {
			lines = append(lines, o)
		}
	}
	for _, rule := range p.b.Steps[l.step].Rules {
		if rule.Word != curriculum.Skip {
			continue
		}
		k := look{r: r, d: d, p: p, present: l, session: l.session, lines: lines, word: curriculum.Skip}
		if k.holds(rule.When) {
			from := p.place()
			p.goTo(l.step, p.steps[l.step][0])
			p.made(l, rule, from)
			return
		}
	}
}

// lookAtLapse: all that is looked at while a behaviour is kept.
func (r *Reader) lookAtLapse(d *dog, l *line, s *session, closing bool) {
	p := l.of
	for _, rule := range p.b.Lapse {
		if hasShare(rule.When) != closing {
			continue
		}
		k := look{r: r, d: d, p: p, present: l, session: s, lines: p.sinceEntry(d), word: curriculum.Lapse}
		if !k.holds(rule.When) {
			continue
		}
		from := p.place()
		step, to := len(p.steps)-1, p.steps[len(p.steps)-1][len(p.steps[len(p.steps)-1])-1]
		if rule.To != "" {
			step, to = p.easeTo(rule)
		}
		p.kept, p.lapsed = false, true
		p.stepVisit = -1
		p.goTo(step, to)
		p.made(l, rule, from)
		return
	}
}

// awayBefore eases a behaviour after a long pause, before the trial that ends it is taken.
func (r *Reader) awayBefore(d *dog, p *progress, t curriculum.Trial) {
	var last *line
	for _, l := range d.lines {
		if l.of == p && l.what != spoiled {
			last = l
		}
	}
	if s := p.state(r, d, t.At); last == nil || s != curriculum.Working && s != curriculum.Lapsed {
		return
	}
	var a curriculum.Away
	for _, s := range r.c.Sessions { // it does not matter in which
		for _, w := range s.Away {
			further := w.Days > a.Days || w.Days == a.Days && w.Levels > a.Levels
			if dayOf(t.At)-dayOf(last.t.At) >= w.Days && further {
				a = w
			}
		}
	}
	if a.Days == 0 {
		return
	}
	from := p.place()
	to := place{p.step, p.at}
	for range a.Levels {
		to = p.levelBefore(to)
	}
	p.goTo(to.step, to.rung)
	at := t.At
	p.enter(at)
	p.moves = append(p.moves, Move{Trial: t.ID, Rule: "ease", From: from, To: p.place(), Line: a.Pos.Line, At: &at})
}
