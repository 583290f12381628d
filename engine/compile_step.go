package engine

import (
	"example.com/rung/curriculum"
)

// stage is a step, or the time after the last one, when the behaviour is kept.
type stage struct {
	b      *behaviour
	index  int
	step   *curriculum.Step // of kept: the last one
	kept   bool
	levels []*level
	bars   bool // some level has one

	tracks             []*track
	divisions          []*division
	skipTracks         []*track // fed by trials at its first level while the dog stands at an earlier step
	slots, marks       int      // where the level's own begin: before them those of the session
	flags, flagWords   int      // the first of the level's own slots remember which flag and split rules held
	flagRules          int      // how many there are
	slotsEnd, marksEnd int
	ease, advance      []*rule
	notes              []*rule // stop and flag
	skip, lapse, split []*rule
	all                []*rule      // in the order of the text
	closes             bool         // some of its rules wait for a session to close
	conds              []*condition // in those
	decide             int          // moves are looked at when so much evidence is complete; 0: after every trial
}

// levelsOf compiles the levels of a stage; false where there are none.
func (cp *compiler) levelsOf(sg *stage, ord *int) bool {
	s, of := sg.step, sg.b.src.Name
	levels := s.Levels
	if len(levels) == 0 {
		for _, r := range s.Ramps {
			if len(r.Values) == 0 {
				cp.refuse(r.Pos, CodeBroken, "ramp", of, s.Name, "the ramp over %s has no values", r.Of).fix("list its values, such as 2 s, 5 s, 10 s")
				return false
			}
		}
		levels = curriculum.LayOut(s.Ramps, s.Raise)
	}
	if len(levels) > maxLevels {
		cp.refuse(s.Pos, CodeTooLong, "ramp", of, s.Name, "the step has %d levels, the limit is %d", len(levels), maxLevels).fix("take larger strides or fewer ramps, or make several steps of it")
		levels = levels[:1]
	}
	for _, l := range levels {
		sg.levels = append(sg.levels, cp.p.level(sg, l, *ord))
		sg.bars = sg.bars || len(sg.levels[len(sg.levels)-1].bars) > 0
		*ord++
	}
	return true
}

// rule is a compiled rule.
type rule struct {
	src     *curriculum.Rule
	word    curriculum.RuleWord
	when    node
	to      int // step an ease goes to, or -1 for the level before
	toFirst bool
	b       *behaviour
	stage   *stage
	closing bool // looked at when a session closes, not at trials
	bit     uint // of a stop, flag or split rule: where it remembers that it held
	id      int  // in the program
	index   int  // among its step's rules, or the behaviour's lapse rules
}

// put files a rule under its word.
func (sg *stage) put(r *rule) {
	if r.word != curriculum.Skip {
		sg.all = append(sg.all, r)
	}
	switch r.word {
	case curriculum.Skip:
		sg.skip = append(sg.skip, r)
		sg.b.skips = true
	case curriculum.Advance:
		sg.advance = append(sg.advance, r)
	case curriculum.Ease:
		sg.ease = append(sg.ease, r)
	case curriculum.Split:
		sg.split = append(sg.split, r)
		r.bit = uint(sg.flagRules)
		sg.flagRules++
	case curriculum.Flag:
		r.bit = uint(sg.flagRules)
		sg.flagRules++
		sg.notes = append(sg.notes, r)
	case curriculum.StopToday:
		r.bit = uint(sg.b.stopRules)
		sg.b.stopRules++
		sg.notes = append(sg.notes, r)
	}
}

// lapse compiles what is looked at while a behaviour is kept.
func (cp *compiler) lapse(b *behaviour, kept *stage) {
	cs := &criteria{c: cp, keys: map[string]*track{}}
	for i := range b.src.Lapse {
		src := &b.src.Lapse[i]
		r := &rule{src: src, word: curriculum.Lapse, to: kept.index - 1, toFirst: src.ToFirst, b: b, stage: kept, id: len(cp.p.rules), index: i}
		cp.rule(r, cs)
		kept.lapse, kept.all = append(kept.lapse, r), append(kept.all, r)
	}
	cp.closings(b, kept, false)
	kept.tracks, kept.divisions = cs.tracks, cs.divisions
	b.conditions = b.conditions || cs.conditions
}

// level is a compiled level.
type level struct {
	stage  *stage
	values curriculum.Level
	ord    int // its place among all levels of the behaviour as written
	bars   []bar
	pays   *curriculum.Schedule // nil where every success is paid
	spans  []span               // ramps that vary inside the level
	own    bool                 // put in for one dog
}
