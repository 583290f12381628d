package odds

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// work is an answer in the making.
type work struct {
	c      *curriculum.Curriculum
	q      Question
	stays  map[string]*figures     // by what they are made of
	notes  map[string]*noteFigures // likewise
	answer *Answer
	gauges bool // some rule measures something beside the outcome
	counts bool // some rule counts from before the level was entered
}

// newWork begins an answer; a curriculum that is nil has no behaviour, and says so.
func newWork(c *curriculum.Curriculum, q Question) (*work, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	q.perSession = q.Sessions.Trials > 0
	if c == nil {
		c = &curriculum.Curriculum{}
	}
	return &work{c: c, q: q, stays: map[string]*figures{}, notes: map[string]*noteFigures{}, answer: &Answer{Rows: []Row{}, Steps: []Step{}, Ladders: []Ladder{}, Lapses: []Lapse{}}}, nil
}

// criterion studies a criterion that stands alone, as the advance of a step that has nothing else.
func (w *work) criterion(when curriculum.Criterion) (*curriculum.Step, *studied, error) {
	step := &curriculum.Step{Rules: []curriculum.Rule{{Word: curriculum.Advance, When: when}}}
	st, err := w.study(nil, step, &automaton.Stay{Rules: step.Rules}, true)
	return step, st, err
}

// studied is what is known of the rules of a level, beside the rules themselves.
type studied struct {
	*figures
	of []*curriculum.Rule // by rule of the machine: where each stands in the text, and where it leads
}

// figures are shared by all levels whose rules mean the same.
type figures struct {
	*stay
	sessions Sessions
	times    []Times // by chance
	rows     []Row   // likewise; nil until asked for
	holds    []float64
	held     bool
}

// study makes a stay, or takes the figures of one that was made of the same before.
func (w *work) study(b *curriculum.Behaviour, s *curriculum.Step, of *automaton.Stay, fresh bool) (*studied, error) {
	q := w.q
	q.Sessions = sessionsFor(w.c, b, s, of.Rules, &w.q)
	var rules []*curriculum.Rule
	for i := range of.Rules {
		if of.Rules[i].Word != curriculum.Skip { // which no machine looks at
			rules = append(rules, &of.Rules[i])
		}
	}
	key := keyOf(of, fresh, q.Sessions)
	if known, ok := w.stays[key]; ok {
		return &studied{known, rules}, nil
	}
	st, err := makeStay(w.c, of, nil, fresh, &q)
	if err != nil {
		return nil, err
	}
	out := &figures{stay: st, sessions: q.Sessions}
	for _, p := range w.q.chances() {
		c, err := st.chain(w.q.dog(p))
		if err != nil {
			return nil, err
		}
		t, err := c.Times()
		if err != nil {
			return nil, err
		}
		out.times = append(out.times, st.known(t))
	}
	w.stays[key] = out
	w.gauges, w.counts = w.gauges || st.gauges, w.counts || st.counts
	return &studied{out, rules}, nil
}

// balance is holdsAt, worked out once.
func (f *figures) balance(d Dog) ([]float64, error) {
	if !f.held {
		holds, err := f.holdsAt(d)
		if err != nil {
			return nil, err
		}
		f.holds, f.held = holds, true
	}
	return f.holds, nil
}

// rowsFor are the rows for all chances asked about, worked out once but for where the rules stand.
func (s *studied) rowsFor(q *Question) ([]Row, error) {
	if s.rows == nil {
		for i, p := range q.chances() {
			row, err := s.row(q.dog(p), q, s.times[i])
			if err != nil {
				return nil, err
			}
			s.rows = append(s.rows, row)
		}
	}
	out := slices.Clone(s.rows)
	for i := range out {
		out[i].Rules = slices.Clone(out[i].Rules)
		s.place(out[i].Rules)
	}
	return out, nil
}

// place says of rules where they stand.
func (s *studied) place(rules []Rule) {
	for j, r := range s.of {
		rules[j].File, rules[j].Line = r.Pos.File, r.Pos.Line
	}
}

// known makes of walks that leave what was explored such that nobody can say when they end.
func (s *stay) known(t Times) Times {
	if s.beyond >= 0 && t.Ends[s.beyond].Chance > tiny {
		t.Mean, t.SD = math.Inf(1), math.Inf(1)
	}
	return t
}

// unknown is the chance of leaving what was explored.
func (s *stay) unknown(t Times) float64 {
	if s.beyond < 0 || t.Ends[s.beyond].Chance <= tiny {
		return 0
	}
	return chance(t.Ends[s.beyond].Chance)
}

// keyOf is equal for stays that are the same machine in the same sessions.
func keyOf(of *automaton.Stay, fresh bool, s Sessions) string {
	return fmt.Sprintf("%v %d %q %q|%s", fresh, s.Trials, s.Places, s.Handlers, of.Key())
}

func (q *Question) dog(p float64) Dog {
	d := q.Dog
	d.Chance = p
	return d
}

// movers is the stay at a level with the rules that move only, split among them or not.
func movers(c *curriculum.Curriculum, b *curriculum.Behaviour, step, level int, splits bool) (*automaton.Stay, error) {
	s, err := automaton.StayAt(c, b.Name, step, level)
	if err != nil {
		return nil, fmt.Errorf("odds: %w", err)
	}
	var rules []curriculum.Rule
	for _, r := range s.Rules {
		if r.Word == curriculum.Advance || r.Word == curriculum.Ease || splits && r.Word == curriculum.Split {
			rules = append(rules, r)
		}
	}
	s.Rules = rules
	s.Room = s.Room && slices.ContainsFunc(rules, func(r curriculum.Rule) bool { return r.Word == curriculum.Split })
	return s, nil
}

func levelsOf(s *curriculum.Step) int {
	if len(s.Levels) > 0 {
		return len(s.Levels)
	}
	return len(curriculum.LayOut(s.Ramps, s.Raise))
}

// each goes through the steps asked about.
func (w *work) each(behaviour, step string, do func(b *curriculum.Behaviour, i int) error) error {
	asked := w.c.Behaviour(behaviour)
	if asked == nil && behaviour != "" {
		return fmt.Errorf("odds: behaviour %q: %w", behaviour, ErrNoSuch)
	}
	for _, b := range w.c.Behaviours {
		if asked != nil && b != asked {
			continue
		}
		only := b.Step(step)
		if only < 0 && step != "" {
			return fmt.Errorf("odds: step %q of %s: %w", step, b.Name, ErrNoSuch)
		}
		for i, s := range b.Steps {
			if step != "" && i != only {
				continue
			}
			if err := do(b, i); err != nil {
				return fmt.Errorf("%s at %s: %w", b.Name, s.Name, err)
			}
		}
	}
	return nil
}

// rowLevel is the level that a step's rows are about: the first, or of a ramp the second, where a split may find room.
func rowLevel(s *curriculum.Step) int { return min(1, levelsOf(s)-1) }

// row is the stay that a step's rows are about.
func (w *work) row(b *curriculum.Behaviour, i int) (*studied, error) {
	level := rowLevel(b.Steps[i])
	of, err := movers(w.c, b, i, level, true)
	if err != nil {
		return nil, err
	}
	return w.study(b, b.Steps[i], of, i == 0 && level == 0)
}

// step answers for a step.
func (w *work) step(b *curriculum.Behaviour, i int, passages [][]passage) error {
	st, err := w.row(b, i)
	if err != nil {
		return err
	}
	from := len(w.answer.Rows)
	if err := w.rows(b.Name, b.Steps[i], levelsOf(b.Steps[i]), st); err != nil {
		return err
	}
	if err := w.others(b, i, w.answer.Rows[from:]); err != nil {
		return err
	}
	for j := range passages {
		r := &w.answer.Rows[from+j]
		r.Through, r.ThroughSD = Trials(passages[j][i].mean), Trials(math.Sqrt(passages[j][i].variance))
	}
	return nil
}

// rows answers for one stay.
func (w *work) rows(behaviour string, s *curriculum.Step, levels int, st *studied) error {
	step := Step{Behaviour: behaviour, Step: s.Name, Levels: levels, HoldsAt: []float64{}, States: st.shape.States(), Notes: st.remarks}
	step.Advance, step.Ease, step.Split = words(s)
	if st.beyond >= 0 {
		after := ", and what comes after them is not known"
		if !slices.ContainsFunc(st.times, func(t Times) bool { return st.unknown(t) > 0 }) {
			after = ", which these dogs hardly ever leave"
		}
		step.Notes = append(slices.Clone(step.Notes), fmt.Sprintf("the rules count without end: followed through %d states%s", st.shape.States(), after))
	}
	step.Places, step.Handlers = st.sessions.Places, st.sessions.Handlers
	if st.feels {
		step.Session = st.sessions.Trials
	}
	holds, err := st.balance(w.q.Dog)
	if err != nil {
		return err
	}
	step.HoldsAt = append(step.HoldsAt, holds...)
	w.answer.Steps = append(w.answer.Steps, step)

	var advances []string
	for i := range s.Rules {
		if s.Rules[i].Word == curriculum.Advance {
			advances = append(advances, curriculum.CriterionText(s.Rules[i].When))
		}
	}
	rows, err := st.rowsFor(&w.q)
	if err != nil {
		return err
	}
	for _, row := range rows {
		row.Behaviour, row.Step, row.Criterion = behaviour, s.Name, strings.Join(advances, "; or ")
		w.answer.Rows = append(w.answer.Rows, row)
	}
	return nil
}

// row is the stay with a dog.
func (s *stay) row(d Dog, q *Question, t Times) (Row, error) {
	c, err := s.chain(d)
	if err != nil {
		return Row{}, err
	}
	by, wait := q.by(), maxWait
	if q.FirstMoves {
		wait = 0
	}
	row := Row{Chance: d.Chance, By: by, Mean: Trials(t.Mean), SD: Trials(t.SD), Never: chance(t.Never), Unknown: s.unknown(t), Residual: roundUp(t.Residual), Rules: []Rule{}}
	at, known := make([]float64, c.Ends()), true
	c.Walk(max(by, wait), func(trial int, ends []float64) bool {
		if all := sum(ends[:len(s.rules)]); trial <= wait {
			if row.HalfBy == 0 && all >= .5-tiny {
				row.HalfBy = ByTrial(trial)
			}
			if row.NineBy == 0 && all >= .9-tiny {
				row.NineBy = ByTrial(trial)
			}
		}
		if trial == by {
			copy(at, ends)
			known = s.beyond < 0 || ends[s.beyond] <= tiny
		}
		return trial < by || trial < wait && row.NineBy == 0 && t.Never < .1
	})
	if !known {
		return Row{}, fmt.Errorf("%w: by trial %d the rules need more than %d", ErrTooMany, by, s.shape.States())
	}
	for i, r := range s.rules {
		e := t.Ends[i]
		row.Rules = append(row.Rules, Rule{Rule: string(r.Word), Criterion: r.Text, By: chance(at[i]), Ever: chance(e.Chance), Mean: Trials(e.Mean)})
		switch r.Word {
		case curriculum.Advance:
			row.Advance += at[i]
			row.FirstAdvance += e.Chance
		case curriculum.Ease:
			row.Ease += at[i]
		case curriculum.Split:
			row.Split += at[i]
		}
	}
	for _, v := range []*float64{&row.Advance, &row.Ease, &row.Split, &row.FirstAdvance} {
		*v = chance(*v)
	}
	return row, nil
}
