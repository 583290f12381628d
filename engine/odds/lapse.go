package odds

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// Lapse is what the lapse rules of a behaviour promise a dog of one chance of success once the behaviour is kept: how
// soon it is back at work.
type Lapse struct {
	Behaviour string  `json:"behaviour"`
	Criterion string  `json:"criterion"` // of its lapse rules
	Chance    float64 `json:"chance"`
	By        int     `json:"by"`
	Lapse     float64 `json:"lapse"` // chance that by trial By, from the day it was kept, it has lapsed
	Mean      Trials  `json:"mean_trials"`
	SD        Trials  `json:"sd_trials"`
	Never     float64 `json:"never"` // chance that it never lapses
	Rules     []Rule  `json:"rules"` // which of its rules does it
}

// lapses answers for a behaviour once it is kept.
func (w *work) lapses(b *curriculum.Behaviour) error {
	if len(b.Lapse) == 0 {
		return nil
	}
	of, err := automaton.StayAt(w.c, b.Name, len(b.Steps), 0)
	if err != nil {
		return fmt.Errorf("odds: %w", err)
	}
	st, err := w.study(b, b.Steps[len(b.Steps)-1], of, false)
	if err != nil {
		return fmt.Errorf("%s once kept: %w", b.Name, err)
	}
	var words []string
	for i := range b.Lapse {
		words = append(words, curriculum.CriterionNames(b.Lapse[i].When))
	}
	q := w.q
	q.FirstMoves = true
	for i, p := range q.chances() {
		row, err := st.row(q.dog(p), &q, st.times[i])
		if err != nil {
			return fmt.Errorf("%s once kept: %w", b.Name, err)
		}
		st.place(row.Rules)
		l := Lapse{Behaviour: b.Name, Criterion: strings.Join(words, "; or "), Chance: p, By: row.By, Mean: row.Mean, SD: row.SD, Never: row.Never, Rules: row.Rules}
		for _, r := range row.Rules {
			l.Lapse += r.By
		}
		l.Lapse = chance(l.Lapse)
		w.answer.Lapses = append(w.answer.Lapses, l)
	}
	return nil
}

// lapsesOf are those of a behaviour, by chance.
func (a *Answer) lapsesOf(behaviour string) []Lapse {
	return slices.DeleteFunc(slices.Clone(a.Lapses), func(l Lapse) bool { return l.Behaviour != behaviour })
}
