package engine

import (
	"time"

	"example.com/rung/curriculum"
)

// dog is one dog in a fold.
type dog struct {
	name    string
	profile *curriculum.Dog
	known   bool // has a profile or a line
	lines   bool
	at      time.Time // of the last line
	seq     uint32    // lines taken

	states []*state // by behaviour; nil before anything happened
	met    []uint64 // doors met for good

	cur      *session
	ids      map[string]*session
	sessions uint32
	locks    []lock
	strange  []StrangeSign // not cleared
	paying   paying
	pacer    pacer
	copied   bool // not yet the fold's own
}

// state is where a dog stands in one behaviour.
type state struct {
	b     *behaviour
	stage int
	level int // among the dog's own levels of the stage

	begun   bool
	entered bool
	lapsed  bool   // until kept again
	epoch   uint32 // counts entries of a level

	trials     uint32 // evidence since the level was entered
	stepTrials uint32 // evidence since the step was entered
	sessions   uint32 // with evidence since the level was entered
	closed     uint32 // of those, how many are closed
	recent     uint32 // the newest evidence since the level was entered: a bit for each success, newest lowest

	sess uint32 // number of the session whose slots are held
	work int    // its record in that session

	slots  []uint64 // see track
	marks  []mark
	groups [][]group // by division: those of the stop rules, then the level's

	failed       []uint32     // misses since the level was entered, by the piece of the chain that failed first
	failedBefore []PieceCount // those of the level that the last move, an ease, left

	enteredAt  time.Time
	enteredDay int
	last       time.Time // last trial but void
	days       [dayRing]dayCount

	own    [][]*level // the dog's own levels, by stage, where a split put some in
	eases  []easeCount
	pieced []*level // levels that were split into pieces

	review  review
	reviews []Review

	moves moves
	noted []noted
	trail trail

	handlers, places parts

	run   payRun
	paces []stepPace
}

// dayRing is seven days, and two more since offsets can turn the date back.
const dayRing = 9

// dayCount is what was done on one date.
type dayCount struct {
	day      int32
	trials   uint16
	sessions uint16
}

func (st *state) sg() *stage { return st.b.stages[st.stage] }
func (st *state) lv() *level { return st.levels(st.sg())[st.level] }
func (st *state) kept() bool { return st.sg().kept }

// levels are the dog's own levels of a stage.
func (st *state) levels(sg *stage) []*level {
	if st.own != nil && st.own[sg.index] != nil {
		return st.own[sg.index]
	}
	return sg.levels
}

func (p *Program) newDog(name string) *dog {
	return &dog{name: name, states: make([]*state, len(p.behaviours)), met: make([]uint64, (p.doors+63)/64)}
}

// state is the dog's state in a behaviour, made where there is none.
func (d *dog) state(b *behaviour) *state {
	st := d.states[b.index]
	if st == nil {
		st = &state{b: b, epoch: 1, slots: make([]uint64, b.slots), marks: make([]mark, b.marks), groups: make([][]group, b.groups)}
		d.states[b.index] = st
	}
	return st
}

// dayOf is the number of the date written in a time stamp.
func dayOf(t time.Time) int {
	_, offset := t.Zone()
	s := t.Unix() + int64(offset)
	d := s / 86400
	if s%86400 < 0 {
		d--
	}
	return int(d)
}

// count adds a trial to its day.
func (st *state) count(day int, firstOfSession bool) {
	c := &st.days[((day%dayRing)+dayRing)%dayRing]
	if c.day != int32(day) {
		*c = dayCount{day: int32(day)}
	}
	c.trials++
	if firstOfSession {
		c.sessions++
	}
}

// enter puts the dog at a level: every window begins empty.
func (st *state) enter(stage, lvl int, at time.Time, day int) {
	if st.b.stages[stage].step != st.sg().step {
		st.stepTrials = 0
	}
	st.stage, st.level = stage, lvl
	st.entered, st.enteredAt, st.enteredDay = true, at, day
	st.epoch++
	st.trials, st.sessions, st.closed, st.recent = 0, 0, 0, 0
	st.failed, st.failedBefore = nil, nil
	clear(st.slots[st.b.stopSlots:])
	clear(st.groups[len(st.b.stopDivisions):])
}
