package engine

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// spot is where a trial belongs.
type spot struct {
	stage    *stage
	level    *level // nil where the step lists no such level
	here     bool   // at the dog's present level
	short    bool   // asked for less than the full value of a ramp that varies
	unlisted *curriculum.NamedValue
}

// spot finds where a trial that names step and level belongs, stage being known already.
func (st *state) spot(sg *stage, ref curriculum.LevelRef) spot {
	present := st.sg()
	same := sg == present || present.kept && sg.index == present.index-1
	if same && meets(st.lv(), ref) {
		return spot{stage: present, level: st.lv(), here: true}
	}
	if lv := st.lv(); same && len(lv.spans) > 0 {
		// values change inside such a level: one of them is no other level
		if ok, short := lv.asks(ref); ok {
			return spot{stage: present, level: lv, here: true, short: short}
		}
	}
	levels := st.levels(sg)
	if len(ref) == 0 {
		return spot{stage: sg, level: levels[0]}
	}
	for _, l := range levels {
		if meets(l, ref) {
			return spot{stage: sg, level: l}
		}
	}
	for i, v := range ref {
		if !slices.ContainsFunc(levels, func(l *level) bool { ok, _ := l.asks(ref[i : i+1]); return ok }) {
			return spot{stage: sg, unlisted: &v}
		}
	}
	return spot{stage: sg}
}

// mostLevels is how many levels a report lists.
const mostLevels = 8

// nearLevel says, behind a level that the step does not list, which one is meant or which there are.
func (sg *stage) nearLevel(v *curriculum.NamedValue) string {
	var of, values []string
	for _, r := range sg.step.Ramps {
		of = append(of, r.Of)
		if r.Of != v.Of {
			continue
		}
		for _, has := range r.Values {
			if has.Quantity.Unit != v.Quantity.Unit && has.Quantity.Num == v.Quantity.Num && has.Quantity.Den == v.Quantity.Den && !has.Quantity.IsZero() {
				return fmt.Sprintf(" (did you mean %s %s?)", v.Of, has)
			}
			values = append(values, has.String())
		}
	}
	switch n := len(values); {
	case n == 0:
		return near(v.Of, of)
	case n > mostLevels:
		values = append(values[:mostLevels-1], "...", values[n-1])
	}
	return fmt.Sprintf(" (there are %s)", strings.Join(values, ", "))
}

// meets reports whether a level agrees with all that ref names.
func meets(l *level, ref curriculum.LevelRef) bool {
next:
	for i := range ref {
		for j := range l.values.Values {
			if v := &l.values.Values[j]; v.Of == ref[i].Of {
				if !sameValue(&v.LevelValue, &ref[i].LevelValue) {
					return false
				}
				continue next
			}
		}
		return false
	}
	return true
}

// sameValue is LevelValue.Equal, without arithmetic where both are written in one unit.
func sameValue(a, b *curriculum.LevelValue) bool {
	if a.Thin != nil || b.Thin != nil || a.Name != "" || b.Name != "" {
		return a.Equal(*b)
	}
	p, q := a.Quantity, b.Quantity
	const small = 1 << 31
	if p.Unit == q.Unit && p.Den > 0 && q.Den > 0 && abs(p.Num) < small && abs(q.Num) < small && p.Den < small && q.Den < small {
		return p.Num*q.Den == q.Num*p.Den
	}
	return a.Equal(*b)
}

func abs(n int64) int64 {
	if n < 0 {
		return -n
	}
	return n
}

// bars are the measures that decide a trial at the spot.
func (f *Fold) bars(sp *spot, ref curriculum.LevelRef) []bar {
	if sp.level != nil {
		return sp.level.askedBars(ref, f.p.measures)
	}
	var out []bar
	for _, r := range sp.stage.step.Ramps {
		for _, v := range ref {
			if v.Of == r.Of && r.Measured && !v.Quantity.IsZero() {
				out = append(out, bar{r.Of, v.Quantity.In(f.p.measures[r.Of]), r.Falling})
			}
		}
	}
	return out
}

// decide is the outcome of a trial, worked out from its measures where it has none of its own. carried says whether
// any measure of the level was recorded, missing names one that was not, contrary that what was written disagrees.
func decide(t *curriculum.Trial, bars []bar) (o curriculum.Outcome, carried bool, missing string, contrary bool) {
	met := true
	failed := false
	for _, b := range bars {
		v, ok := t.Measure(b.measure)
		switch {
		case !ok:
			met = false
			if missing == "" {
				missing = b.measure
			}
			continue
		case !b.met(v):
			met, failed = false, true
		}
		carried = true
	}
	switch t.Outcome {
	case curriculum.NoOutcome:
		if met {
			return curriculum.Success, carried, missing, false
		}
		return curriculum.Wrong, carried, missing, false
	case curriculum.Success:
		return t.Outcome, carried, "", failed
	case curriculum.Wrong:
		return t.Outcome, carried, "", carried && met
	}
	return t.Outcome, carried, "", false
}

// beyond reports whether a trial had help beyond the prompts of its step.
func beyond(t *curriculum.Trial, s *curriculum.Step) bool {
	if len(t.Help) == 0 {
		return t.Early
	}
	for _, h := range t.Help {
		if !slices.Contains(s.Prompts, h) {
			return true
		}
	}
	return false
}

// kindOf is what a trial is.
func kindOf(o curriculum.Outcome, helpedBeyond, wasEarly bool) kind {
	switch {
	case o == curriculum.Void:
		return void
	case o == curriculum.OptOut:
		return optOut
	case helpedBeyond && wasEarly:
		return early
	case o == curriculum.Wrong:
		return wrong
	case o == curriculum.Silent:
		return silent
	case helpedBeyond:
		return helped
	}
	return success
}
