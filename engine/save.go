package engine

import (
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"example.com/rung/curriculum"
)

// ResumeFold is what Program.Resume needs beside the dogs.
type ResumeFold struct {
	Version int      `json:"version"`
	Told    []string `json:"told,omitempty"` // what is reported once and was
}

// resumeVersion is counted up when the meaning of what Save writes changes.
const resumeVersion = 1

// Resume is what Program.Resume needs of one dog beside its standing. Everything in it goes by names, so that a
// curriculum that is spelled otherwise but means the same can take it up.
type Resume struct {
	At         time.Time         `json:"at"`
	Lines      uint32            `json:"lines"`
	Met        []string          `json:"met,omitempty"` // doors met for good
	Session    uint32            `json:"session,omitempty"`
	Sessions   []resumeSession   `json:"sessions,omitempty"` // the last one, and all that have an id
	Begun      uint32            `json:"begun,omitempty"`    // sessions so far
	Behaviours []resumeBehaviour `json:"behaviours,omitempty"`
	Paid       string            `json:"paid,omitempty"` // the newest trials, newest first: 1 is a miss that was paid
	PaidTold   bool              `json:"paid_told,omitempty"`
	Pacer      *resumePacer      `json:"pacer,omitempty"` // the last trial, where a cycle begins with it
}

type resumeSession struct {
	Number  uint32       `json:"n"`
	ID      string       `json:"id,omitempty"`
	Last    time.Time    `json:"last"`
	Open    bool         `json:"open,omitempty"`
	Ended   bool         `json:"ended,omitempty"`
	Worked  []resumeWork `json:"worked,omitempty"`
	Spoiled uint32       `json:"spoiled,omitempty"`
}

type resumeWork struct {
	Behaviour string       `json:"behaviour"`
	Epoch     uint32       `json:"entry,omitempty"`
	Closed    uint32       `json:"closed,omitempty"`
	Tried     bool         `json:"tried,omitempty"`
	Counted   bool         `json:"counted,omitempty"`
	Moved     bool         `json:"moved,omitempty"`
	Told      bool         `json:"told,omitempty"`
	Locked    bool         `json:"locked,omitempty"`
	Stopped   bool         `json:"stopped,omitempty"`
	Shelf     *resumeShelf `json:"shelf,omitempty"`
	End       *ending      `json:"end,omitempty"`
}

type resumeShelf struct {
	Epoch  uint32        `json:"entry,omitempty"`
	Held   []string      `json:"held,omitempty"`
	Tracks []resumeTrack `json:"tracks,omitempty"`
}

type resumeBehaviour struct {
	Behaviour  string           `json:"behaviour"`
	Step       string           `json:"step,omitempty"` // "" is kept
	Level      int              `json:"level,omitempty"`
	Begun      bool             `json:"begun,omitempty"`
	Lapsed     bool             `json:"lapsed,omitempty"`
	Entered    *time.Time       `json:"entered,omitempty"`
	Review     *resumeReview    `json:"review,omitempty"`
	Epoch      uint32           `json:"entry"`
	Trials     uint32           `json:"trials,omitempty"`
	StepTrials uint32           `json:"step_trials,omitempty"`
	Sessions   uint32           `json:"sessions,omitempty"`
	Closed     uint32           `json:"closed,omitempty"`
	Recent     uint32           `json:"recent,omitempty"`
	Held       []string         `json:"held,omitempty"` // stop and flag rules
	Session    uint32           `json:"session,omitempty"`
	Last       *time.Time       `json:"last,omitempty"`
	Days       [][3]int         `json:"days,omitempty"` // date, trials, sessions
	Own        []resumeOwn      `json:"own,omitempty"`  // levels that splits put in
	Eases      []resumeAt       `json:"eases,omitempty"`
	Pieced     []resumeAt       `json:"pieced,omitempty"`
	Tracks     []resumeTrack    `json:"tracks,omitempty"`
	Divisions  []resumeDivision `json:"divisions,omitempty"`
	Trail      []resumeSeen     `json:"trail,omitempty"`
	Pay        *resumePay       `json:"pay,omitempty"`
	Paces      []resumePace     `json:"paces,omitempty"`
	Handlers   []resumePart     `json:"handlers,omitempty"`
	Places     []resumePart     `json:"places,omitempty"`
}

// resumeTrack is a track: what filled and what counted it, the history newest first, the newest reasons oldest first.
type resumeTrack struct {
	Key     string       `json:"of"`
	Filled  int          `json:"filled"`
	Counted int          `json:"counted,omitempty"`
	History string       `json:"history,omitempty"`
	Newest  uint32       `json:"newest,omitempty"` // of blocks: the trial that filled it last
	Now     bool         `json:"now,omitempty"`    // of blocks: that was the present trial
	Values  []*float64   `json:"values,omitempty"` // of a statistic, instead of the history
	Marks   []resumeMark `json:"trials,omitempty"`
}

type resumeMark struct {
	ID  string `json:"id"`
	Seq uint32 `json:"n"`
}

// resumeSeen is a trial of the trail; Filled and Counted are bits by the order of the behaviour's tracks above.
type resumeSeen struct {
	ID      string `json:"id"`
	Kind    kind   `json:"kind,omitempty"`
	Why     whyNot `json:"why,omitempty"`
	Epoch   uint32 `json:"entry,omitempty"`
	Session uint32 `json:"session,omitempty"`
	Filled  uint64 `json:"filled,omitempty"`
	Counted uint64 `json:"counted,omitempty"`
}

// Save writes the standing at the time of the last line and all that Program.Resume needs to go on, as JSON.
func (f *Fold) Save(w io.Writer) error {
	if f.none() {
		return ErrNoProgram
	}
	if w == nil {
		return errors.New("there is nowhere to save to: give Save a file or a buffer")
	}
	s := f.empty(f.now)
	for _, d := range f.sorted() {
		s.Dogs = append(s.Dogs, f.dogStanding(d, f.now)) // no session is closed: what goes on must find it as it is
	}
	s.Resume = &ResumeFold{Version: resumeVersion, Told: sortedKeys(f.told)}
	for i, d := range f.sorted() {
		s.Dogs[i].Resume = f.saveDog(d)
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	return e.Encode(s)
}

// HistoryPrint tells two histories of a dog apart, as Program.Fingerprint does curricula: the first eight hexadecimal
// digits of a hash of all that was made of its lines. "" of a dog without lines.
func (f *Fold) HistoryPrint(name string) string {
	if f.none() {
		return ""
	}
	d := f.dogs[name]
	if d == nil || d.seq == 0 {
		return ""
	}
	b, err := json.Marshal(struct {
		State   *Resume
		Locked  []Lock
		Strange []StrangeSign `json:",omitempty"`
	}{f.saveDog(d), f.locked(d), d.strange})
	if err != nil { // a number that JSON does not know; none gets in
		return ""
	}
	return fmt.Sprintf("%x", sha256.Sum256(b))[:8]
}

func (f *Fold) saveDog(d *dog) *Resume {
	r := &Resume{At: d.at, Lines: d.seq, Begun: d.sessions, Paid: d.paying.save(), PaidTold: d.paying.told, Pacer: d.savePacer()}
	for _, b := range f.p.behaviours {
		for i := range b.needs {
			if n := &b.needs[i]; d.met[n.id/64]>>(n.id%64)&1 != 0 {
				r.Met = append(r.Met, n.key(b))
			}
		}
		if st := d.states[b.index]; st != nil && (len(st.trail.ring) > 0 || st.begun || d.worked(b.index)) {
			r.Behaviours = append(r.Behaviours, st.save())
			if last := &r.Behaviours[len(r.Behaviours)-1]; !d.keeps(last.Session) {
				last.Session = 0
			}
		}
	}
	slices.Sort(r.Met)
	r.Met = slices.Compact(r.Met)
	var all []*session
	for _, id := range sortedKeys(d.ids) {
		all = append(all, d.ids[id])
	}
	if d.cur != nil {
		r.Session = d.cur.number
		if d.cur.id == "" {
			all = append(all, d.cur)
		}
	}
	slices.SortFunc(all, func(a, b *session) int { return int(a.number) - int(b.number) })
	for _, s := range all {
		r.Sessions = append(r.Sessions, f.saveSession(d, s))
	}
	return r
}

func (f *Fold) saveSession(d *dog, s *session) resumeSession {
	out := resumeSession{Number: s.number, ID: s.id, Last: s.last, Open: s.open, Ended: s.ended, Spoiled: s.spoiled}
	for i := range s.worked {
		w := &s.worked[i]
		b := f.p.behaviours[w.b]
		o := resumeWork{b.src.Name, w.epoch, w.closed, w.tried, w.counted, w.moved, w.told, w.locked, w.stopped, nil, nil}
		if st := d.states[w.b]; w.epoch == st.epoch && st.sg().closes {
			o.End = w.end.saved(st.sg())
		}
		if sh := w.shelf; sh != nil {
			st := d.states[w.b]
			o.Shelf = &resumeShelf{Held: b.heldStops(sh.slots), Tracks: saveTracks(b.stopTracks, sh.slots, sh.marks)}
			if sh.epoch == st.epoch {
				o.Shelf.Epoch = sh.epoch
				o.Shelf.Tracks = append(o.Shelf.Tracks, saveTracks(inScope(st.sg().tracks, inSession), sh.slots, sh.marks)...)
			}
		}
		out.Worked = append(out.Worked, o)
	}
	return out
}

func inScope(tracks []*track, s scope) []*track {
	var out []*track
	for _, tr := range tracks {
		if tr.scope == s {
			out = append(out, tr)
		}
	}
	return out
}

func (st *state) save() resumeBehaviour {
	b, sg := st.b, st.sg()
	r := resumeBehaviour{Behaviour: b.src.Name, Level: st.level, Begun: st.begun, Lapsed: st.lapsed, Epoch: st.epoch, Trials: st.trials,
		StepTrials: st.stepTrials, Sessions: st.sessions, Closed: st.closed, Recent: st.recent, Session: st.sess, Pay: st.savePay(), Paces: st.savePaces(),
		Handlers: st.handlers.save(st.epoch), Places: st.places.save(st.epoch)}
	if !sg.kept {
		r.Step = sg.step.Name
	}
	if st.entered {
		at := st.enteredAt
		r.Entered = &at
	}
	if !st.last.IsZero() {
		at := st.last
		r.Last = &at
	}
	r.Review = st.saveReview()
	r.Held = b.heldStops(st.slots)
	st.saveOwn(&r)
	for _, ru := range sg.all {
		if (ru.word == curriculum.Flag || ru.word == curriculum.Split) && st.holding(ru) {
			r.Held = append(r.Held, ru.key())
		}
	}
	slices.Sort(r.Held)
	days := slices.Clone(st.days[:])
	slices.SortFunc(days, func(a, b dayCount) int { return int(a.day) - int(b.day) })
	for _, c := range days {
		if c.trials > 0 {
			r.Days = append(r.Days, [3]int{int(c.day), int(c.trials), int(c.sessions)})
		}
	}
	r.Tracks = append(saveTracks(b.stopTracks, st.slots, st.marks), saveTracks(sg.tracks, st.slots, st.marks)...)
	for _, later := range b.stages {
		r.Tracks = append(r.Tracks, saveTracks(later.skipTracks, st.slots, st.marks)...)
	}
	r.Divisions = saveDivisions(st.divisions(), st.groups)
	for _, s := range st.trail.all() {
		o := resumeSeen{ID: s.id, Kind: s.kind, Why: s.why, Epoch: s.epoch, Session: s.sess, Filled: s.filled, Counted: s.counted}
		if s.epoch != st.epoch {
			// what it was to an earlier level's windows, nobody asks any more
			o.Filled &= 1<<len(b.stopTracks) - 1
			o.Counted &= 1<<len(b.stopTracks) - 1
		}
		r.Trail = append(r.Trail, o)
	}
	return r
}

// heldStops names the stop rules that held when they were last looked at in the session of the slots.
func (b *behaviour) heldStops(slots []uint64) []string {
	var out []string
	for _, sg := range b.stages {
		for _, r := range sg.notes {
			if r.word == curriculum.StopToday && slots[r.bit/64]>>(r.bit%64)&1 != 0 {
				out = append(out, r.key())
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func saveTracks(tracks []*track, slots []uint64, marks []mark) []resumeTrack {
	st := &state{slots: slots, marks: marks}
	var out []resumeTrack
	for _, tr := range tracks {
		n, now := tr.filled(st)
		r := resumeTrack{Key: tr.key, Filled: n, Counted: tr.counted(st)}
		if tr.block {
			r.Newest, r.Now = uint32(slots[tr.at+1+tr.words]), now
		}
		if tr.measure != "" {
			r.Values, n = tr.measures(st), 0
		}
		bits := make([]byte, min(n, 64*tr.words))
		for i := range bits {
			bits[i] = '0' + byte(slots[tr.at+1+i/64]>>(i%64)&1)
		}
		r.History = string(bits)
		for _, m := range tr.reasons(nil, st, tr.keep) {
			r.Marks = append(r.Marks, resumeMark{m.id, m.seq})
		}
		out = append(out, r)
	}
	return out
}

// key names a stop or flag rule by its meaning.
func (r *rule) key() string {
	return fmt.Sprintf("%s %s %s", r.stage.step.Name, r.word, r.when.key())
}

// key names a criterion by its meaning.
func (n *node) key() string {
	out := fmt.Sprintf("%d.%d.%d", n.op, n.k, n.n)
	if n.twice {
		out += "twice"
	}
	if n.track != nil {
		out += "<" + n.track.key + ">"
	}
	if n.op == opConfidence {
		c := n.source.(curriculum.Confidence)
		out += c.Share.Rat().RatString() + "," + c.Confidence.Rat().RatString()
	}
	if n.stat != nil {
		out += curriculum.CriterionText(n.source)
	}
	if n.cond != nil {
		out += "{" + n.cond.text + "}"
	}
	if n.inARow {
		out += "row"
	}
	if n.div != nil {
		out += "<" + n.div.key + ">"
	}
	for i := range n.kids {
		out += "(" + n.kids[i].key() + ")"
	}
	return out
}

// key names a door by its meaning.
func (n *need) key(b *behaviour) string {
	if n.dog != nil {
		return b.src.Name + " needs dog {" + n.dog.text + "}"
	}
	return fmt.Sprintf("%s needs %s %d", b.src.Name, n.src.Other, n.ord)
}

// keeps reports whether a session of that number is the last one or can still get a trial by its id.
func (d *dog) keeps(number uint32) bool {
	if number == 0 {
		return false
	}
	if d.cur != nil && d.cur.number == number {
		return true
	}
	for _, s := range d.ids {
		if s.number == number {
			return true
		}
	}
	return false
}

// worked reports whether such a session has a record of the behaviour.
func (d *dog) worked(b int) bool {
	if d.cur != nil && d.cur.find(b) >= 0 {
		return true
	}
	for _, s := range d.ids {
		if s.find(b) >= 0 {
			return true
		}
	}
	return false
}
