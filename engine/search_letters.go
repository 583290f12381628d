package engine

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// letter is a sort of trial that the rules of a level can tell from others.
type letter struct {
	trial curriculum.Trial
	next  NextTrial
	later time.Duration // since the trial before
	// the same trial with no break before it, in a new session, on another day; -1 where there is none such
	plain, session, day int
}

var searchKinds = []struct {
	mark    string
	kind    kind
	outcome curriculum.Outcome
	help    []string
	early   bool
}{
	{"+", success, curriculum.Success, nil, false},
	{"-", wrong, curriculum.Wrong, nil, false},
	{"0", silent, curriculum.Silent, nil, false},
	{"h", helped, curriculum.Success, []string{curriculum.UnnamedHelp}, false},
	{"e", early, curriculum.Success, []string{curriculum.UnnamedHelp}, true},
	{"o!", optOut, curriculum.OptOut, nil, false},
}

// alphabet is one trial, the plainest, of every sort that the rules of the level can tell apart.
func (s *searcher) alphabet() []letter {
	var out []letter
	sorts := map[string]bool{}
	sessions, days := false, false
	s.each(func(n *node) {
		sessions = sessions || s.stage.closes || n.op == opAfterSessions || n.track != nil && n.track.first || n.op == opRepeated && n.div.over == curriculum.Sessions
		days = days || n.op == opAfterDays || n.op == opRepeated && n.div.over == curriculum.Days
	})
	for _, detail := range s.details() {
		for _, k := range searchKinds {
			l := detail
			l.trial.Outcome, l.trial.Help, l.trial.Early = k.outcome, k.help, k.early
			l.next.Mark = k.mark
			sort := s.sortOf(&l.trial, k.kind)
			if sort == "" || sorts[sort] {
				continue
			}
			sorts[sort] = true
			l.plain, l.session, l.day = len(out), -1, -1
			out = append(out, l)
		}
	}
	s.days = days
	plain := len(out)
	for i := range plain {
		if sessions {
			l := out[i]
			l.later, l.next.NewSession = 2*time.Hour, true
			out[i].session = len(out)
			out = append(out, l)
		}
		if days {
			l := out[i]
			l.later, l.next.NewSession, l.next.NextDay = 24*time.Hour, true, true
			out[i].day = len(out)
			out = append(out, l)
		}
	}
	return out
}

// sortOf names what a trial is to every track and condition of the level, "" where it is nothing to any of them.
func (s *searcher) sortOf(t *curriculum.Trial, k kind) string {
	st := &state{slots: make([]uint64, s.b.slots), marks: make([]mark, s.b.marks)}
	t.Dog, t.Behaviour, t.At = s.d.name, s.b.src.Name, s.d.at
	s.f.facts = expression.Facts{Trial: t, Kind: factKind[k], Step: s.stage.step.Name, Dog: s.d.profile, Day: t.At}
	var b strings.Builder
	some := false
	s.f.first = true
	for _, tr := range slices.Concat(s.b.stopTracks, s.stage.tracks) {
		filled, counted := tr.take(s.f, st, t, k)
		fmt.Fprint(&b, filled, counted)
		if filled && tr.measure != "" {
			fmt.Fprint(&b, tr.measureAt(st, 0))
		}
		some = some || filled
	}
	some = s.divided(&b, t, k) || some
	s.each(func(n *node) {
		switch n.op {
		case opHolds:
			holds := s.f.holds(n.cond)
			fmt.Fprint(&b, holds)
			some = true
		case opAfterTrials, opAfterStep, opAfterSessions:
			fmt.Fprint(&b, evidence.has(k))
			some = some || evidence.has(k)
		case opAfterDays:
			some = true
		}
	})
	if s.stage.decide > 0 {
		fmt.Fprint(&b, evidence.has(k))
		some = some || evidence.has(k)
	}
	if !some {
		return ""
	}
	return b.String()
}
