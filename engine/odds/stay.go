package odds

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// ErrTooMany is in the chain where the rules of a level, with the sessions, need more states than the budget allows.
var ErrTooMany = errors.New("odds: too many states")

// stay is the rules of one level as a shape: its letters are sorts of trial that the rules do not tell apart, its ends
// are the rules that move, and where one is watched that it is noted.
type stay struct {
	rules   []automaton.Rule
	feels   bool // sessions mean something to the rules
	gauges  bool // something is measured beside the outcome
	counts  bool // some rule counts from before the level was entered
	shape   *Shape
	sorts   []int // letter of each sort of trial, -1 where the dog never does it
	letters int
	watched int // the end where the watched rule is noted, behind those of the rules; -1 where none is
	beyond  int // the end of what was explored, behind them; -1 where all was
	remarks []string
}

// makeStay explores the rules of a level together with the sessions, and with what watches a rule that moves nothing: the
// last of that stay, nil for none.
func makeStay(c *curriculum.Curriculum, of, watch *automaton.Stay, fresh bool, q *Question) (s *stay, err error) {
	opts := automaton.Options{Budget: q.budget(), Functions: q.Functions, Without: q.Dog.never(), Entry: automaton.Entry{Fresh: fresh}, Places: q.Sessions.Places, Handlers: q.Sessions.Handlers}
	asks := asked{q: q, c: c}
	for _, rules := range []*automaton.Stay{of, watch} {
		for i := 0; rules != nil && i < len(rules.Rules); i++ {
			asks.of(rules.Rules[i].When)
		}
	}
	if asks.shares { // they count trials as long as a session goes on
		opts.SessionTrials = q.Sessions.Trials
	}
	budgets := []int{opts.Budget}
	if opts.Budget > smallBudget { // often enough: what is left out then has no chance to speak of
		budgets = []int{smallBudget, opts.Budget}
	}
	for _, opts.Budget = range budgets {
		if s, err = makeOf(c, of, watch, opts, q); err != nil || s.beyond < 0 || s.seldom(q) {
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
func makeOf(c *curriculum.Curriculum, of, watch *automaton.Stay, opts automaton.Options, q *Question) (*stay, error) {
	moves, err := newTrack(c, of, opts)
	if err != nil {
		return nil, err
	}
	s := &stay{rules: moves.Rules(), watched: -1, beyond: -1}
	tracks := []*track{moves}
	if watch != nil {
		t, err := newTrack(c, watch, opts)
		if err != nil {
			return nil, err
		}
		t.watches = true
		tracks, s.watched = append(tracks, t), len(s.rules)
	}
	for _, t := range tracks {
		if !t.Complete() {
			s.beyond = len(s.rules) + len(tracks) - 1
		}
		s.remarks = t.Assumptions() // where a rule is watched what is special to that: the others are known
		for _, o := range t.Opaque() {
			s.remarks = append(s.remarks, o+" is taken to hold at every trial")
		}
		s.gauges = s.gauges || len(t.best) > 0
	}
	return s, s.explore(tracks, opts.Entry.Fresh, q)
}

// track is one machine that is followed through sessions.
type track struct {
	*automaton.Machine
	*dealer
	same    func(automaton.State) automaton.State
	edge    int     // its letter for the end of a session, or -1
	watches bool    // its last rule, that is
	deal    [][]int // by round, which letter each letter of the stay is
}

func newTrack(c *curriculum.Curriculum, of *automaton.Stay, opts automaton.Options) (*track, error) {
	m, err := automaton.Make(c, of, opts)
	if err != nil {
		return nil, fmt.Errorf("odds: %w", err)
	}
	t := &track{Machine: m, dealer: newDealer(m, c.Measures), same: alike(m), edge: -1}
	for i, l := range m.Letters() {
		if l.Edge == automaton.NextDay || l.Edge == automaton.SessionEnd && t.edge < 0 {
			t.edge = i
		}
	}
	return t, nil
}

// feels reports whether the end of a session means something to the machine.
func (t *track) feels() bool {
	for st := automaton.State(0); t.edge >= 0 && int(st) < t.Len(); st++ {
		if step := t.Next(st, t.edge); step.To < 0 || t.same(step.To) != t.same(st) || t.notes(step) {
			return true
		}
	}
	return false
}

// notes reports whether a watched rule holds in a step. It is noted then, whether or not a move is made as well.
func (t *track) notes(step automaton.Step) bool {
	return t.watches && step.Holds>>(len(t.Rules())-1)&1 == 1
}

// spot is where a walk through sessions is.
type spot struct {
	states      [2]automaton.State // of each track
	over, round int                // trials of the session that are over; which round of places and handlers it is
}

// explore follows the machines through sessions side by side, breadth first.
func (s *stay) explore(tracks []*track, fresh bool, q *Question) error {
	s.feels = len(q.Sessions.Places) > 1 || len(q.Sessions.Handlers) > 1
	for _, t := range tracks {
		s.feels = s.feels || t.feels()
	}
	rounds := 1
	if s.feels {
		rounds = q.Sessions.rounds()
	}
	if err := s.dealTo(tracks, q, rounds); err != nil {
		return err
	}
	number := map[spot]int{}
	var spots []spot
	find := func(at spot) int {
		for k, t := range tracks {
			at.states[k] = t.same(at.states[k])
		}
		i, ok := number[at]
		if !ok {
			i = len(spots)
			number[at] = i
			spots = append(spots, at)
		}
		return i
	}
	// end ends the session at a spot, and says where that leads
	end := func(at spot) int {
		next := spot{at.states, 0, (at.round + 1) % rounds}
		to, over := s.follow(tracks, &next, func(t *track) int { return t.edge })
		if over {
			return to
		}
		return find(next)
	}
	s.shape = NewShape(s.letters, len(s.rules)+2)
	if s.feels && !fresh {
		s.shape.StartAt(end(spot{round: rounds - 1}))
	} else {
		find(spot{})
	}
	var arcs []Arc
	for i := 0; i < len(spots); i++ {
		if i >= q.budget() {
			return fmt.Errorf("%w: the rules in sessions of %d trials need more than %d", ErrTooMany, q.Sessions.Trials, q.budget())
		}
		arcs = arcs[:0]
		for letter := range s.letters {
			next := spots[i]
			if s.feels {
				next.over++
			}
			to, over := s.follow(tracks, &next, func(t *track) int { return t.deal[next.round][letter] })
			switch {
			case over && to == nowhere:
				return fmt.Errorf("%w: a session has no room for %d trials", ErrTooMany, next.over)
			case over:
			case s.feels && next.over == q.Sessions.Trials:
				to = end(next)
			default:
				to = find(next)
			}
			arcs = append(arcs, Arc{letter, to})
		}
		s.shape.Add(arcs...)
	}
	return nil
}

// nowhere is where a trial leads that a session has no room for.
const nowhere = math.MinInt

// follow takes each machine's letter, if it has one, and says to which end that leads, where the walk is over.
func (s *stay) follow(tracks []*track, at *spot, letter func(*track) int) (end int, over bool) {
	var steps [2]automaton.Step
	for k, t := range tracks {
		steps[k].To = at.states[k]
		if l := letter(t); l >= 0 {
			steps[k] = t.Next(at.states[k], l)
		}
		if t.notes(steps[k]) {
			return End(s.watched), true
		}
	}
	for k := range tracks {
		switch to := steps[k].To; {
		case to == automaton.Ended:
			return End(int(steps[k].Takes)), true
		case to == automaton.Unexplored:
			return End(s.beyond), true
		case to < 0:
			return nowhere, true
		default:
			at.states[k] = to
		}
	}
	return 0, false
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

// dealTo gives sorts of trial that are alike to all machines in every round one letter, and tells each machine for each
// round which of its own letters that is.
func (s *stay) dealTo(tracks []*track, q *Question, rounds int) error {
	never := q.Dog.never()
	for _, t := range tracks {
		t.deal = make([][]int, rounds)
	}
	var known [][]int
	for _, k := range automaton.Kinds {
		for i := range sorts {
			if slices.Contains(never, k) {
				s.sorts = append(s.sorts, -1)
				continue
			}
			var row []int
			for r := range rounds {
				place, handler := q.Sessions.at(r)
				for _, t := range tracks {
					l, err := t.letter(k, i == 1, place, handler)
					if err != nil {
						return err
					}
					row = append(row, l)
				}
			}
			at := slices.IndexFunc(known, func(o []int) bool { return slices.Equal(o, row) })
			if at < 0 {
				at = len(known)
				known = append(known, row)
				for r := range rounds {
					for n, t := range tracks {
						t.deal[r] = append(t.deal[r], row[r*len(tracks)+n])
					}
				}
			}
			s.sorts = append(s.sorts, at)
		}
	}
	s.letters = len(known)
	return nil
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
