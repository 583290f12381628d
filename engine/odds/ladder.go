package odds

import (
	"math"

	"example.com/rung/curriculum"
)

// passage is how many trials lie between entering a level (or a step) for the first time and reaching the next, with
// all the ways back in between.
type passage struct{ mean, variance float64 }

func (p *passage) add(o passage) { p.mean, p.variance = p.mean+o.mean, p.variance+o.variance }

var endless = passage{math.Inf(1), math.Inf(1)}

// passages are the passages of the steps of a behaviour up to one, for each chance.
func (w *work) passages(b *curriculum.Behaviour, upTo int) ([][]passage, error) {
	first := make([]int, len(b.Steps)+1) // level with which a step begins, all levels in one row
	for i, s := range b.Steps {
		first[i+1] = first[i] + levelsOf(s)
	}
	out := make([][]passage, len(w.q.chances()))
	levels := make([][]passage, len(out)) // entered by a move
	for i := 0; i <= upTo; i++ {
		s := b.Steps[i]
		of, err := movers(w.c, b, i, 0, false)
		if err != nil {
			return nil, err
		}
		st, err := w.study(b, s, of, false)
		if err != nil {
			return nil, err
		}
		fresh := st
		if i == 0 {
			if fresh, err = w.study(b, s, of, true); err != nil {
				return nil, err
			}
		}
		for j := range out {
			var whole passage
			for l := first[i]; l < first[i+1]; l++ {
				// levels[j][t] to levels[j][l-1] are the passages on the way back up
				back := func(r *curriculum.Rule) passage {
					var p passage
					for k := target(b, first, i, l, r); k < l; k++ {
						p.add(levels[j][k])
					}
					return p
				}
				again := through(&st.times[j], st, back, nil)
				levels[j] = append(levels[j], again)
				if l == 0 {
					again = through(&fresh.times[j], fresh, back, &again)
				}
				whole.add(again)
			}
			out[j] = append(out[j], whole)
		}
	}
	return out, nil
}

// target is where an ease leads, as a level among all.
func target(b *curriculum.Behaviour, first []int, step, level int, r *curriculum.Rule) int {
	switch to := b.Step(r.To); {
	case r.To == "":
		return max(0, level-1)
	case to < 0 || to >= step: // refused by engine.Compile
		return level
	case r.ToFirst:
		return first[to]
	default:
		return first[to+1] - 1
	}
}

// through is the passage of a level: a stay, and where it ends in an ease the way back up and the level anew (again,
// or the same kind of stay where that is nil). With T the passage, t the stay and B the way back, T = t + B + T' where the
// stay ends in an ease and T = t where it does not; moments of both sides are compared.
func through(t *Times, s *studied, back func(*curriculum.Rule) passage, again *passage) passage {
	if math.IsInf(t.Mean, 1) {
		return endless
	}
	square := t.SD*t.SD + t.Mean*t.Mean
	up, mean, second := 0.0, t.Mean, square
	type way struct {
		chance, spent float64
		back          passage
	}
	var ways []way
	for i, r := range s.rules {
		e := t.Ends[i]
		switch {
		case e.Chance == 0:
		case r.Word == curriculum.Advance:
			up += e.Chance
		default:
			v := way{e.Chance, e.Chance * e.Mean, back(s.of[i])}
			ways = append(ways, v)
			mean += v.chance * v.back.mean
		}
	}
	same := again == nil
	switch {
	case up == 0 && (same || math.IsInf(again.mean, 0)), math.IsInf(mean, 0):
		return endless
	case same:
		mean /= up
		again = &passage{mean: mean}
	default:
		mean += (1 - up) * again.mean
	}
	for _, v := range ways {
		rest := v.back.mean + again.mean
		second += 2*v.spent*rest + v.chance*(v.back.variance+again.variance+rest*rest)
	}
	variance := spread(second, mean)
	if same {
		variance /= up
	}
	return passage{mean, variance}
}

// ladders add the passages of all steps up: a step is entered for the first time only from the one before, and what
// comes then does not depend on how.
func (w *work) ladders(b *curriculum.Behaviour, passages [][]passage) {
	for j, p := range w.q.chances() {
		l := Ladder{Behaviour: b.Name, Chance: p}
		var whole passage
		for i, step := range passages[j] {
			if math.IsInf(step.mean, 0) && l.Endless == "" {
				l.Endless = b.Steps[i].Name
			}
			whole.add(step)
		}
		l.Mean, l.SD = Trials(whole.mean), Trials(math.Sqrt(whole.variance))
		w.answer.Ladders = append(w.answer.Ladders, l)
	}
}
