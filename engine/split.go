package engine

import (
	"fmt"
	"math/big"
	"slices"

	"example.com/rung/curriculum"
)

// easeCount is how often a dog eased out of a level since a split last fell due there.
type easeCount struct {
	level *level
	n     int
}

// eased is the count for the present level.
func (st *state) eased() int {
	for i := range st.eases {
		if st.eases[i].level == st.lv() {
			return st.eases[i].n
		}
	}
	return 0
}

// setEased changes the count of a level. The list is made anew: copies of a state share it.
func (st *state) setEased(l *level, n int) {
	st.eases = slices.DeleteFunc(slices.Clone(st.eases), func(e easeCount) bool { return e.level == l })
	if n > 0 {
		st.eases = append(st.eases, easeCount{l, n})
	}
}

// room reports whether a split would put something in before the present level; of numbers also which level.
func (st *state) room(r *rule) (curriculum.Level, bool) {
	switch sg := st.sg(); {
	case len(r.src.Into) > 0:
		return curriculum.Level{}, !slices.Contains(st.pieced, st.lv()) && !st.lv().piece()
	case st.level == 0:
		return curriculum.Level{}, false
	default:
		return halfWay(st.levels(sg)[st.level-1].values, st.lv().values, sg.step.Ramps)
	}
}

// putIn puts in what a split asks for, before the present level, and returns the first of it; nil where there is no
// room. What was put in belongs to this dog.
func (f *Fold) putIn(st *state, r *rule) *level {
	l, ok := st.room(r)
	if !ok {
		return nil
	}
	sg := st.sg()
	var fresh []*level
	if len(r.src.Into) > 0 {
		st.pieced = append(slices.Clone(st.pieced), st.lv())
		for _, name := range r.src.Into {
			v := curriculum.NamedValue{Of: curriculum.PieceRamp, LevelValue: curriculum.LevelValue{Name: name}}
			fresh = append(fresh, f.p.ownLevel(sg, curriculum.Level{Values: []curriculum.NamedValue{v}}))
		}
	} else {
		fresh = append(fresh, f.p.ownLevel(sg, l))
	}
	own := make([][]*level, len(st.b.stages))
	copy(own, st.own)
	own[sg.index] = slices.Insert(slices.Clone(st.levels(sg)), st.level, fresh...)
	st.own = own
	st.level += len(fresh)
	return fresh[0]
}

// piece reports whether a split put the level in under a name: there is nothing smaller to put before it.
func (l *level) piece() bool {
	_, named := l.values.Get(curriculum.PieceRamp)
	return named
}

// ownLevel compiles a level that belongs to one dog.
func (p *Program) ownLevel(sg *stage, l curriculum.Level) *level {
	out := p.level(sg, l, 0)
	out.own = true
	return out
}

// halfWay is the level between two: every numeric ramp that differs by more than its grain is halved, in the unit of
// the easier one; the rest stays as there.
func halfWay(before, this curriculum.Level, ramps []curriculum.Ramp) (out curriculum.Level, room bool) {
	for _, v := range before.Values {
		w, ok := this.Get(v.Of)
		at := slices.IndexFunc(ramps, func(r curriculum.Ramp) bool { return r.Of == v.Of })
		if ok && at >= 0 && !v.Quantity.IsZero() && !w.Quantity.IsZero() {
			if q, ok := between(v.Quantity, w.Quantity, &ramps[at]); ok {
				v.Quantity, room = q, true
			}
		}
		out.Values = append(out.Values, v)
	}
	return out, room
}

// between is half-way between two values of a ramp, to the nearest multiple of its grain, ties to the easier side.
func between(a, b curriculum.Quantity, ramp *curriculum.Ramp) (curriculum.Quantity, bool) {
	x, y, grain := a.Base(), b.Base(), ramp.Grain.Base()
	gap := new(big.Rat).Sub(y, x)
	if gap.Abs(gap).Cmp(grain) <= 0 {
		return a, false
	}
	mid := new(big.Rat).Add(x, y)
	mid.Quo(mid, big.NewRat(2, 1))
	if grain.Sign() > 0 {
		// floor(mid/grain + 1/2) sends a tie up; from above, -floor(-mid/grain + 1/2) sends it down
		steps := new(big.Rat).Quo(mid, grain)
		if !ramp.Falling {
			steps.Neg(steps)
		}
		steps.Add(steps, big.NewRat(1, 2))
		n := new(big.Int).Div(steps.Num(), steps.Denom())
		if !ramp.Falling {
			n.Neg(n)
		}
		mid.Mul(new(big.Rat).SetInt(n), grain)
	}
	return curriculum.FromBase(mid, a.Unit)
}

// resumeLevel is a level of a dog's own list: null is one of the curriculum's, in their order.
type resumeLevel [][2]string

type resumeOwn struct {
	Step   string        `json:"step"`
	Levels []resumeLevel `json:"levels"`
}

// resumeAt is a number kept of one level.
type resumeAt struct {
	Step  string `json:"step"`
	Level int    `json:"level"`
	N     int    `json:"n,omitempty"`
}

func (st *state) saveOwn(r *resumeBehaviour) {
	for i, levels := range st.own {
		if levels == nil {
			continue
		}
		o := resumeOwn{Step: st.b.stages[i].step.Name}
		for _, l := range levels {
			var texts resumeLevel
			if l.own {
				for _, v := range l.values.Values {
					texts = append(texts, [2]string{v.Of, v.LevelValue.String()})
				}
			}
			o.Levels = append(o.Levels, texts)
		}
		r.Own = append(r.Own, o)
	}
	at := func(l *level, n int) resumeAt {
		return resumeAt{l.stage.step.Name, slices.Index(st.levels(l.stage), l), n}
	}
	for _, e := range st.eases {
		r.Eases = append(r.Eases, at(e.level, e.n))
	}
	for _, l := range st.pieced {
		r.Pieced = append(r.Pieced, at(l, 0))
	}
}

func (f *Fold) loadOwn(st *state, r *resumeBehaviour) error {
	for _, o := range r.Own {
		i, ok := st.b.steps[o.Step]
		if !ok || len(o.Levels) > maxLevels {
			return fmt.Errorf("levels of the unknown step %q, or too many", o.Step)
		}
		sg := st.b.stages[i]
		next := 0
		var levels []*level
		for _, texts := range o.Levels {
			if texts == nil {
				if next == len(sg.levels) {
					return fmt.Errorf("more levels of %q than it has", o.Step)
				}
				levels = append(levels, sg.levels[next])
				next++
				continue
			}
			var l curriculum.Level
			for _, t := range texts {
				v, ok := curriculum.ParseLevelValue(t[0], t[1])
				if !ok {
					return fmt.Errorf("a level of %q that cannot be read: %s", o.Step, t[1])
				}
				l.Values = append(l.Values, curriculum.NamedValue{Of: t[0], LevelValue: v})
			}
			levels = append(levels, f.p.ownLevel(sg, l))
		}
		if next != len(sg.levels) {
			return fmt.Errorf("fewer levels of %q than it has", o.Step)
		}
		if st.own == nil {
			st.own = make([][]*level, len(st.b.stages))
		}
		st.own[i] = levels
	}
	at := func(a resumeAt) (*level, error) {
		i, ok := st.b.steps[a.Step]
		if !ok || a.Level < 0 || a.Level >= len(st.levels(st.b.stages[i])) {
			return nil, fmt.Errorf("no level %d at %q", a.Level, a.Step)
		}
		return st.levels(st.b.stages[i])[a.Level], nil
	}
	for _, e := range r.Eases {
		l, err := at(e)
		if err != nil {
			return err
		}
		st.eases = append(st.eases, easeCount{l, e.N})
	}
	for _, e := range r.Pieced {
		l, err := at(e)
		if err != nil {
			return err
		}
		st.pieced = append(st.pieced, l)
	}
	return nil
}
