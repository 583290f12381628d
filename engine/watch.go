package engine

import (
	"time"

	"example.com/rung/curriculum"
)

// RuleAt says where a rule stands in a curriculum: Behaviours[Behaviour].Steps[Step].Rules[Rule]. Where Step is the
// number of steps it is Lapse[Rule].
type RuleAt struct{ Behaviour, Step, Rule int }

// Watcher is told what a fold does with its rules. Where a session is closed on a copy, for an answer or for a line that
// is then refused, the rules that wait for its close are looked at there too, and may be so again later.
type Watcher interface {
	// Looked is called whenever the criterion of a rule is asked. Parts says, for each criterion that Program.Parts
	// lists, whether it holds; it is used anew for the next call.
	Looked(r RuleAt, parts []bool)
	// Fired is called when a rule moves the dog or is noted. A split that finds room has fired though an ease alone is
	// listed; one without room is noted.
	Fired(r RuleAt)
}

// Watch makes the fold tell w, from now on; nil makes it stop.
func (f *Fold) Watch(w Watcher) {
	if f != nil {
		f.watcher = w
	}
}

// Parts is the criterion of a rule and, behind it, all that `not`, `and` and `or` join in it, from the outside in and in
// the order of the text; names are spelled out, and what stands under `in this session` is listed by itself. nil for a
// rule that is not there.
func (p *Program) Parts(at RuleAt) []curriculum.Criterion {
	if p == nil {
		return nil
	}
	for _, r := range p.rules {
		if r.at() == at {
			return r.when.parts(nil)
		}
	}
	return nil
}

func (n *node) parts(out []curriculum.Criterion) []curriculum.Criterion {
	out = append(out, n.source)
	for i := range n.kids {
		out = n.kids[i].parts(out)
	}
	return out
}

func (r *rule) at() RuleAt { return RuleAt{r.b.index, r.stage.index, r.index} }

// ask evaluates a rule's criterion at the present trial.
func (f *Fold) ask(r *rule, st *state) bool {
	if f.watcher == nil {
		return r.when.eval(f, st)
	}
	f.parts = r.when.each(f.parts[:0], f, st)
	holds := f.parts[0]
	f.watcher.Looked(r.at(), f.parts)
	return holds
}

// each evaluates a criterion and all that is joined in it.
func (n *node) each(out []bool, f *Fold, st *state) []bool {
	out = append(out, n.eval(f, st))
	for i := range n.kids {
		out = n.kids[i].each(out, f, st)
	}
	return out
}

// fired tells the watcher that a rule made a move or was noted.
func (f *Fold) fired(r *rule) {
	if f.watcher != nil && r != nil {
		f.watcher.Fired(r.at())
	}
}

// Of is where a dog stands in one behaviour at now; ok is false for a dog or behaviour that is not known.
func (f *Fold) Of(dog, behaviour string, now time.Time) (s BehaviourStanding, ok bool) {
	if f.none() {
		return s, false
	}
	d := f.dogs[dog]
	bi, ok := f.p.names[behaviour]
	if d == nil || !d.known || !ok {
		return s, false
	}
	return f.behaviourStanding(f.asOf(d, now), f.p.behaviours[bi], now), true
}
