package engine

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"example.com/rung/curriculum"
)

// ErrOtherCurriculum is in the chain of the error of a standing that was saved with a curriculum of another meaning.
var ErrOtherCurriculum = errors.New("saved with a curriculum of another meaning: replay the history instead")

// Resume goes on where Save left off; profiles are not saved, so dogs gives them again. It refuses what was saved with a
// curriculum of another meaning, and input that Save did not write.
func (p *Program) Resume(r io.Reader, dogs ...curriculum.Dog) (*Fold, error) {
	if p.none() {
		return nil, ErrNoProgram
	}
	if r == nil {
		return nil, errors.New("there is no saved standing to read: give Resume what Save wrote")
	}
	var s Standing
	dec := json.NewDecoder(r)
	dec.DisallowUnknownFields()
	if err := dec.Decode(&s); err != nil {
		return nil, fmt.Errorf("a saved standing cannot be read: %w", err)
	}
	if s.Fingerprint != p.fingerprint {
		return nil, fmt.Errorf("the standing of %q was %w", s.Curriculum, ErrOtherCurriculum)
	}
	if s.Resume == nil || s.Resume.Version != resumeVersion {
		return nil, errors.New("the standing was not written by Save, or by another version of it: replay the history instead")
	}
	f := p.NewFold(dogs...)
	f.now = s.At
	for _, r := range s.Reports {
		f.reports = append(f.reports, report{Report: r})
	}
	for _, k := range s.Resume.Told {
		f.told[k] = true
	}
	for i := range s.Dogs {
		if err := f.loadDog(&s.Dogs[i]); err != nil {
			return nil, fmt.Errorf("a saved standing is broken at %s: %w", s.Dogs[i].Dog, err)
		}
	}
	return f, nil
}

func (f *Fold) loadDog(s *DogStanding) error {
	r := s.Resume
	if s.Dog == "" || r == nil {
		return errors.New("no dog, or nothing to resume")
	}
	d := f.dogs[s.Dog]
	if d == nil {
		d = f.p.newDog(s.Dog)
		f.dogs[s.Dog] = d
	}
	if d.lines {
		return errors.New("the dog is there twice")
	}
	d.known, d.lines, d.at, d.seq, d.sessions = true, r.Lines > 0, r.At, r.Lines, r.Begun
	var err error
	if d.paying, err = loadPaying(r.Paid, r.PaidTold); err != nil {
		return err
	}
	if err := f.loadPacer(d, r.Pacer); err != nil {
		return err
	}
	doors := map[string][]int{}
	for _, b := range f.p.behaviours {
		for i := range b.needs {
			k := b.needs[i].key(b)
			doors[k] = append(doors[k], b.needs[i].id)
		}
	}
	for _, k := range r.Met {
		ids, ok := doors[k]
		if !ok {
			return fmt.Errorf("unknown door %q", k)
		}
		for _, id := range ids {
			d.met[id/64] |= 1 << (id % 64)
		}
	}
	for i := range r.Behaviours {
		if err := f.loadBehaviour(d, &r.Behaviours[i]); err != nil {
			return fmt.Errorf("%s: %w", r.Behaviours[i].Behaviour, err)
		}
	}
	for _, l := range s.Locked {
		o := lock{sign: l.Sign, written: l.Written, at: l.At, by: l.By, note: l.Note}
		for _, name := range l.Behaviours {
			bi, ok := f.p.names[name]
			if !ok {
				return fmt.Errorf("a lock on the unknown behaviour %q", name)
			}
			o.behaviours = append(o.behaviours, bi)
		}
		d.locks = append(d.locks, o)
	}
	for _, s := range s.Strange {
		if bi, ok := f.p.names[s.Behaviour]; ok {
			s.Behaviour = f.p.behaviours[bi].src.Name
		} else if s.Behaviour != "" {
			return fmt.Errorf("a sign seen in the unknown behaviour %q", s.Behaviour)
		}
		d.strange = append(d.strange, s)
	}
	for i := range s.Behaviours {
		if err := f.loadMoves(d, &s.Behaviours[i]); err != nil {
			return err
		}
	}
	return f.loadSessions(d, r)
}

// loadMoves keeps the moves, notes and reviews as they were written, and which pieces failed: nothing but answers depends
// on them.
func (f *Fold) loadMoves(d *dog, s *BehaviourStanding) error {
	if len(s.Moves)+len(s.Noted)+len(s.Failed)+len(s.FailedBefore)+len(s.Reviews) == 0 {
		return nil
	}
	bi, ok := f.p.names[s.Behaviour]
	if !ok || d.states[bi] == nil {
		return fmt.Errorf("moves of %q without anything to resume", s.Behaviour)
	}
	st := d.states[bi]
	st.reviews = s.Reviews
	for i := range s.Moves {
		st.moves.add(moved{written: &s.Moves[i]})
	}
	for i := range s.Noted {
		st.noted = append(st.noted, noted{written: &s.Noted[i]})
	}
	return st.loadPieces(s.Failed, s.FailedBefore)
}

func (f *Fold) loadBehaviour(d *dog, r *resumeBehaviour) error {
	bi, ok := f.p.names[r.Behaviour]
	if !ok || d.states[bi] != nil {
		return errors.New("no such behaviour, or there twice")
	}
	b := f.p.behaviours[bi]
	st := d.state(b)
	st.stage = len(b.stages) - 1
	if r.Step != "" {
		if st.stage, ok = b.steps[r.Step]; !ok {
			return fmt.Errorf("no step %q", r.Step)
		}
	}
	sg := st.sg()
	if err := f.loadOwn(st, r); err != nil {
		return err
	}
	if r.Level < 0 || r.Level >= len(st.levels(sg)) {
		return fmt.Errorf("no level %d at %q", r.Level, r.Step)
	}
	st.level, st.begun, st.lapsed, st.epoch, st.sess = r.Level, r.Begun, r.Lapsed, r.Epoch, r.Session
	st.trials, st.stepTrials, st.sessions, st.closed, st.recent = r.Trials, r.StepTrials, r.Sessions, r.Closed, r.Recent
	if err := st.loadPay(r.Pay, d.seq); err != nil {
		return err
	}
	if err := st.loadPaces(r.Paces); err != nil {
		return err
	}
	st.handlers, st.places = loadParts(r.Handlers), loadParts(r.Places)
	if r.Entered != nil {
		st.entered, st.enteredAt, st.enteredDay = true, *r.Entered, dayOf(*r.Entered)
	}
	if !st.loadReview(r.Review) {
		return errors.New("reviews that do not fit the gaps")
	}
	if r.Last != nil {
		st.last = *r.Last
	}
	for _, c := range r.Days {
		st.days[((c[0]%dayRing)+dayRing)%dayRing] = dayCount{int32(c[0]), uint16(c[1]), uint16(c[2])}
	}
	for _, k := range r.Held {
		if !st.hold(k) {
			return fmt.Errorf("unknown rule %q", k)
		}
	}
	all := append(append([]*track(nil), b.stopTracks...), sg.tracks...)
	for _, later := range b.stages {
		all = append(all, later.skipTracks...)
	}
	order, err := loadTracks(all, r.Tracks, st.slots, st.marks)
	if err != nil {
		return err
	}
	if err := loadDivisions(st.divisions(), r.Divisions, st.groups); err != nil {
		return err
	}
	if len(r.Trail) > trailLength {
		return errors.New("too long a trail")
	}
	for _, t := range r.Trail {
		if t.Kind > void || t.Why > whyPaused {
			return errors.New("a trial of an unknown kind")
		}
		s := seen{id: t.ID, kind: t.Kind, why: t.Why, epoch: t.Epoch, sess: t.Session}
		for i, to := range order {
			s.set(to, t.Filled>>i&1 != 0, t.Counted>>i&1 != 0)
		}
		st.trail.add(s)
	}
	return nil
}

// hold remembers that a stop or flag rule held.
func (st *state) hold(key string) bool {
	found := holdStops(st.b, st.slots, key)
	for _, r := range st.sg().all {
		if (r.word == curriculum.Flag || r.word == curriculum.Split) && r.key() == key {
			*st.held(r) |= 1 << (r.bit % 64)
			found = true
		}
	}
	return found
}

func holdStops(b *behaviour, slots []uint64, key string) (found bool) {
	for _, sg := range b.stages {
		for _, r := range sg.notes {
			if r.word == curriculum.StopToday && r.key() == key {
				slots[r.bit/64] |= 1 << (r.bit % 64)
				found = true
			}
		}
	}
	return found
}

// loadTracks fills the tracks; order gives, for each saved one, the index of the track it went to.
func loadTracks(tracks []*track, saved []resumeTrack, slots []uint64, marks []mark) (order []int, err error) {
	at := map[string]int{}
	for i, tr := range tracks {
		at[tr.key] = i
	}
	for _, r := range saved {
		i, ok := at[r.Key]
		if !ok {
			return nil, fmt.Errorf("unknown history %q", r.Key)
		}
		delete(at, r.Key)
		tr := tracks[i]
		if r.Filled < 0 || r.Filled > filledMask || r.Counted < 0 || r.Counted > r.Filled ||
			!tr.fits(&r) || len(r.Marks) != min(r.Counted, tr.keep) {
			return nil, fmt.Errorf("a history %q that does not add up", r.Key)
		}
		slots[tr.at] = uint64(r.Filled) | uint64(r.Counted)<<32
		if tr.block {
			slots[tr.at+1+tr.words] = uint64(r.Newest)
			if r.Now {
				slots[tr.at] |= justFilled
			}
		}
		tr.setMeasures(&state{slots: slots}, r.Values)
		for j := range len(r.History) {
			switch r.History[j] {
			case '1':
				slots[tr.at+1+j/64] |= 1 << (j % 64)
			case '0':
			default:
				return nil, fmt.Errorf("a history %q of other marks than 0 and 1", r.Key)
			}
		}
		for j, m := range r.Marks {
			marks[tr.ids+(r.Counted-len(r.Marks)+j)%tr.keep] = mark{m.ID, m.Seq}
		}
		order = append(order, i)
	}
	return order, nil
}

func (f *Fold) loadSessions(d *dog, r *Resume) error {
	numbers := map[uint32]bool{}
	for _, rs := range r.Sessions {
		if rs.Number == 0 || rs.Number > r.Begun || numbers[rs.Number] {
			return errors.New("a session out of order")
		}
		numbers[rs.Number] = true
		s := &session{number: rs.Number, id: rs.ID, last: rs.Last, open: rs.Open, ended: rs.Ended, spoiled: rs.Spoiled}
		for i := range rs.Worked {
			w, err := f.loadWork(d, s, i, &rs.Worked[i])
			if err != nil {
				return err
			}
			s.worked = append(s.worked, w)
		}
		if s.id != "" {
			if d.ids == nil {
				d.ids = map[string]*session{}
			}
			d.ids[s.id] = s
		}
		if s.number == r.Session {
			d.cur = s
		}
	}
	if r.Session != 0 && d.cur == nil {
		return errors.New("the last session is missing")
	}
	for _, st := range d.states {
		// a session without an id that is over is not kept; no trial can come back to it
		if st != nil && st.sess != 0 && !numbers[st.sess] {
			st.sess = 0
		}
	}
	return nil
}

func (f *Fold) loadWork(d *dog, s *session, at int, r *resumeWork) (work, error) {
	bi, ok := f.p.names[r.Behaviour]
	if !ok || d.states[bi] == nil || s.find(bi) >= 0 {
		return work{}, fmt.Errorf("session %d: %q cannot be resumed", s.number, r.Behaviour)
	}
	b, st := f.p.behaviours[bi], d.states[bi]
	w := work{b: bi, epoch: r.Epoch, closed: r.Closed, tried: r.Tried, counted: r.Counted, moved: r.Moved, told: r.Told, locked: r.Locked, stopped: r.Stopped}
	if r.End != nil {
		if w.end, ok = r.End.loaded(st.sg()); !ok || w.epoch != st.epoch {
			return work{}, fmt.Errorf("session %d: the last trial of %q cannot be resumed", s.number, r.Behaviour)
		}
	}
	if st.sess == s.number {
		st.work = at
	}
	if r.Shelf == nil {
		return w, nil
	}
	sg := st.sg()
	n, m, tracks := b.stopSlots, b.stopMarks, b.stopTracks
	if r.Shelf.Epoch == st.epoch {
		n, m = sg.slots, sg.marks
		tracks = append(append([]*track(nil), tracks...), inScope(sg.tracks, inSession)...)
	}
	w.shelf = &shelf{r.Shelf.Epoch, make([]uint64, n), make([]mark, m)}
	for _, k := range r.Shelf.Held {
		if !holdStops(b, w.shelf.slots, k) {
			return w, fmt.Errorf("session %d: unknown rule %q", s.number, k)
		}
	}
	_, err := loadTracks(tracks, r.Shelf.Tracks, w.shelf.slots, w.shelf.marks)
	return w, err
}

// fits reports whether a saved history is as long as the track keeps it.
func (tr *track) fits(r *resumeTrack) bool {
	if tr.measure != "" {
		return r.History == "" && len(r.Values) == min(r.Counted, tr.words)
	}
	return r.Values == nil && len(r.History) == min(r.Filled, 64*tr.words)
}
