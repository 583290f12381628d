package automaton

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
	"example.com/rung/schedules"
)

// DefaultBudget is how many states are explored unless Options say otherwise: a few seconds, and some tens of megabytes.
const DefaultBudget = 200_000

// DefaultSessionTrials bounds a session where a rule counts without end and nobody says how long sessions are.
const DefaultSessionTrials = 40

// maxRules is how many rules a stay may have: one bit each.
const maxRules = 64

// ErrAlphabet is in the chain where rules tell too many kinds of trial apart.
var ErrAlphabet = errors.New("too many kinds of trial")

// ErrNoSuch is in the chain where there is no such behaviour, step or level.
var ErrNoSuch = errors.New("not in the curriculum")

// State is a state of a machine: 0 is the start, further ones follow in the order in which they are first reached.
type State int32

// What a Step may lead to beside a state.
const (
	Ended      State = -1 // a move ended the stay
	Impossible State = -2 // the session has no room for another trial
	Unexplored State = -3 // the budget ended before
)

// Stay is what a machine is made of: the rules of a level and what bears on them.
type Stay struct {
	Rules   []curriculum.Rule // advance, ease, split, stop and flag; or lapse alone. Skips are passed over.
	Decide  curriculum.Decide
	Step    string   // for conditions that ask for it
	Prompts []string // of the step
	Places  []string // where the step is trained; empty means anywhere
	Room    bool     // a split by halves finds room
	// Short is a value below the full one that a trial may be asked for, where values vary inside the level.
	Short curriculum.LevelRef
}

// Only is the stay with the rules of some words alone.
func (s *Stay) Only(words ...curriculum.RuleWord) *Stay {
	o := *s
	o.Rules = slices.DeleteFunc(slices.Clone(s.Rules), func(r curriculum.Rule) bool { return !slices.Contains(words, r.Word) })
	return &o
}

// Key is equal for stays with the same machine: their rules mean the same, in the same order.
func (s *Stay) Key() string {
	var b strings.Builder
	split := false
	for i := range s.Rules {
		r := &s.Rules[i]
		if r.Word != curriculum.Skip {
			fmt.Fprintf(&b, "%s %v %s\n", r.Word, len(r.Into) > 0, curriculum.CriterionText(r.When))
			split = split || r.Word == curriculum.Split
		}
	}
	fmt.Fprintf(&b, "decide %d %v, room %v", s.Decide.EveryTrials, s.Decide.EachSession, split && s.Room)
	// what groups and conditions alone can ask for; a word that happens to stand there parts two stays for nothing
	rules := b.String()
	asks := func(word string) bool { return strings.Contains(rules, "{") && strings.Contains(rules, word) }
	if strings.Contains(rules, "place") {
		fmt.Fprintf(&b, "\n%q", s.Places)
	}
	if asks("step") {
		fmt.Fprintf(&b, "\n%q", s.Step)
	}
	if asks(expression.FullValue) || strings.Contains(rules, "full value") {
		fmt.Fprintf(&b, "\n%q", s.Short)
	}
	if asks("early") {
		fmt.Fprintf(&b, "\n%q", s.Prompts)
	}
	return b.String()
}

// Rule is one rule of a machine.
type Rule struct {
	Word   curriculum.RuleWord
	Text   string // the criterion, spelled out
	Closes bool   // looked at when a session ends, not at trials
	Source *curriculum.Rule
}

// Look is what is seen when rules are looked at: bits are indices of Machine.Rules.
type Look struct {
	Looked uint64 // rules that were looked at
	Holds  uint64 // those of them that hold
	Takes  int8   // the rule that makes the move, or -1
	// SplitDue says that a split holds, whether or not it makes the move: the count of eases begins anew.
	SplitDue bool
}

// Step is a transition: where it leads, and what is seen on the way. At an end of session the rules that wait for it are
// looked at; at a trial all others.
type Step struct {
	To State
	Look
}

// Machine is the automaton of a stay. It never changes once made, and is safe for concurrent use.
type Machine struct {
	rules   []Rule
	letters []Letter
	opaque  []string
	notes   []string
	stay    *Stay
	units   map[string]curriculum.Unit

	when     []formula
	cells    []*cell
	every    int // index of the cell that says when to decide, or -1
	worked   int
	limit    int
	easedMax int
	entry    Entry
	goesOn   bool

	width int // of a state: a number for each cell, then eased, then the last look
	table []int32
	index map[string]State
	said  []bool  // while exploring: what each part says of the present trial
	bytes []byte  // and the key of a state
	next  []int32 // width of letters
	seen  []uint32
	looks []Look
	known map[Look]uint32

	from     []State // from which a state was first reached, and by which letter
	via      []int32
	trials   []int32
	edges    []int32
	complete bool
}

// Build makes the machine of one level of a step; step may be the number of steps, for the time when the behaviour is
// kept. Levels count from 0 as written.
func Build(c *curriculum.Curriculum, behaviour string, step, level int, opts Options) (*Machine, error) {
	s, err := StayAt(c, behaviour, step, level)
	if err != nil {
		return nil, err
	}
	return Make(c, s, opts)
}

// StayAt is the stay at a level of a curriculum.
func StayAt(c *curriculum.Curriculum, behaviour string, step, level int) (*Stay, error) {
	b := c.Behaviour(behaviour)
	if b == nil {
		return nil, fmt.Errorf("behaviour %q: %w", behaviour, ErrNoSuch)
	}
	if step == len(b.Steps) && step > 0 {
		last := b.Steps[step-1]
		return &Stay{Rules: b.Lapse, Step: last.Name, Prompts: last.Prompts, Places: last.Places}, nil
	}
	if step < 0 || step > len(b.Steps) {
		return nil, fmt.Errorf("step %d of %s: %w", step, behaviour, ErrNoSuch)
	}
	s := b.Steps[step]
	levels := s.Levels
	if len(levels) == 0 {
		levels = curriculum.LayOut(s.Ramps, s.Raise)
	}
	if level < 0 || level >= len(levels) {
		return nil, fmt.Errorf("level %d of %s at %s: %w", level, behaviour, s.Name, ErrNoSuch)
	}
	out := &Stay{Rules: s.Rules, Decide: s.Decide, Step: s.Name, Prompts: s.Prompts, Places: s.Places}
	out.Short = short(s, levels[level])
	out.Room = level > 0 && room(levels[level-1], levels[level], s.Ramps)
	return out, nil
}

// short is a value of a ramp that varies inside the level and is below the level's own; nil where there is none.
func short(s *curriculum.Step, l curriculum.Level) curriculum.LevelRef {
	for i := range s.Ramps {
		r := &s.Ramps[i]
		full, ok := l.Get(r.Of)
		if !r.Varies() || !ok || full.Quantity.IsZero() {
			continue
		}
		var grain *big.Rat
		if !r.Grain.IsZero() {
			grain = r.Grain.Base()
		}
		most := r.Values[len(r.Values)-1].Quantity.Base()
		if most.Cmp(full.Quantity.Base()) < 0 {
			most = full.Quantity.Base()
		}
		v, err := schedules.Varied(full.Quantity.Base(), grain, most)
		if err != nil {
			continue
		}
		least := v.List()[0]
		if q, ok := curriculum.FromBase(least, full.Quantity.Unit); ok && least.Cmp(v.Full()) < 0 {
			return curriculum.LevelRef{{Of: r.Of, LevelValue: curriculum.LevelValue{Quantity: q}}}
		}
	}
	return nil
}

// room reports whether a level fits half-way between two: some numeric ramp differs by more than its grain.
func room(before, this curriculum.Level, ramps []curriculum.Ramp) bool {
	for _, r := range ramps {
		v, ok := before.Get(r.Of)
		w, also := this.Get(r.Of)
		if !ok || !also || v.Quantity.IsZero() || w.Quantity.IsZero() {
			continue
		}
		gap := w.Quantity.Base()
		gap.Sub(gap, v.Quantity.Base())
		if gap.Abs(gap).Cmp(r.Grain.Base()) > 0 {
			return true
		}
	}
	return false
}

// Of makes the machine of a criterion alone, as if it stood in an advance rule: it ends when the criterion holds.
func Of(when curriculum.Criterion, c *curriculum.Curriculum, opts Options) (*Machine, error) {
	return Make(c, &Stay{Rules: []curriculum.Rule{{Word: curriculum.Advance, When: when}}}, opts)
}

// Make makes the machine of a stay. Where the budget of states ends the machine is not complete, and its outermost
// states lead to Unexplored.
func Make(c *curriculum.Curriculum, s *Stay, opts Options) (*Machine, error) {
	if c == nil {
		c = &curriculum.Curriculum{}
	}
	m := &Machine{stay: s, every: -1, worked: -1, limit: -1, entry: opts.Entry, goesOn: opts.GoesOn, index: map[string]State{}, known: map[Look]uint32{}}
	a := newAlphabet(c, s, opts)
	var errs []error
	r := &reader{a: a, errs: &errs}
	for i := range s.Rules {
		src := &s.Rules[i]
		if src.Word == curriculum.Skip {
			continue
		}
		if src.When == nil {
			return nil, fmt.Errorf("a rule without a criterion")
		}
		rule := Rule{Word: src.Word, Text: curriculum.CriterionText(src.When), Source: src}
		rule.Closes = hasShare(src.When) || s.Decide.EachSession && moves(src.Word)
		r.word, r.closing, r.session = src.Word, rule.Closes, src.Word == curriculum.StopToday
		m.rules, m.when = append(m.rules, rule), append(m.when, r.read(src.When))
	}
	if len(m.rules) > maxRules {
		return nil, fmt.Errorf("%d rules at one level, the limit is %d", len(m.rules), maxRules)
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	special := func(at *int, p part) {
		*at = len(r.parts)
		r.parts = append(r.parts, p)
	}
	if s.Decide.EveryTrials > 0 {
		special(&m.every, &every{s.Decide.EveryTrials})
	}
	if slices.ContainsFunc(m.rules, func(r Rule) bool { return r.Closes }) {
		special(&m.worked, worked{})
	}
	if a.limit > 0 {
		special(&m.limit, &limit{a.limit})
	}
	m.easedMax, m.opaque, m.notes, m.units = a.eased, a.opaque, a.notes, a.units
	if err := m.spell(a, r.parts); err != nil {
		return nil, err
	}
	m.notes = a.notes
	budget := opts.Budget
	if budget <= 0 {
		budget = DefaultBudget
	}
	m.explore(opts.Entry, budget)
	return m, nil
}

func moves(w curriculum.RuleWord) bool {
	return w == curriculum.Advance || w == curriculum.Ease || w == curriculum.Split
}

// hasShare reports whether a criterion has a whole-session share in it.
func hasShare(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.SessionShare:
		return true
	case curriculum.Named:
		return hasShare(c.Is)
	case curriculum.Not:
		return hasShare(c.Is)
	case curriculum.InSession:
		return hasShare(c.Is)
	case curriculum.Repeated:
		return hasShare(c.Is)
	case curriculum.And:
		return slices.ContainsFunc(c.All, hasShare)
	case curriculum.Or:
		return slices.ContainsFunc(c.Any, hasShare)
	}
	return false
}

// spell makes the letters: cases that look alike to every part are one.
func (m *Machine) spell(a *alphabet, parts []part) error {
	all, err := a.cases()
	if err != nil {
		return err
	}
	for _, p := range parts {
		m.cells = append(m.cells, &cell{part: p, ids: map[string]int32{}})
	}
	at := map[string]int{}
	wins := map[int]bool{} // letters that stand for some success
	for i := range all {
		var key state
		for _, p := range parts {
			key = key.text(p.input(&all[i]))
		}
		j, ok := at[string(key)]
		if !ok {
			j = len(m.letters)
			at[string(key)] = j
			m.letters = append(m.letters, Letter{})
		}
		m.letters[j].Cases = append(m.letters[j].Cases, all[i])
		if all[i].Kind == Success {
			wins[j] = true
		}
	}
	for j := range m.letters {
		// of successes that the rules tell apart, those that are as good as a miss are written as one
		plain := func(c Case) int { return len(c.details(m.units)) + len(c.where()) }
		better := slices.IndexFunc(m.letters[j].Cases, func(c Case) bool { return c.Kind.Miss() && plain(c) <= plain(m.letters[j].Cases[0]) })
		if cs := m.letters[j].Cases; len(wins) > 1 && wins[j] && better > 0 {
			c := cs[better]
			m.letters[j].Cases = slices.Insert(slices.Delete(cs, better, better+1), 0, c)
		}
	}
	for j := range m.letters {
		for _, c := range m.cells {
			c.inputs = append(c.inputs, c.part.input(&m.letters[j].Cases[0]))
		}
	}
	trials := len(m.letters)
	any := func(e edge) bool { return slices.ContainsFunc(parts, func(p part) bool { return reacts(p, e) }) }
	sessions, days := any(sessionEnd), any(dateChange)
	if sessions {
		m.letters = append(m.letters, Letter{Edge: SessionEnd})
	}
	if days {
		m.letters = append(m.letters, Letter{Edge: NextDay})
	}
	if sessions && days {
		m.letters = append(m.letters, Letter{Edge: Midnight})
	}
	for i := range m.letters {
		m.letters[i].name(m.units, m.opaque)
	}
	for _, c := range m.cells {
		c.trials = trials
	}
	return nil
}

// Rules are the rules of the machine, in the order written.
func (m *Machine) Rules() []Rule { return slices.Clone(m.rules) }

// Letters are the letters of the machine; it must not be changed. Trials come first, then edges.
func (m *Machine) Letters() []Letter { return m.letters }

// Len is how many states were explored.
func (m *Machine) Len() int { return len(m.from) }

// Entry is what the stay begins with.
func (m *Machine) Entry() Entry { return m.entry }

// Start is the state in which the level is entered.
func (m *Machine) Start() State { return 0 }

// Complete reports whether every state that can be reached was explored.
func (m *Machine) Complete() bool { return m.complete }

// Horizon is how many trials a history may have for the machine to know all of it; -1 for any number, where the machine
// is complete.
func (m *Machine) Horizon() int {
	if m.complete {
		return -1
	}
	least := m.trials[len(m.trials)-1]
	for s := range m.from {
		for li := range m.letters {
			if State(m.next[s*len(m.letters)+li]) == Unexplored {
				least = min(least, m.trials[s])
			}
		}
	}
	return int(least)
}

// Opaque lists the conditions that nobody can work out here: over the dog, by functions of the host program, of more
// than one fact. Each may hold or not at any trial, whatever it does at others; bit i of Case.Assumed stands for the
// i-th. What is true of the machine whatever happens is true of the rules; a history that needs one to hold may not be
// possible.
func (m *Machine) Opaque() []string { return slices.Clone(m.opaque) }

// Assumptions says what is left out to keep the machine finite: the machine is exact for what remains. Empty means that
// the machine stands for every history (but for what the package comment leaves out).
func (m *Machine) Assumptions() []string { return slices.Clone(m.notes) }

// Next is the step from a state by a letter, an index of Letters.
func (m *Machine) Next(s State, letter int) Step {
	i := int(s)*len(m.letters) + letter
	return Step{State(m.next[i]), m.looks[m.seen[i]]}
}

// LetterOf is the letter of a trial, be it among the cases or not; false where it names a place or handler, or records
// a value for a mean, that the machine does not cover.
func (m *Machine) LetterOf(c *Case) (int, bool) {
	for li := range m.letters {
		same := m.letters[li].IsTrial()
		for i := 0; same && i < len(m.cells); i++ {
			same = m.cells[i].inputs[li] == m.cells[i].part.input(c)
		}
		if same {
			return li, true
		}
	}
	return 0, false
}

// cell is a part with its states numbered and its transitions remembered.
type cell struct {
	part   part
	states []string
	ids    map[string]int32
	inputs []string // by letter
	trials int
	after  [][]int32 // by state and letter, +1; negative where it holds
	passed [2][]int32
	closed []int8
}

func (c *cell) number(s string) int32 {
	id, ok := c.ids[s]
	if !ok {
		id = int32(len(c.states))
		c.ids[s] = id
		c.states = append(c.states, s)
		c.after = append(c.after, nil)
		c.passed[0], c.passed[1], c.closed = append(c.passed[0], -1), append(c.passed[1], -1), append(c.closed, -1)
	}
	return id
}

func (c *cell) trial(id int32, letter int) (to int32, holds bool) {
	if c.after[id] == nil {
		c.after[id] = make([]int32, c.trials)
	}
	if known := c.after[id][letter]; known != 0 {
		return max(known, -known) - 1, known < 0
	}
	s, holds := c.part.trial(c.states[id], c.inputs[letter])
	to = c.number(s)
	c.after[id][letter] = to + 1
	if holds {
		c.after[id][letter] = -to - 1
	}
	return to, holds
}

func (c *cell) edge(id int32, e edge) int32 {
	if to := c.passed[e][id]; to >= 0 {
		return to
	}
	to := c.number(c.part.edge(c.states[id], e))
	c.passed[e][id] = to
	return to
}

func (c *cell) close(id int32) bool {
	if c.closed[id] < 0 {
		c.closed[id] = 0
		if c.part.close(c.states[id]) {
			c.closed[id] = 1
		}
	}
	return c.closed[id] == 1
}

// explore numbers all states that can be reached, those of shorter histories first.
func (m *Machine) explore(e Entry, budget int) {
	m.width = len(m.cells) + 2
	m.said = make([]bool, len(m.cells))
	start := make([]int32, m.width)
	for i, c := range m.cells {
		start[i] = c.number(c.part.start(e))
	}
	start[len(m.cells)] = int32(min(e.Eased, m.easedMax))
	m.number(start, -1, -1)
	now, later := []State{0}, []State(nil)
	to := make([]int32, m.width)
	m.complete = true
	for len(now) > 0 {
		for i := 0; i < len(now); i++ {
			s := now[i]
			for li := range m.letters {
				where, look := m.step(s, li, to)
				if where >= 0 {
					key := m.key(to)
					known, ok := m.index[string(key)]
					switch {
					case ok:
						where = known
					case len(m.from) >= budget:
						where, m.complete = Unexplored, false
					default:
						where = m.number(to, s, li)
						if m.letters[li].IsTrial() {
							later = append(later, where)
						} else {
							now = append(now, where)
						}
					}
				}
				m.next[int(s)*len(m.letters)+li] = int32(where)
				m.seen[int(s)*len(m.letters)+li] = m.lookID(look)
			}
		}
		now, later = later, now[:0]
	}
	m.index, m.known, m.said, m.bytes = nil, nil, nil, nil
}

func (m *Machine) lookID(l Look) uint32 {
	id, ok := m.known[l]
	if !ok {
		id = uint32(len(m.looks))
		m.known[l] = id
		m.looks = append(m.looks, l)
	}
	return id
}

// key is a text for a tuple; it is overwritten by the next.
func (m *Machine) key(tuple []int32) []byte {
	m.bytes = m.bytes[:0]
	for _, v := range tuple {
		m.bytes = binary.AppendUvarint(m.bytes, uint64(v))
	}
	return m.bytes
}

// number gives a state its place in all tables.
func (m *Machine) number(tuple []int32, from State, letter int) State {
	s := State(len(m.from))
	m.index[string(m.key(tuple))] = s
	m.table = append(m.table, tuple...)
	m.from, m.via = append(m.from, from), append(m.via, int32(letter))
	trials, edges := int32(0), int32(0)
	if from >= 0 {
		trials, edges = m.trials[from], m.edges[from]
		if m.letters[letter].IsTrial() {
			trials++
		} else {
			edges++
		}
	}
	m.trials, m.edges = append(m.trials, trials), append(m.edges, edges)
	for range m.letters {
		m.next, m.seen = append(m.next, int32(Unexplored)), append(m.seen, 0)
	}
	return s
}

// step works a transition out. The state it leads to stands in the tuple where 0 is returned.
func (m *Machine) step(s State, li int, to []int32) (State, Look) {
	at := m.table[int(s)*m.width : (int(s)+1)*m.width]
	n := len(m.cells)
	copy(to, at)
	look := Look{Takes: -1}
	l := &m.letters[li]
	switch {
	case l.IsTrial():
		said := m.said
		for i, c := range m.cells {
			to[i], said[i] = c.trial(at[i], li)
		}
		if m.limit >= 0 && !said[m.limit] {
			return Impossible, look
		}
		m.look(&look, false, func(i int) bool { return said[i] }, int(at[n]))
	case l.Edge != Midnight && m.worked >= 0 && m.cells[m.worked].close(at[m.worked]):
		m.look(&look, true, func(i int) bool { return m.cells[i].close(at[i]) }, int(at[n]))
	}
	if look.Takes >= 0 && !m.goesOn {
		return Ended, look
	}
	if look.SplitDue {
		to[n] = 0
	}
	if m.goesOn {
		to[n+1] = int32(m.lookID(look)) + 1
	}
	if l.Edge == SessionEnd || l.Edge == NextDay {
		for i, c := range m.cells {
			to[i] = c.edge(to[i], sessionEnd)
		}
	}
	if l.Edge == NextDay || l.Edge == Midnight {
		for i, c := range m.cells {
			to[i] = c.edge(to[i], dateChange)
		}
	}
	return 0, look
}

// look looks at the rules of one moment: ease, then split, then advance; the first of them that holds makes the move,
// of several of one word the first written. A split without room makes none.
func (m *Machine) look(look *Look, closing bool, said func(int) bool, eased int) {
	deciding := closing || m.every < 0 || said(m.every)
	first := func(word curriculum.RuleWord, eased int) int {
		found := -1
		for i := range m.rules {
			r := &m.rules[i]
			if r.Word != word || r.Closes != closing || !deciding && moves(word) {
				continue
			}
			look.Looked |= 1 << i
			if m.when[i].holds(said, eased) {
				look.Holds |= 1 << i
				if found < 0 {
					found = i
				}
			}
		}
		return found
	}
	take := func(i int) {
		if look.Takes < 0 && i >= 0 {
			look.Takes = int8(i)
		}
	}
	ease := first(curriculum.Ease, eased)
	take(ease)
	if ease >= 0 {
		eased++
	}
	first(curriculum.StopToday, eased)
	first(curriculum.Flag, eased)
	if split := first(curriculum.Split, eased); split >= 0 {
		look.SplitDue = true
		if into := len(m.rules[split].Source.Into) > 0; into && !m.entry.Pieced || !into && m.stay.Room {
			take(split)
		}
	}
	take(first(curriculum.Advance, eased))
	take(first(curriculum.Lapse, 0))
}
