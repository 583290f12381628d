package engine

import (
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// take shows a trial to the rules of the level it belongs to.
func (f *Fold) take(d *dog, st *state, s *session, t *curriculum.Trial, k kind, sp *spot, ln line) {
	b := st.b
	if len(d.locks) > 0 {
		f.whileLocked(d, st, s, ln)
	}
	if b.conditions {
		f.facts = expression.Facts{Trial: t, Kind: factKind[k], Step: sp.stage.step.Name, Dog: d.profile, Day: t.At, Short: sp.short}
	}
	if !f.trying {
		f.conduct(d, st, s, t, k, ln)
	}
	var w *work
	if k != void {
		w = f.attempted(st, s, t, k)
	}
	if !f.trying {
		f.pace(d, st, s, t, k, sp)
	}
	if len(b.needs) > 0 {
		if why := f.shut(d, st, t, ln); why != whyFed {
			st.trail.add(seen{id: t.ID, kind: k, epoch: st.epoch, sess: s.number, why: why})
			return
		}
	}
	if k == void {
		st.trail.add(seen{id: t.ID, kind: k, epoch: st.epoch, sess: s.number})
		return
	}
	if !sp.here {
		if b.skips && t.Step != "" {
			f.skip(d, st, s, t, k, sp)
		}
		st.trail.add(seen{id: t.ID, kind: k, epoch: st.epoch, sess: s.number, why: whyElsewhere})
		return
	}
	if !st.entered {
		st.entered, st.enteredAt, st.enteredDay = true, t.At, f.day
	}
	f.session = s.number
	f.feed(d, st, s, t, k)
	if evidence.has(k) {
		f.evidence(d, st, w, t, k)
	}
	if st.sg().kept && f.first && evidence.has(k) {
		f.reviewed(st, t, k)
	}
	f.rules(d, st, s, t, k)
}

// attempted notes that the behaviour was worked on in its session and on its day.
func (f *Fold) attempted(st *state, s *session, t *curriculum.Trial, k kind) *work {
	w := s.work(st)
	st.last = t.At
	f.first, w.tried = !w.tried, true
	if k != optOut {
		st.count(f.day, !w.counted)
		w.counted = true
	}
	return w
}

// shut reports a trial of a behaviour whose doors are shut, and says which kind it is; whyFed where they are open.
func (f *Fold) shut(d *dog, st *state, t *curriculum.Trial, ln line) whyNot {
	b := st.b
	if b.onDog && d.profile == nil {
		f.once(ln, CodeNoProfile, d.name+" "+b.src.Name, "%s asks for a fact of the dog, and %s has no profile", b.src.Name, d.name)
	}
	switch f.stateOf(d, b, st, t.At) {
	case curriculum.Waiting:
		f.report(ln, CodeWaiting, "%s may not begin yet (%s); the trial feeds no rule", b.src.Name, strings.Join(f.missing(d, b, false, t.At), ", "))
		return whyWaiting
	case curriculum.Paused:
		f.report(ln, CodePaused, "%s is paused (%s); the trial feeds no rule", b.src.Name, strings.Join(f.missing(d, b, true, t.At), ", "))
		return whyPaused
	}
	return whyFed
}

// feed shows a trial to every count of the behaviour's stop rules and of the present step's rules.
func (f *Fold) feed(d *dog, st *state, s *session, t *curriculum.Trial, k kind) {
	b, sg := st.b, st.sg()
	at := seen{id: t.ID, kind: k, epoch: st.epoch, sess: s.number}
	for i, tr := range b.stopTracks {
		filled, counted := tr.take(f, st, t, k)
		at.set(i, filled, counted)
	}
	for i, tr := range sg.tracks {
		filled, counted := tr.take(f, st, t, k)
		at.set(len(b.stopTracks)+i, filled, counted)
	}
	st.trail.add(at)
	for i, v := range b.stopDivisions {
		v.take(f, d, b, &st.groups[i], t, k)
	}
	for _, v := range sg.divisions {
		v.take(f, d, b, &st.groups[v.index], t, k)
	}
}

// evidence counts a trial that says something about the present level.
func (f *Fold) evidence(d *dog, st *state, w *work, t *curriculum.Trial, k kind) {
	st.trials++
	st.stepTrials++
	st.recent = st.recent << 1
	if k == success {
		st.recent |= 1
	} else if t.Failed != "" {
		f.broke(st, t)
	}
	if w.epoch != st.epoch {
		w.epoch = st.epoch
		st.sessions++
	}
	if sg := st.sg(); sg.closes {
		w.end = f.ending(sg, t)
	}
	if !f.trying {
		st.pay(t, k)
		st.handlers.of(t.Handler).feed(st.epoch, k == success)
		st.places.of(t.Place).feed(st.epoch, k == success)
	}
	if !st.begun {
		st.begun = true
		d.stand(st)
	}
}

var factKind = [...]expression.Kind{success: expression.Success, helped: expression.Helped, wrong: expression.Wrong, silent: expression.Silent, void: expression.OtherKind}
