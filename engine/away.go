package engine

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/rung/curriculum"
)

// away compiles `after N days away ease ...` of all session blocks, the longest pause first: what happens between
// sessions belongs to no kind of session. Of two for one pause the further ease comes first.
func (cp *compiler) away() {
	for _, s := range cp.c.Sessions {
		if s == nil {
			continue
		}
		for j := range s.Away {
			a := &s.Away[j]
			if a.Days < 1 || a.Levels < 1 {
				cp.refuse(a.Pos, CodeBroken, "after days away", "", "", "`%s` counts less than one", awayText(a)).fix("write one day and one level at least")
				continue
			}
			cp.p.away = append(cp.p.away, a)
		}
	}
	slices.SortStableFunc(cp.p.away, func(a, b *curriculum.Away) int {
		return cmp.Or(cmp.Compare(b.Days, a.Days), cmp.Compare(b.Levels, a.Levels))
	})
}

func awayText(a *curriculum.Away) string {
	levels := "one level"
	if a.Levels != 1 {
		levels = fmt.Sprintf("%d levels", a.Levels)
	}
	return fmt.Sprintf("after %s away ease %s", count(a.Days, "day"), levels)
}

// awayRule is the rule that a trial after a pause brings about before it is taken, or nil.
func (f *Fold) awayRule(d *dog, st *state, t *curriculum.Trial) *curriculum.Away {
	if t.Outcome == curriculum.Void || st.last.IsZero() {
		return nil
	}
	pause := dayOf(t.At) - dayOf(st.last)
	for _, a := range f.p.away {
		if pause >= a.Days {
			if s := f.stateOf(d, st.b, st, t.At); s == curriculum.Working || s == curriculum.Lapsed {
				return a
			}
			return nil
		}
	}
	return nil
}

// below is the place so many levels before the present one.
func (st *state) below(levels int) (stage, lvl int) {
	stage, lvl = st.stage, st.level
	for range levels {
		switch {
		case lvl > 0:
			lvl--
		case stage > 0:
			stage--
			lvl = len(st.levels(st.b.stages[stage])) - 1
		}
	}
	return stage, lvl
}

// easeAway is the ease after a pause; no `eased` counts it.
func (f *Fold) easeAway(d *dog, st *state, t *curriculum.Trial, a *curriculum.Away) {
	stage, lvl := st.below(a.Levels)
	f.moveTo(d, st, moved{away: a, from: st.place(), part: -1, trial: t.ID, at: t.At}, stage, lvl)
}
