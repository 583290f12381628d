package odds

import (
	"fmt"
	"slices"

	"example.com/rung/curriculum"
)

// Curve is the operating characteristic of a step's rules, or of a criterion: what they do to dogs of every chance of
// success.
type Curve struct {
	Steps   []Where   `json:"steps"` // with these rules; empty for a criterion
	Advance []string  `json:"advance"`
	Ease    []string  `json:"ease"`
	By      int       `json:"by"`
	Points  []Point   `json:"points"`
	HoldsAt []float64 `json:"holds_at"`
}

// Where is a step of a behaviour.
type Where struct {
	Behaviour string `json:"behaviour"`
	Step      string `json:"step"`
}

// Point is one dog: its chance of success, and the chance that it has been moved on, or eased, by trial By.
type Point struct {
	Chance  float64 `json:"chance"`
	Advance float64 `json:"advance"`
	Ease    float64 `json:"ease"`
}

// points is how many pieces a curve has.
const points = 50

// Curves are the curves of a curriculum, of one behaviour or of one step; "" means all. Steps whose rules mean the same
// share one. The chances of the question are not looked at.
func Curves(c *curriculum.Curriculum, behaviour, step string, q Question) ([]Curve, error) {
	q.Chances = []float64{.5} // nothing is worked out for it but what every stay is asked
	w, err := newWork(c, q)
	if err != nil {
		return nil, err
	}
	of := map[*figures]int{}
	var out []Curve
	err = w.each(behaviour, step, func(b *curriculum.Behaviour, i int) error {
		st, err := w.row(b, i)
		if err != nil {
			return err
		}
		at, known := of[st.figures]
		if !known {
			curve, err := w.curve(b.Steps[i], st)
			if err != nil {
				return err
			}
			at = len(out)
			of[st.figures] = at
			out = append(out, curve)
		}
		out[at].Steps = append(out[at].Steps, Where{b.Name, b.Steps[i].Name})
		return nil
	})
	return out, err
}

// CurveOf is the curve of a criterion that stands alone.
func CurveOf(when curriculum.Criterion, c *curriculum.Curriculum, q Question) (Curve, error) {
	q.Chances = []float64{.5}
	w, err := newWork(c, q)
	if err != nil {
		return Curve{}, err
	}
	step, st, err := w.criterion(when)
	if err != nil {
		return Curve{}, err
	}
	return w.curve(step, st)
}

// curve works out the points of one stay.
func (w *work) curve(s *curriculum.Step, st *studied) (Curve, error) {
	out := Curve{By: w.q.by()}
	out.Advance, out.Ease, _ = words(s)
	var err error
	if out.HoldsAt, err = st.balance(w.q.Dog); err != nil {
		return Curve{}, err
	}
	for i := range points + 1 {
		p := float64(i) / points
		c, err := st.chain(w.q.dog(p))
		if err != nil {
			return Curve{}, err
		}
		at := c.By(w.q.by())
		if st.beyond >= 0 && at[st.beyond] > tiny {
			return Curve{}, fmt.Errorf("%w: by trial %d the rules need more than %d", ErrTooMany, w.q.by(), st.shape.States())
		}
		point := Point{Chance: p}
		for j, r := range st.rules {
			switch r.Word {
			case curriculum.Advance:
				point.Advance += at[j]
			case curriculum.Ease:
				point.Ease += at[j]
			}
		}
		point.Advance, point.Ease = chance(point.Advance), chance(point.Ease)
		out.Points = append(out.Points, point)
	}
	return out, nil
}

// words are the moving rules of a step in the author's words.
func words(s *curriculum.Step) (advance, ease, split []string) {
	of := func(word curriculum.RuleWord) []string {
		out := []string{}
		for i := range s.Rules {
			if text := curriculum.CriterionNames(s.Rules[i].When); s.Rules[i].Word == word && !slices.Contains(out, text) {
				out = append(out, text)
			}
		}
		return out
	}
	return of(curriculum.Advance), of(curriculum.Ease), of(curriculum.Split)
}
