package automaton

import (
	"errors"
	"fmt"
	"slices"

	"example.com/rung/curriculum"
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

// Make makes the machine of a stay. Where the budget of states ends the machine is not complete, and its outermost
// states lead to Unexplored.
func Make(c *curriculum.Curriculum, s *Stay, opts Options) (*Machine, error) {
	if c == nil {
		c = &curriculum.Curriculum{}
	}
	if s == nil {
		s = &Stay{}
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
	m.easedMax, m.opaque, m.units = a.eased, a.opaque, a.units
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

// spell makes the letters: cases that look alike to every part are one. Trials come first, then edges.
func (m *Machine) spell(a *alphabet, parts []part) error {
	all, err := a.cases()
	if err != nil {
		return err
	}
	at := map[string]int{}
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
	}
	m.chooseFirst()
	trials := len(m.letters)
	for _, p := range parts {
		c := &cell{part: p, ids: map[string]int32{}, trials: trials}
		for j := range m.letters {
			c.inputs = append(c.inputs, p.input(&m.letters[j].Cases[0]))
		}
		m.cells = append(m.cells, c)
	}
	m.letters = append(m.letters, edges(parts)...)
	for i := range m.letters {
		m.letters[i].name(m.units, m.opaque)
	}
	return nil
}

// chooseFirst puts the case first that is written for its letter. Where rules tell successes apart, one that is as good as
// a miss to them is written as a miss.
func (m *Machine) chooseFirst() {
	wins := func(l Letter) bool {
		return slices.ContainsFunc(l.Cases, func(c Case) bool { return c.Kind == Success })
	}
	apart := 0
	for _, l := range m.letters {
		if wins(l) {
			apart++
		}
	}
	if apart < 2 {
		return
	}
	length := func(c Case) int { return len(c.details(m.units)) + len(c.where()) }
	for j, l := range m.letters {
		miss := slices.IndexFunc(l.Cases, func(c Case) bool { return c.Kind.Miss() && length(c) <= length(l.Cases[0]) })
		if wins(l) && miss > 0 {
			c := l.Cases[miss]
			m.letters[j].Cases = slices.Insert(slices.Delete(l.Cases, miss, miss+1), 0, c)
		}
	}
}

// edges are the letters for what lies between trials and changes something.
func edges(parts []part) (out []Letter) {
	any := func(e edge) bool { return slices.ContainsFunc(parts, func(p part) bool { return reacts(p, e) }) }
	sessions, days := any(sessionEnd), any(dateChange)
	if sessions {
		out = append(out, Letter{Edge: SessionEnd})
	}
	if days {
		out = append(out, Letter{Edge: NextDay})
	}
	if sessions && days {
		out = append(out, Letter{Edge: Midnight})
	}
	return out
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
