package odds

import (
	"errors"
	"fmt"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// ErrTooMany is in the chain where the rules of a level, with the sessions, need more states than the budget allows.
var ErrTooMany = errors.New("odds: too many states")

// stay is the rules of one level as a shape: its letters are sorts of trial that the rules do not tell apart, its ends
// are the rules that move.
type stay struct {
	rules   []automaton.Rule
	feels   bool // sessions mean something to the rules
	gauges  bool // something is measured beside the outcome
	counts  bool // some rule counts from before the level was entered
	shape   *Shape
	sorts   []int // letter of each sort of trial, -1 where the dog never does it
	letters int
	beyond  int // the end of what was explored, behind those of the rules; -1 where all was
	notes   []string
}

// makeStay explores the rules of a level together with the sessions.
func makeStay(c *curriculum.Curriculum, of *automaton.Stay, fresh bool, q *Question) (s *stay, err error) {
	opts := automaton.Options{Budget: q.budget(), Functions: q.Functions, Without: q.Dog.never(), Entry: automaton.Entry{Fresh: fresh}, Places: q.Sessions.Places, Handlers: q.Sessions.Handlers}
	asks := asked{q: q, c: c}
	for i := range of.Rules {
		asks.of(of.Rules[i].When)
	}
	if asks.shares { // they count trials as long as a session goes on
		opts.SessionTrials = q.Sessions.Trials
	}
	budgets := []int{opts.Budget}
	if opts.Budget > smallBudget { // often enough: what is left out then has no chance to speak of
		budgets = []int{smallBudget, opts.Budget}
	}
	for _, opts.Budget = range budgets {
		if s, err = makeOf(c, of, opts, q); err != nil || s.beyond < 0 || s.seldom(q) {
			break
		}
	}
	if s != nil {
		s.counts = asks.counts
	}
	return s, err
}

// smallBudget is what is tried first.
const smallBudget = 4_000

// seldom reports whether dogs of all chances asked about stay within what was explored.
func (s *stay) seldom(q *Question) bool {
	for _, p := range q.chances() {
		c, err := s.chain(q.dog(p))
		if err != nil {
			return false
		}
		t, err := c.Times()
		if err != nil || t.Ends[s.beyond].Chance > tiny {
			return false
		}
	}
	return true
}

// tiny is a chance that changes no answer.
const tiny = 1e-12

// makeOf explores with one budget.
func makeOf(c *curriculum.Curriculum, of *automaton.Stay, opts automaton.Options, q *Question) (*stay, error) {
	m, err := automaton.Make(c, of, opts)
	if err != nil {
		return nil, fmt.Errorf("odds: %w", err)
	}
	s := &stay{rules: m.Rules(), beyond: -1}
	if !m.Complete() {
		s.beyond = len(s.rules)
	}
	s.notes = m.Assumptions()
	for _, o := range m.Opaque() {
		s.notes = append(s.notes, o+" is taken to hold at every trial")
	}
	d := newDealer(m, c.Measures)
	s.gauges = len(d.best) > 0
	return s, s.explore(m, d, opts.Entry.Fresh, q)
}

// explore follows the machine through sessions, breadth first.
func (s *stay) explore(m *automaton.Machine, d *dealer, fresh bool, q *Question) error {
	edge := -1
	for i, l := range m.Letters() {
		if l.Edge == automaton.NextDay || l.Edge == automaton.SessionEnd && edge < 0 {
			edge = i
		}
	}
	same := alike(m)
	s.feels = len(q.Sessions.Places) > 1 || len(q.Sessions.Handlers) > 1
	for st := automaton.State(0); edge >= 0 && !s.feels && int(st) < m.Len(); st++ {
		step := m.Next(st, edge)
		s.feels = step.To < 0 || same(step.To) != same(st)
	}
	rounds := 1
	if s.feels {
		rounds = q.Sessions.rounds()
	}
	deal, err := s.deal(d, q, rounds)
	if err != nil {
		return err
	}

	type spot struct {
		state       automaton.State
		over, round int // trials of the session that are over; which round of places and handlers it is
	}
	number := map[spot]int{}
	var spots []spot
	find := func(at spot) int {
		at.state = same(at.state)
		i, ok := number[at]
		if !ok {
			i = len(spots)
			number[at] = i
			spots = append(spots, at)
		}
		return i
	}
	// close ends the session at a spot, and says where that leads
	close := func(at spot) int {
		next := spot{at.state, 0, (at.round + 1) % rounds}
		if edge < 0 { // only where and with whom changes
			return find(next)
		}
		step := m.Next(at.state, edge)
		switch step.To {
		case automaton.Ended:
			return End(int(step.Takes))
		case automaton.Unexplored:
			return End(s.beyond)
		}
		next.state = step.To
		return find(next)
	}
	s.shape = NewShape(s.letters, max(len(s.rules), s.beyond+1))
	if s.feels && !fresh {
		s.shape.StartAt(close(spot{m.Start(), 0, rounds - 1}))
	} else {
		find(spot{state: m.Start()})
	}
	var arcs []Arc
	for i := 0; i < len(spots); i++ {
		if i >= q.budget() {
			return fmt.Errorf("%w: the rules in sessions of %d trials need more than %d", ErrTooMany, q.Sessions.Trials, q.budget())
		}
		at := spots[i]
		arcs = arcs[:0]
		for letter, of := range deal[at.round] {
			step := m.Next(at.state, of)
			next := spot{step.To, at.over, at.round}
			if s.feels {
				next.over++
			}
			var to int
			switch {
			case step.To == automaton.Ended:
				to = End(int(step.Takes))
			case step.To == automaton.Unexplored:
				to = End(s.beyond)
			case step.To < 0:
				return fmt.Errorf("%w: a session has no room for %d trials", ErrTooMany, next.over)
			case s.feels && next.over == q.Sessions.Trials:
				to = close(next)
			default:
				to = find(next)
			}
			arcs = append(arcs, Arc{letter, to})
		}
		s.shape.Add(arcs...)
	}
	return nil
}

// maxMinimised is the largest machine that is made smaller first: for larger ones that takes longer than it saves.
const maxMinimised = 8000

// alike gives for each state of a machine the first that no history can tell from it.
func alike(m *automaton.Machine) func(automaton.State) automaton.State {
	if !m.Complete() || m.Len() > maxMinimised {
		return func(s automaton.State) automaton.State { return s }
	}
	class, n := m.Minimise()
	first := make([]automaton.State, n)
	for s := len(class) - 1; s >= 0; s-- {
		first[class[s]] = automaton.State(s)
	}
	return func(s automaton.State) automaton.State { return first[class[s]] }
}

// deal gives sorts of trial that are alike in every round one letter, and says for each round which letter of the
// machine it is.
func (s *stay) deal(d *dealer, q *Question, rounds int) (byRound [][]int, err error) {
	never := q.Dog.never()
	byRound = make([][]int, rounds)
	for _, k := range automaton.Kinds {
		for i := range sorts {
			if slices.Contains(never, k) {
				s.sorts = append(s.sorts, -1)
				continue
			}
			row := make([]int, rounds)
			for r := range row {
				place, handler := q.Sessions.at(r)
				if row[r], err = d.letter(k, i == 1, place, handler); err != nil {
					return nil, err
				}
			}
			at := 0
			for at < s.letters && !slices.Equal(row, column(byRound, at)) {
				at++
			}
			if at == s.letters {
				s.letters++
				for r := range row {
					byRound[r] = append(byRound[r], row[r])
				}
			}
			s.sorts = append(s.sorts, at)
		}
	}
	return byRound, nil
}

func column(rows [][]int, i int) (out []int) {
	for _, r := range rows {
		out = append(out, r[i])
	}
	return out
}

// chain is the stay with a dog in it.
func (s *stay) chain(d Dog) (*Chain, error) {
	sorts, err := d.chances()
	if err != nil {
		return nil, err
	}
	chance := make([]float64, s.letters)
	for i, l := range s.sorts {
		if l >= 0 {
			chance[l] += sorts[i]
		}
	}
	return s.shape.With(chance)
}

// never lists the kinds of trial that the dog never makes, whatever its chance of success.
func (d Dog) never() (out []automaton.Kind) {
	for k, share := range map[automaton.Kind]float64{automaton.Helped: d.Helped, automaton.Silent: d.Silent, automaton.Early: d.Early, automaton.OptOut: d.OptOut} {
		if share == 0 {
			out = append(out, k)
		}
	}
	slices.Sort(out)
	return out
}
