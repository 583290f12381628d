package engine

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
	"example.com/rung/schedules"
)

// maxWindow is the longest window: at a trial a minute for eight hours a day, three weeks of nothing else. The reader of
// texts lets through no larger number.
const maxWindow = 10_000

// maxLevels keeps a level's index in 16 bits.
const maxLevels = 30_000

// behaviour is a compiled behaviour.
type behaviour struct {
	src     *curriculum.Behaviour
	index   int
	stages  []*stage // the steps, then the one for kept
	steps   map[string]int
	needs   []need
	asks    []*need           // the needs of all behaviours on this one
	reviews schedules.Reviews // the gaps between cold tests while it is kept, in days

	firm  bool // has needs that are met only while they hold
	onDog bool // has needs on the dog

	conditions bool // some rule asks an expression

	stopTracks    []*track    // over the present session, whatever moves come between
	stopDivisions []*division // before them in a state's groups come no others
	stopSlots     int         // slots[:stopSlots] and marks[:stopMarks] belong to stop rules
	stopMarks     int
	slots         int // most that any stage needs
	marks         int
	groups        int
	stopRules     int
	skips         bool // some step has skip rules
	countsEases   bool // some rule asks how often it eased
}

// bar is what a trial's measure must reach at a level.
type bar struct {
	measure string
	value   float64 // in the measure's unit
	falling bool
}

func (b bar) met(v float64) bool {
	if b.falling {
		return v <= b.value
	}
	return v >= b.value
}

// need is a compiled door.
type need struct {
	src   *curriculum.Need
	of    int // the behaviour that has it
	other int // the behaviour it asks for, or -1
	stage int
	level int
	ord   int // level that must be reached, or keptOrd
	dog   *condition
	id    int // bit in a dog's doors
}

// keptOrd is further than any level.
const keptOrd = 1 << 30

// compiler gathers a program and everything that is wrong with the curriculum.
type compiler struct {
	p        *Program
	c        *curriculum.Curriculum
	env      expression.Env
	dogEnv   expression.Env
	refusals Refusals
}

// refuse adds a refusal. Where nothing better is known to do about it, the line can only be taken out.
func (cp *compiler) refuse(pos curriculum.Pos, code, feature, behaviour, step, format string, args ...any) *Refusal {
	where := behaviour
	if step != "" {
		where += " at " + step
	}
	text := fmt.Sprintf(format, args...)
	if where != "" {
		text = where + ": " + text
	}
	cp.refusals = append(cp.refusals, Refusal{Pos: pos, Code: code, Feature: feature, Behaviour: behaviour, Step: step, Text: text,
		Next: "write it otherwise, or take the line out"})
	return &cp.refusals[len(cp.refusals)-1]
}

// fix says what to do about a refusal; "" leaves what it says.
func (r *Refusal) fix(next string) {
	if next != "" {
		r.Next = next
	}
}

// Compile makes a curriculum ready for folding. The error is of type Refusals.
func Compile(c *curriculum.Curriculum, opts ...Option) (*Program, error) {
	if c == nil {
		return nil, Refusals{{Code: CodeBroken, Text: "there is no curriculum", Next: "give Compile a curriculum"}}
	}
	var o options
	for _, opt := range opts {
		if opt != nil {
			opt(&o)
		}
	}
	cp := &compiler{c: c, p: &Program{c: c, names: map[string]int{}}}
	cp.env = expression.Env{Measures: c.Measures, Functions: o.functions}
	cp.dogEnv = cp.env
	cp.dogEnv.Scope = expression.DogOnly
	if cp.deep() {
		return nil, cp.refusals
	}
	cp.names()
	cp.whole()
	for i, b := range c.Behaviours {
		if b == nil {
			cp.refuse(curriculum.Pos{}, CodeBroken, "", "", "", "behaviour %d is nil", i+1).fix("leave it out of the list of behaviours")
			continue
		}
		cp.p.behaviours = append(cp.p.behaviours, cp.behaviour(b, len(cp.p.behaviours)))
	}
	if len(cp.refusals) == 0 {
		cp.doors()
	}
	cp.away()
	if len(cp.refusals) > 0 {
		slices.SortStableFunc(cp.refusals, func(a, b Refusal) int {
			if c := strings.Compare(a.Pos.File, b.Pos.File); c != 0 {
				return c
			}
			return a.Pos.Line - b.Pos.Line
		})
		return nil, cp.refusals
	}
	cp.p.fingerprint, cp.p.origin = c.Fingerprint(), c.Origin()
	return cp.p, nil
}

func (cp *compiler) behaviour(src *curriculum.Behaviour, index int) *behaviour {
	b := &behaviour{src: src, index: index, steps: map[string]int{}}
	if len(src.Steps) == 0 {
		cp.refuse(src.Pos, CodeBroken, "behaviour", src.Name, "", "the behaviour has no steps").fix("write at least one step")
		return b
	}
	for _, s := range src.Steps {
		if s == nil {
			cp.refuse(src.Pos, CodeBroken, "behaviour", src.Name, "", "a step is nil").fix("leave it out of the list of steps")
			return b
		}
	}
	for i, s := range src.Steps {
		if _, taken := b.steps[s.Name]; taken || s.Name == "" {
			cp.refuse(s.Pos, CodeBroken, "step", src.Name, s.Name, "the step is named twice or not at all").fix("give every step of a behaviour a name of its own")
		}
		b.steps[s.Name] = i
	}
	for i, s := range src.Steps {
		for _, former := range s.Formerly {
			if _, taken := b.steps[former]; !taken {
				b.steps[former] = i
			}
		}
	}
	stops := &criteria{c: cp, keys: map[string]*track{}, scope: wholeSession}
	ord := 0
	for i, s := range src.Steps {
		b.stages = append(b.stages, cp.stage(b, stops, s, i, &ord))
	}
	last := b.stages[len(b.stages)-1]
	if len(last.levels) == 0 {
		return b // refused already
	}
	b.stages = append(b.stages, &stage{index: len(src.Steps), step: last.step, kept: true, bars: last.bars,
		b: b})
	kept := b.stages[len(b.stages)-1]
	end := *last.levels[len(last.levels)-1]
	end.stage, end.ord = kept, keptOrd
	kept.levels = []*level{&end}
	cp.lapse(b, kept)
	cp.reviews(b)
	b.layOut(stops)
	return b
}

// layOut gives every track its place in the slots and marks of a state: those of the stop rules first (the first slot
// remembers which of them held), then those that begin anew with each session, then the level's.
func (b *behaviour) layOut(stops *criteria) {
	slot, markAt := 0, 0
	place := func(tracks []*track, s scope) {
		for _, tr := range tracks {
			if tr.scope == s {
				tr.at, tr.ids = slot, markAt
				slot += tr.size()
				markAt += tr.keep
			}
		}
	}
	b.stopTracks, b.stopDivisions = stops.tracks, stops.divisions
	if b.stopRules > 0 {
		slot = (b.stopRules + 63) / 64
	}
	place(b.stopTracks, wholeSession)
	b.stopSlots, b.stopMarks = slot, markAt
	for _, sg := range b.stages {
		for i, v := range sg.divisions {
			v.index = len(b.stopDivisions) + i
		}
		b.groups = max(b.groups, len(b.stopDivisions)+len(sg.divisions))
		slot, markAt = b.stopSlots, b.stopMarks
		place(sg.tracks, inSession)
		sg.slots, sg.marks = slot, markAt
		sg.flags = slot
		slot += sg.flagWords
		place(sg.tracks, sinceEntry)
		sg.slotsEnd, sg.marksEnd = slot, markAt
		b.slots, b.marks = max(b.slots, slot), max(b.marks, markAt)
	}
	// what skip rules look at stands beside whatever step the dog is at
	slot, markAt = b.slots, b.marks
	for _, sg := range b.stages {
		place(sg.skipTracks, sinceMove)
	}
	b.slots, b.marks = slot, markAt
}

func (cp *compiler) stage(b *behaviour, stops *criteria, s *curriculum.Step, index int, ord *int) *stage {
	sg := &stage{b: b, index: index, step: s}
	if !cp.levelsOf(sg, ord) {
		return sg
	}
	if s.Decide.EveryTrials < 0 {
		cp.refuse(s.Decide.Pos, CodeBroken, "decide", b.src.Name, s.Name, "`decide every %d trials` never comes", s.Decide.EveryTrials).fix("write decide every 1 trial or more, or take the line out")
	}
	sg.decide = s.Decide.EveryTrials
	skips := &criteria{c: cp, keys: map[string]*track{}, scope: sinceMove, of: s.Name + "|"}
	cs := &criteria{c: cp, keys: map[string]*track{}}
	stops.entry = cs
	for i := range s.Rules {
		src := &s.Rules[i]
		r := &rule{src: src, word: src.Word, to: -1, toFirst: src.ToFirst, b: b, stage: sg, id: len(cp.p.rules), index: i}
		use := cs
		switch src.Word {
		case curriculum.Advance, curriculum.Ease, curriculum.Split, curriculum.Flag:
		case curriculum.StopToday:
			use = stops
		case curriculum.Skip:
			use = skips
			if index == 0 {
				cp.refuse(src.Pos, CodeBroken, "skip", b.src.Name, s.Name, "the first step cannot be skipped to").fix("move the skip rule to a later step")
			}
		default:
			cp.refuse(src.Pos, CodeBroken, string(src.Word), b.src.Name, s.Name, "no rule is called %q", src.Word).fix("the rules are advance, ease, split, stop, flag and skip; lapse stands in the behaviour")
			continue
		}
		cp.rule(r, use)
		sg.put(r)
	}
	sg.flagWords = (sg.flagRules + 63) / 64
	cp.closings(b, sg, s.Decide.EachSession)
	b.countsEases = b.countsEases || cs.eases || stops.eases
	sg.tracks, sg.skipTracks, sg.divisions = cs.tracks, skips.tracks, cs.divisions
	b.conditions = b.conditions || cs.conditions || stops.conditions || skips.conditions
	return sg
}

// rule compiles a rule's criterion and finds the step it leads to.
func (cp *compiler) rule(r *rule, use *criteria) {
	src, of := r.src, r.b.src.Name
	step := r.stage.step.Name
	if r.word == curriculum.Lapse {
		step = "" // it stands in the behaviour
	}
	use.word, use.faults = src.Word, nil
	r.when = use.compile(src.When)
	for _, ft := range use.faults {
		cp.refuse(src.Pos, ft.code, ft.feature, of, step, "%s", ft.text).fix(ft.next)
	}
	cp.p.rules = append(cp.p.rules, r)
	if src.To == "" {
		return
	}
	to, ok := r.b.steps[src.To]
	switch {
	case r.word == curriculum.Lapse && !ok:
		cp.refuse(src.Pos, CodeBroken, "to "+src.To, of, step, "`lapse to %s` names no step", src.To).fix("name a step of the behaviour, or write lapse alone")
	case r.word != curriculum.Lapse && (!ok || to >= r.stage.index || r.word != curriculum.Ease):
		cp.refuse(src.Pos, CodeBroken, "to "+src.To, of, step, "`%s to %s` does not name an earlier step", src.Word, src.To).fix("name a step that comes before this one, or write ease alone")
	}
	r.to = to
}

// level compiles one level of a step.
func (p *Program) level(sg *stage, l curriculum.Level, ord int) *level {
	out := &level{stage: sg, values: l, ord: ord, pays: scheduleAt(sg.step, l), spans: spans(sg.step, l)}
	for _, r := range sg.step.Ramps {
		if v, ok := l.Get(r.Of); ok && r.Measured && !v.Quantity.IsZero() {
			out.bars = append(out.bars, bar{measure: r.Of, value: v.Quantity.In(p.measures[r.Of]), falling: r.Falling})
		}
	}
	return out
}
