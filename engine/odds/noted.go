package odds

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// others completes the rules of a step's rows, which move the dog, with those that do not: in the order of the text.
func (w *work) others(b *curriculum.Behaviour, i int, rows []Row) error {
	if w.q.FirstMoves {
		return nil
	}
	s := b.Steps[i]
	merged := make([][]Rule, len(rows))
	moved := 0
	for r := range s.Rules {
		rule := &s.Rules[r]
		var of []Rule // by chance
		var err error
		switch rule.Word {
		case curriculum.StopToday, curriculum.Flag:
			of, err = w.note(b, i, rule)
		case curriculum.Skip:
			of, err = w.skip(b, s, rule)
		default:
			for j := range rows {
				of = append(of, rows[j].Rules[moved])
			}
			moved++
		}
		if err != nil {
			return err
		}
		for j := range merged {
			merged[j] = append(merged[j], of[j])
		}
	}
	for j := range rows {
		rows[j].Rules = merged[j]
	}
	return nil
}

// note answers for a stop or flag: a walk that ends where it is noted for the first time, or where a move ends the stay.
func (w *work) note(b *curriculum.Behaviour, i int, rule *curriculum.Rule) ([]Rule, error) {
	s := b.Steps[i]
	level := rowLevel(s)
	of, err := movers(w.c, b, i, level, true)
	if err != nil {
		return nil, err
	}
	watch := *of
	watch.Rules, watch.Decide = []curriculum.Rule{*rule}, curriculum.Decide{} // for which a note never waits
	if curriculum.AnyPart(rule.When, func(c curriculum.Criterion) bool { _, eased := c.(curriculum.Eased); return eased }) {
		watch.Rules, watch.Decide = append(slices.Clone(of.Rules), *rule), of.Decide // the ease that is due counts
	}
	q := w.q
	q.Sessions = sessionsFor(w.c, b, s, of.Rules, &w.q) // as the moves have them
	q.Sessions = sessionsFor(w.c, b, s, watch.Rules, &q)
	fresh := i == 0 && level == 0
	key := keyOf(of, fresh, q.Sessions) + "|" + watch.Key()
	known, ok := w.notes[key]
	if !ok {
		if known, err = w.noted(of, &watch, fresh, &q); err != nil {
			return nil, err
		}
		w.notes[key] = known
	}
	return known.at(rule), nil
}

// noteFigures are what is known of a stop or flag, for all steps where the rules mean the same.
type noteFigures struct {
	rules          []Rule // by chance
	gauges, counts bool
}

// at are the rules where one of them stands.
func (n *noteFigures) at(rule *curriculum.Rule) []Rule {
	out := append([]Rule(nil), n.rules...)
	for j := range out {
		out[j].File, out[j].Line = rule.Pos.File, rule.Pos.Line
	}
	return out
}

// noted works out when the last rule of a stay is noted that watches another.
func (w *work) noted(of, watch *automaton.Stay, fresh bool, q *Question) (*noteFigures, error) {
	rule := &watch.Rules[len(watch.Rules)-1]
	blank := Rule{Rule: string(rule.Word), Criterion: curriculum.CriterionText(rule.When), Places: q.Sessions.Places, Handlers: q.Sessions.Handlers}
	st, err := makeStay(w.c, of, watch, fresh, q)
	out := &noteFigures{}
	switch {
	case errors.Is(err, ErrTooMany), errors.Is(err, automaton.ErrAlphabet):
		blank.Unknown, blank.Mean = 1, Trials(math.NaN())
		for range q.chances() {
			out.rules = append(out.rules, blank)
		}
		return out, nil
	case err != nil:
		return nil, err
	}
	blank.Notes = st.remarks
	out.gauges, out.counts = st.gauges, st.counts
	w.gauges, w.counts = w.gauges || st.gauges, w.counts || st.counts
	if st.feels || q.perSession && blank.Rule == string(curriculum.StopToday) {
		blank.Session = q.Sessions.Trials
	}
	for _, p := range q.chances() {
		r, err := st.notedBy(q.dog(p), q, blank)
		if err != nil {
			return nil, err
		}
		out.rules = append(out.rules, r)
	}
	return out, nil
}

// notedBy is the rule that the stay watches, with a dog.
func (s *stay) notedBy(d Dog, q *Question, r Rule) (Rule, error) {
	c, err := s.chain(d)
	if err != nil {
		return r, err
	}
	t, err := c.Times()
	if err != nil {
		return r, err
	}
	by := c.By(q.by())
	r.By, r.Ever, r.Mean = chance(by[s.watched]), chance(t.Ends[s.watched].Chance), Trials(t.Ends[s.watched].Mean)
	if s.beyond >= 0 && by[s.beyond] > tiny {
		r.Unknown = chance(by[s.beyond])
	}
	if q.perSession && r.Rule == string(curriculum.StopToday) {
		first := chance(c.By(q.Sessions.Trials)[s.watched])
		r.InSession = &first
	}
	return r, nil
}

// skip answers for a rule that is looked at before the dog comes to its step: where all its trials name that.
func (w *work) skip(b *curriculum.Behaviour, s *curriculum.Step, rule *curriculum.Rule) ([]Rule, error) {
	alone := *rule
	alone.Word = curriculum.Advance
	st, err := w.study(b, s, &automaton.Stay{Rules: []curriculum.Rule{alone}}, false)
	if err != nil {
		return nil, fmt.Errorf("skip: %w", err)
	}
	rows, err := st.rowsFor(&w.q)
	if err != nil {
		return nil, fmt.Errorf("skip: %w", err)
	}
	var out []Rule
	for _, row := range rows {
		r := row.Rules[0]
		r.Rule = string(rule.Word)
		out = append(out, r)
	}
	return out, nil
}
