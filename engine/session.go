package engine

import "time"

const (
	sessionGap = 30 * time.Minute // between trials without a session id
	longGap    = 12 * time.Hour   // between trials of one session id: reported
)

// session is a training session of one dog.
type session struct {
	number  uint32 // counted up by dog
	id      string // "" where trials were grouped by gaps
	last    time.Time
	open    bool
	ended   bool   // by a sign
	spoiled uint32 // void trials
	worked  []work
}

// work is what a session keeps of one behaviour.
type work struct {
	b       int
	epoch   uint32 // the entry of the level its newest evidence fed, 0 for none
	closed  uint32 // the entry for which the session was counted as closed
	tried   bool   // a trial of it was made
	counted bool   // among the day's sessions
	moved   bool   // a move was made in this session
	told    bool   // that a trial after the move names no step
	locked  bool   // told that it was trained while locked
	stopped bool   // for the rest of the session
	shelf   *shelf
	end     ending // where rules of the level wait for the close
}

// shelf keeps the session's own slots and marks of a behaviour while another session is worked, for a trial that comes
// late with the id of the closed one.
type shelf struct {
	epoch uint32
	slots []uint64
	marks []mark
}

// join finds the session of a trial, closing the open one where the trial belongs to another.
func (f *Fold) join(d *dog, at time.Time, id string, ln line) *session {
	s := d.cur
	switch {
	case s != nil && s.id == id && (id != "" || s.open && at.Sub(s.last) < sessionGap):
	case id != "" && d.ids[id] != nil:
		f.close(d)
		s = d.ids[id]
	default:
		f.close(d)
		s = d.begin(id)
	}
	if !s.open {
		f.report(ln, CodeSessionReopened, "the trial belongs to session %q of %s, which was closed", id, d.name)
		f.reopen(d, s)
	}
	if id != "" && !s.last.IsZero() && at.Sub(s.last) >= longGap {
		f.report(ln, CodeSessionLong, "session %q of %s goes on after %d hours", id, d.name, int(at.Sub(s.last).Hours()))
	}
	s.last = at
	d.cur = s
	return s
}

// begin opens a new session.
func (d *dog) begin(id string) *session {
	d.sessions++
	s := d.cur
	if s == nil || s.id != "" {
		s = new(session)
	}
	*s = session{number: d.sessions, id: id, open: true, worked: s.worked[:0]}
	if id != "" {
		if d.ids == nil {
			d.ids = map[string]*session{}
		}
		d.ids[id] = s
	}
	return s
}

// close closes the dog's open session, if there is one.
func (f *Fold) close(d *dog) {
	s := d.cur
	if s == nil || !s.open {
		return
	}
	s.open = false
	for i := range s.worked {
		w := &s.worked[i]
		st := d.states[w.b]
		if w.epoch == st.epoch && w.closed != st.epoch {
			w.closed = st.epoch
			st.closed++
		}
	}
	if f.p.closes {
		f.atClose(d, s)
	}
	for i := range s.worked {
		w := &s.worked[i]
		st := d.states[w.b]
		if s.id != "" && st.sess == s.number {
			w.shelf = st.shelve()
		}
	}
}

// reopen opens a closed session again.
func (f *Fold) reopen(d *dog, s *session) {
	s.open = true
	for i := range s.worked {
		w := &s.worked[i]
		if st := d.states[w.b]; w.closed != 0 && w.closed == st.epoch {
			w.closed = 0
			st.closed--
		}
	}
}

// closeStale closes a session whose last trial is half an hour or more past.
func (f *Fold) closeStale(d *dog, at time.Time) {
	if d.cur != nil && d.cur.open && at.Sub(d.cur.last) >= sessionGap {
		f.close(d)
	}
}

// work is the session's record of a behaviour; the state's session slots are made those of this session.
func (s *session) work(st *state) *work {
	if st.sess == s.number {
		return &s.worked[st.work]
	}
	at := s.find(st.b.index)
	if at < 0 {
		at = len(s.worked)
		s.worked = append(s.worked, work{b: st.b.index})
	}
	w := &s.worked[at]
	st.sess, st.work = s.number, at
	st.unshelve(w.shelf)
	w.shelf = nil
	return w
}

func (s *session) find(b int) int {
	for i := range s.worked {
		if s.worked[i].b == b {
			return i
		}
	}
	return -1
}

// shelve copies what a state holds of its session; nil where no rule looks at it.
func (st *state) shelve() *shelf {
	sg := st.sg()
	if sg.slots == 0 {
		return nil
	}
	return &shelf{st.epoch, append([]uint64(nil), st.slots[:sg.slots]...), append([]mark(nil), st.marks[:sg.marks]...)}
}

// unshelve puts back what was shelved, or begins anew. What belongs to a level comes back only if the dog has not left it.
func (st *state) unshelve(sh *shelf) {
	sg := st.sg()
	clear(st.slots[:sg.slots])
	if sh == nil {
		return
	}
	n, m := st.b.stopSlots, st.b.stopMarks
	if sh.epoch == st.epoch {
		n, m = sg.slots, sg.marks
	}
	copy(st.slots[:n], sh.slots)
	copy(st.marks[:m], sh.marks)
}
