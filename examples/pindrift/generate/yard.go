package main

import (
	"fmt"
	"math/rand/v2"
	"sort"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// team is one dog with its people, worked through the real engine.
type team struct {
	dog     curriculum.Dog
	learner learner
	goals   []string // what it works at, the dearest first
	style   style
	program *engine.Program
	fold    *engine.Fold
	rand    *rand.Rand

	log      []curriculum.Entry
	now      time.Time
	session  string
	sessions int
	place    string
	handler  string
	seen     *engine.DogView // where the dog stands now; nil when something has happened since
	err      error           // the first one; what follows is not recorded
}

// style is how much this team writes down.
type style struct {
	ids      bool // trials and sessions have ids, and times go by the clock
	rewards  bool // who was paid is written down
	measures bool // held seconds are written down
	tape     bool // some turns are read off the tape and not judged: the degrees decide
}

// open begins a session.
func (t *team) open(at time.Time, place, handler string) {
	t.sessions++
	t.now, t.place, t.handler, t.seen = at, place, handler, nil
	t.session = ""
	if t.style.ids {
		t.session = fmt.Sprintf("%s-%02d", t.dog.Name, t.sessions)
	}
}

// event records something beside the trials.
func (t *team) event(e curriculum.Event) {
	e.Dog, e.At = t.dog.Name, t.now
	if t.style.ids && e.ID == "" {
		e.ID = fmt.Sprintf("%s-e%d", t.dog.Name, len(t.log)+1)
	}
	t.take(curriculum.Entry{IsEvent: true, Event: e})
	if !t.style.ids {
		t.now = t.now.Add(time.Second) // as in a tally book, where each line's time follows from its place
	}
}

func (t *team) take(e curriculum.Entry) {
	if t.err != nil {
		return
	}
	if err := t.fold.Take(&e); err != nil {
		t.err = fmt.Errorf("%s at %s: %w", t.dog.Name, e.At().Format(time.DateTime), err)
		return
	}
	t.log = append(t.log, e)
	t.seen = nil
}

// views is where the dog stands in every behaviour.
func (t *team) views() []engine.BehaviourView {
	if t.seen == nil {
		t.seen = t.fold.Dog(t.dog.Name, t.now)
	}
	if t.seen == nil {
		return nil
	}
	return t.seen.Behaviours
}

// view is where the dog stands in a behaviour; the zero view for one that the curriculum does not have.
func (t *team) view(name string) engine.BehaviourView {
	for _, b := range t.views() {
		if b.Behaviour.Name == name {
			return b
		}
	}
	if t.err == nil {
		t.err = fmt.Errorf("%s: no view of %s", t.dog.Name, name)
	}
	return engine.BehaviourView{Behaviour: &curriculum.Behaviour{Name: name}}
}

// trial records one attempt of a behaviour at the dog's present level; change alters it before it is taken.
func (t *team) trial(name string, o curriculum.Outcome, help curriculum.Timing, change func(*curriculum.Trial)) {
	before := t.view(name)
	if t.err != nil {
		return
	}
	b := before.Behaviour
	step := b.Steps[before.Step]
	tr := curriculum.Trial{
		Dog: t.dog.Name, Behaviour: name, At: t.now, Session: t.session, Place: t.place, Handler: t.handler,
		Step: step.Name, Level: curriculum.LevelRef(before.At.Values), Outcome: o,
	}
	if t.style.ids {
		tr.ID = fmt.Sprintf("%s-%04d", t.dog.Name, len(t.log)+1)
	}
	if help != curriculum.NoHelp {
		tr.Early = help == curriculum.EarlyHelp
		tr.Help = []string{curriculum.UnnamedHelp}
		if t.style.ids && len(step.Help) > 0 {
			tr.Help = []string{step.Help[0]}
		}
	}
	t.measure(&tr, b, step, before.At)
	if _, turned := tr.Measure("turn"); turned && t.style.tape && help == curriculum.NoHelp && len(t.log)%3 == 0 {
		tr.Outcome = curriculum.NoOutcome
	}
	if t.style.rewards {
		tr.Rewarded = curriculum.No
		if o == curriculum.Success && !(thinned(before.At) && t.rand.IntN(2) == 0) {
			tr.Rewarded = curriculum.Yes
		}
	}
	if change != nil {
		change(&tr)
	}
	t.take(curriculum.Entry{Trial: tr})
	t.learn(before, o == curriculum.Success && help == curriculum.NoHelp)
	t.tick(b, before.Step)
}

func (t *team) learn(before engine.BehaviourView, success bool) {
	b := before.Behaviour
	t.learner.practise(b, success)
	after := t.view(b.Name)
	if after.Step != before.Step || after.Level != before.Level {
		up := after.Step > before.Step || after.Step == before.Step && after.Level > before.Level
		t.learner.moved(b, after.Step != before.Step, up)
	}
}

// tick lets the time of one trial pass. A tally book has one time a session, and its marks are a second apart.
func (t *team) tick(b *curriculum.Behaviour, step int) {
	if !t.style.ids {
		t.now = t.now.Add(time.Second)
		return
	}
	s := 8.0
	if q := b.SheetOf(step).Takes; !q.IsZero() {
		s, _ = q.Base().Float64()
	}
	t.now = t.now.Add(time.Duration(s*(0.8+0.5*t.rand.Float64())) * time.Second)
}

// measure writes down what this team measures. What is written never contradicts the outcome.
func (t *team) measure(tr *curriculum.Trial, b *curriculum.Behaviour, s *curriculum.Step, at curriculum.Level) {
	said := func(name string, v float64) {
		tr.Measures = append(tr.Measures, curriculum.MeasureValue{Name: name, Value: v})
	}
	success := tr.Outcome == curriculum.Success
	if (success || tr.Outcome == curriculum.Wrong) && !tr.Early {
		for _, v := range at.Values {
			switch x, _ := v.Quantity.Base().Float64(); {
			case v.Of == "turn":
				if !success {
					x = max(0, x-15*float64(1+t.rand.IntN(2)))
				}
				said("turn", x)
			case v.Of == "duration" && t.style.measures && len(at.Values) == 1:
				if !success {
					x = tenth(x * (0.2 + 0.6*t.rand.Float64()))
				}
				said("duration", x)
			}
		}
	}
	if success && len(tr.Help) == 0 && (asksForSeconds(s) || t.style.measures && len(s.Prompts) == 1 && s.Prompts[0] == "cue") {
		said("latency", t.learner.latency(t.rand, t.learner.chance(b, s, tr.Place, tr.Handler)))
	}
}

// asksForSeconds says whether the step's advance reads latency.
func asksForSeconds(s *curriculum.Step) bool {
	for _, r := range s.Rules {
		if r.Word == curriculum.Advance && readsLatency(r.When) {
			return true
		}
	}
	return false
}

func readsLatency(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Window:
		return c.Qualify.Within != nil
	case curriculum.Statistic:
		return c.Measure == "latency"
	case curriculum.And:
		for _, part := range c.All {
			if readsLatency(part) {
				return true
			}
		}
	}
	return false
}

func thinned(l curriculum.Level) bool {
	_, ok := l.Get(curriculum.ThinRamp)
	return ok
}

// marks records tally marks by hand: + - 0 h e o! x.
func (t *team) marks(behaviour string, marks ...string) {
	for _, m := range marks {
		switch m {
		case "+":
			t.trial(behaviour, curriculum.Success, curriculum.NoHelp, nil)
		case "-":
			t.trial(behaviour, curriculum.Wrong, curriculum.NoHelp, nil)
		case "0":
			t.trial(behaviour, curriculum.Silent, curriculum.NoHelp, nil)
		case "h":
			t.trial(behaviour, curriculum.Success, curriculum.LateHelp, nil)
		case "e":
			t.trial(behaviour, curriculum.Success, curriculum.EarlyHelp, nil)
		case "o!":
			t.trial(behaviour, curriculum.OptOut, curriculum.NoHelp, nil)
		case "x":
			t.trial(behaviour, curriculum.Void, curriculum.NoHelp, nil)
		}
	}
}

// practise is an ordinary session: something known, then n behaviours that have waited longest.
func (t *team) practise(at time.Time, place, handler string, n, trials int) {
	t.open(at, place, handler)
	for i, name := range t.choose(n) {
		budget := trials - 2 + t.rand.IntN(4)
		if i == 0 {
			budget = 3
		}
		for range t.allowed(name, budget) {
			v := t.view(name)
			if t.err != nil || v.Stopped || v.Locked || !t.trainable(v) && !t.due(v) {
				break
			}
			o, h := t.learner.outcome(t.rand, v.Behaviour, v.Behaviour.Steps[v.Step], place, handler)
			t.trial(name, o, h, nil)
		}
	}
}

// choose picks the behaviours of a session: first a finished one that is due, else the one worked most lately (so:
// known), then those that rested longest.
func (t *team) choose(n int) []string {
	rank := map[string]int{}
	for i, g := range t.goals {
		rank[g] = i + 1
	}
	var can []engine.BehaviourView
	for _, b := range t.views() {
		if rank[b.Behaviour.Name] > 0 && !b.Locked && !b.Stopped && t.trainable(b) && t.allowed(b.Behaviour.Name, 1) > 0 {
			can = append(can, b)
		}
	}
	sort.SliceStable(can, func(i, j int) bool {
		a, b := can[i], can[j]
		if !a.LastTrained.Equal(b.LastTrained) {
			return a.LastTrained.Before(b.LastTrained)
		}
		return rank[a.Behaviour.Name] < rank[b.Behaviour.Name]
	})
	var out []string
	fresh := 0
	for _, b := range t.views() {
		if len(out) == 0 && rank[b.Behaviour.Name] > 0 && t.due(b) && t.allowed(b.Behaviour.Name, 1) > 0 {
			out = append(out, b.Behaviour.Name)
		}
	}
	if last := len(can) - 1; len(out) == 0 && last > n && !can[last].LastTrained.IsZero() {
		out = append(out, can[last].Behaviour.Name)
	}
	for i, b := range can { // the dearest goal is never left waiting
		if b.Behaviour.Name == t.goals[0] {
			can = append(append([]engine.BehaviourView{b}, can[:i]...), can[i+1:]...)
			break
		}
	}
	for _, b := range can {
		if len(out) > n {
			break
		}
		if b.State == curriculum.Open && fresh == 1 || t.clashes(b, out) || contains(out, b.Behaviour.Name) {
			continue
		}
		if b.State == curriculum.Open {
			fresh++
		}
		out = append(out, b.Behaviour.Name)
	}
	return out
}

// trainable says whether a behaviour can be worked here and now with this dog.
func (t *team) trainable(b engine.BehaviourView) bool {
	if b.State != curriculum.Open && b.State != curriculum.Working && b.State != curriculum.Lapsed {
		return false
	}
	if t.ahead(b) {
		return false
	}
	lim := t.dog.Limits.Behaviours[b.Behaviour.Name]
	if lim.Never {
		return false
	}
	for _, most := range lim.Level { // the profile's highest value of a ramp
		if v, ok := b.At.Get(most.Of); ok {
			if v.Quantity.Cmp(most.Quantity) > 0 {
				return false
			}
		}
	}
	return t.rightPlace(b)
}

// due says whether a finished behaviour should be asked for again today; the yard does so every fourth day.
func (t *team) due(b engine.BehaviourView) bool {
	return b.State == curriculum.Kept && t.rightPlace(b) && (b.TrialsToday > 0 || t.now.Sub(b.LastTrained) >= 3*24*time.Hour)
}

func (t *team) rightPlace(b engine.BehaviourView) bool {
	step := b.Behaviour.Steps[b.Step]
	return len(step.Places) == 0 || contains(step.Places, t.place)
}

// allowed is how many more trials of a behaviour the caps of curriculum and profile leave, at most n.
func (t *team) allowed(name string, n int) int {
	v := t.view(name)
	if most := t.dog.Limits.Behaviours[name].Trials; most > 0 {
		n = min(n, most)
	}
	caps := append([]curriculum.Cap(nil), v.Behaviour.Caps...)
	if len(v.Behaviour.Steps) > 0 {
		caps = append(caps, v.Behaviour.Steps[v.Step].Caps...)
	}
	for _, c := range caps {
		switch {
		case c.Of == curriculum.CapSessions && c.Per == curriculum.PerDay && v.SessionsToday >= c.N:
			return 0
		case c.Of == curriculum.CapTrials && c.Per == curriculum.PerSession:
			n = min(n, c.N)
		case c.Of == curriculum.CapTrials && c.Per == curriculum.PerDay:
			n = min(n, c.N-v.TrialsToday)
		}
	}
	return max(n, 0)
}

// clashes says whether the behaviour may not share a session with one already chosen.
func (t *team) clashes(b engine.BehaviourView, chosen []string) bool {
	for _, name := range chosen {
		o := t.view(name)
		for _, pair := range [][2]engine.BehaviourView{{b, o}, {o, b}} {
			for _, nw := range pair[0].Behaviour.NeverWith {
				x, y := pair[0].Behaviour.Step(nw.Until), pair[1].Behaviour.Step(nw.Until)
				if nw.Other == pair[1].Behaviour.Name && (x < 0 || pair[0].Step < x || y >= 0 && pair[1].Step < y) {
					return true
				}
			}
		}
	}
	return false
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// ahead says whether the behaviour would leave one that it is paired with too far behind.
func (t *team) ahead(b engine.BehaviourView) bool {
	for _, p := range b.Behaviour.Pairs {
		if o := t.view(p.Other); o.State != curriculum.Kept && contains(t.goals, p.Other) && b.Step-o.Step >= p.Within {
			return true
		}
	}
	return false
}
