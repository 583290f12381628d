// Package naive is a slow, plain reader of curricula and histories. It exists to be compared with package engine in
// tests and for nothing else: it shares no code with the engine, keeps every trial of a dog, and scans them again for
// every question. One function stands for one sentence of the language's law.
package naive

import (
	"errors"
	"sort"
	"time"

	"example.com/rung/curriculum"
)

// Gap is the pause that separates sessions without an id, and after which a session counts as over.
const Gap = 30 * time.Minute

// ErrEarlier is returned for a trial earlier than the dog's last one.
var ErrEarlier = errors.New("earlier than the dog's last trial")

// ErrUnusable is returned for a line that cannot be used.
var ErrUnusable = errors.New("line cannot be used")

// Kinds of report, in this package's own words.
const (
	Unusable     = "unusable"      // the line was not read
	Disagrees    = "disagrees"     // written outcome and measures
	AfterMove    = "after a move"  // names no step though the behaviour moved in this session
	UnknownHelp  = "unknown help"  // a help word nobody declared
	UnknownPlace = "unknown place" // and so on
	UnknownHand  = "unknown handler"
	UnknownSign  = "unknown sign"
	UnknownThing = "unknown measure"
	UnknownLevel = "unknown level"
	Reopened     = "reopened"      // a trial of a session that was closed
	LongSession  = "long"          // one session id, twelve hours or more apart
	Closed       = "not open"      // trained while waiting or paused
	Locked       = "locked"        // trained in spite of a lock
	HalfMeasured = "half"          // decided by measures, one of them missing
	NoProfile    = "no profile"    // a need on the dog, and nothing known of it
	UnknownPiece = "no such piece" // of a chain
)

// Report is something a person should know about a line.
type Report struct {
	Kind string
	Line int
}

// Reader takes lines one at a time.
type Reader struct {
	c        *curriculum.Curriculum
	profiles map[string]*curriculum.Dog
	dogs     map[string]*dog
	Reports  []Report
	rereads  bool // reading once more what could be read
}

// New is a reader that has read nothing.
func New(c *curriculum.Curriculum, dogs ...curriculum.Dog) *Reader {
	r := &Reader{c: c, profiles: map[string]*curriculum.Dog{}, dogs: map[string]*dog{}}
	for i := range dogs {
		r.profiles[dogs[i].Name] = &dogs[i]
		r.dog(dogs[i].Name)
	}
	return r
}

// dog is all that is known of one dog.
type dog struct {
	name     string
	profile  *curriculum.Dog
	taken    []curriculum.Entry // every line read, to be able to read them again
	lines    []*line            // the trials
	sessions []*session
	present  *session // the one the last trial belongs to
	progress []*progress
	locks    []Lock
	warned   map[string]bool
}

// session is one session of one dog. Its trials are found by scanning the dog's lines.
type session struct {
	id     string
	closed bool
}

// line is one trial as it was read.
type line struct {
	t       curriculum.Trial
	what    what
	session *session
	of      *progress
	step    int
	named   bool // step named
	rung    *rung
	visit   int  // which stay at a level it fed; 0 for none
	skips   int  // 1 + the moves before it, where it is evidence for a skip
	moved   bool // the behaviour moved at this trial
}

// rung is a level as one dog has it; those put in by a split are its own.
type rung struct {
	level curriculum.Level
	piece bool
	own   bool
}

// progress is one dog in one behaviour.
type progress struct {
	b         *curriculum.Behaviour
	steps     [][]*rung
	step      int
	at        *rung
	visit     int // stays at levels, counted; 0 before the first level is entered
	stepVisit int // the stay with which the present step was entered
	entered   time.Time
	begun     bool
	kept      bool
	lapsed    bool
	everKept  bool
	stood     []place // everywhere it stood after it had begun
	eases     []easeOrSplit
	splitInto map[*rung]bool
	moves     []Move
	noted     []Noted
	heldLast  map[heldKey]bool
	byHand    []handMove
	keptOn    map[int]time.Time // when a stay began in which it was kept
}

type place struct {
	step int
	rung *rung
}

type easeOrSplit struct {
	out   *rung
	split bool
}

// handMove is a move by hand in a session that was open, and how many trials had been taken.
type handMove struct {
	session *session
	after   int
}

type heldKey struct {
	step, rule int
	session    *session // for stop
	visit      int      // for flag and split
}

func (r *Reader) dog(name string) *dog {
	if d := r.dogs[name]; d != nil {
		return d
	}
	d := &dog{name: name, profile: r.profiles[name], warned: map[string]bool{}}
	for _, b := range r.c.Behaviours {
		p := &progress{b: b, heldLast: map[heldKey]bool{}, splitInto: map[*rung]bool{}, keptOn: map[int]time.Time{}}
		for _, s := range b.Steps {
			var rungs []*rung
			for _, l := range s.Levels {
				rungs = append(rungs, &rung{level: l})
			}
			p.steps = append(p.steps, rungs)
		}
		p.at = p.steps[0][0]
		d.progress = append(d.progress, p)
	}
	r.dogs[name] = d
	return d
}

func (r *Reader) report(kind string, line int) {
	r.Reports = append(r.Reports, Report{kind, line})
}

func (d *dog) of(b *curriculum.Behaviour) *progress {
	for _, p := range d.progress {
		if p.b == b {
			return p
		}
	}
	return nil
}

func (d *dog) lastLine() *line {
	if len(d.lines) == 0 {
		return nil
	}
	return d.lines[len(d.lines)-1]
}

// again reads everything of one dog once more, into a fresh reader: a copy that may be spoiled.
func (r *Reader) again(d *dog) (*Reader, *dog) {
	n := &Reader{c: r.c, profiles: r.profiles, dogs: map[string]*dog{}, rereads: true}
	for _, e := range d.taken {
		if e.IsEvent {
			_ = n.Event(e.Event)
		} else {
			_ = n.Trial(e.Trial)
		}
	}
	return n, n.dog(d.name)
}

// Take takes a trial or an event.
func (r *Reader) Take(e curriculum.Entry) error {
	if e.IsEvent {
		return r.Event(e.Event)
	}
	return r.Trial(e.Trial)
}

// Trial takes one trial.
func (r *Reader) Trial(t curriculum.Trial) error {
	b := r.c.Behaviour(t.Behaviour)
	if b == nil || t.Dog == "" || t.At.IsZero() || t.Step != "" && b.Step(t.Step) < 0 {
		r.report(Unusable, t.Line)
		return ErrUnusable
	}
	d := r.dog(t.Dog)
	if last := d.lastLine(); last != nil && t.At.Before(last.t.At) {
		return ErrEarlier
	}
	// what a trial without an outcome is depends on where it belongs, and that on what closes before it
	if t.Outcome == curriculum.NoOutcome && !r.rereads {
		n, nd := r, d
		if !d.goesOn(t) || len(r.c.Sessions) > 0 {
			n, nd = r.again(d)
		}
		said := len(n.Reports)
		l := n.approach(nd, b, t)
		n.Reports = n.Reports[:said]
		if l.outcome() == curriculum.NoOutcome {
			if len(d.taken) == 0 && d.profile == nil {
				delete(r.dogs, d.name) // still unheard of
			}
			r.report(Unusable, t.Line)
			return ErrUnusable
		}
	}
	l := r.approach(d, b, t)
	r.reportTrial(d, l)
	d.lines = append(d.lines, l)
	d.taken = append(d.taken, curriculum.Entry{Trial: t})
	r.look(d, l)
	return nil
}

// approach does all that happens before a trial is taken, and works out where it belongs.
func (r *Reader) approach(d *dog, b *curriculum.Behaviour, t curriculum.Trial) *line {
	s := d.sessionFor(t)
	if d.present != nil && d.present != s && !d.present.closed {
		r.close(d, d.present)
	}
	if t.Session != "" && d.hoursApart(s, t) {
		r.report(LongSession, t.Line)
	}
	if s.closed {
		s.closed = false
		r.report(Reopened, t.Line)
	}
	d.present = s
	p := d.of(b)
	if t.Outcome != curriculum.Void {
		r.awayBefore(d, p, t)
	}
	l := &line{t: t, session: s, of: p, named: t.Step != ""}
	l.step, l.rung = p.belongs(t)
	l.what = r.whatIs(l)
	return l
}

// sessionFor is the session a trial belongs to, a new one where it begins one.
func (d *dog) sessionFor(t curriculum.Trial) *session {
	if t.Session != "" {
		for _, s := range d.sessions {
			if s.id == t.Session {
				return s
			}
		}
	} else if last := d.lastLine(); last != nil && last.session.id == "" && t.At.Sub(last.t.At) < Gap {
		return last.session
	}
	s := &session{id: t.Session}
	d.sessions = append(d.sessions, s)
	return s
}

// hoursApart: the trials of a session with an id are to lie within twelve hours of its last.
func (d *dog) hoursApart(s *session, t curriculum.Trial) bool {
	for i := len(d.lines) - 1; i >= 0; i-- {
		if d.lines[i].session == s {
			return t.At.Sub(d.lines[i].t.At) >= 12*time.Hour
		}
	}
	return false
}

// goesOn: the trial belongs to the session that is open.
func (d *dog) goesOn(t curriculum.Trial) bool {
	if d.present == nil || d.present.closed {
		return false
	}
	return t.Session != "" && t.Session == d.present.id ||
		t.Session == "" && d.present.id == "" && t.At.Sub(d.lastLine().t.At) < Gap
}

// belongs is the step and level a trial belongs to. A nil rung is a level that is not among the dog's.
func (p *progress) belongs(t curriculum.Trial) (int, *rung) {
	step := p.step
	if t.Step != "" {
		step = p.b.Step(t.Step)
	}
	if len(t.Level) == 0 {
		if step == p.step {
			return step, p.at
		}
		return step, p.steps[step][0]
	}
	if step == p.step && (p.at.level.Meets(t.Level) || p.varies(step, p.at, t.Level)) {
		return step, p.at
	}
	for _, g := range p.steps[step] {
		if g.level.Meets(t.Level) {
			return step, g
		}
	}
	return step, nil
}

// atPresent says whether the trial was run at the dog's present step and level.
func (l *line) atPresent() bool { return l.step == l.of.step && l.rung == l.of.at }

// Event takes one event.
func (r *Reader) Event(e curriculum.Event) error {
	var b *curriculum.Behaviour
	if e.Behaviour != "" {
		b = r.c.Behaviour(e.Behaviour)
	}
	bad := e.Dog == "" || e.At.IsZero() || e.Behaviour != "" && b == nil
	if e.Kind == curriculum.HandMove {
		bad = bad || b == nil || !e.Kept && b.Step(e.Step) < 0
	}
	bad = bad || e.Kind == curriculum.SignCleared && e.By == "" // only a named person's clear lifts a lock
	if e.Kind == curriculum.HandMove && !bad && !e.Kept && !r.dogHas(e.Dog, b, e) {
		bad = true
	}
	if bad {
		r.report(Unusable, e.Line)
		return ErrUnusable
	}
	d := r.dog(e.Dog)
	d.taken = append(d.taken, curriculum.Entry{IsEvent: true, Event: e})
	if last := d.lastLine(); last != nil && !d.present.closed && e.At.Sub(last.t.At) >= Gap {
		r.close(d, d.present)
	}
	switch e.Kind {
	case curriculum.HandMove:
		r.moveByHand(d, d.of(b), e)
	case curriculum.SignSeen:
		r.signSeen(d, e)
	case curriculum.SignCleared:
		r.signCleared(d, e)
	}
	return nil
}

// dogHas: the level a move by hand names is one the dog has.
func (r *Reader) dogHas(name string, b *curriculum.Behaviour, e curriculum.Event) bool {
	known := r.dogs[name] != nil
	for _, g := range r.dog(name).of(b).steps[b.Step(e.Step)] {
		if g.level.Meets(e.Level) {
			return true
		}
	}
	if !known {
		delete(r.dogs, name)
	}
	return false
}

// Names are the dogs known, sorted.
func (r *Reader) Names() []string {
	var names []string
	for n := range r.dogs {
		names = append(names, n)
	}
	sort.Strings(names)
	return names
}
