package plan

import (
	"fmt"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// afterSession is how long after a session's last trial the session is over.
const afterSession = 30 * time.Minute

// NextIf is the session that would come after one that has not been: trials are taken as a session of r.Dog's that begins
// at r.At, in their order, and the plan is made for the moment that session is over; it says what would have moved. A
// trial needs a behaviour and an outcome; place and handler are the request's where it has none. The fold is left as it
// is. The error says which trial cannot be taken.
func NextIf(p *engine.Program, f *engine.Fold, r Request, trials []curriculum.Trial) (*Plan, error) {
	if _, err := viewOf(p, f, r); err != nil {
		return nil, err
	}
	f = f.Copy()
	for i, t := range trials {
		// a second apart, as in a tally book: nobody's pace
		t.ID, t.Dog, t.At, t.Session = supposed(i+1, r.At), r.Dog, r.At.Add(time.Duration(i)*time.Second), "if at "+r.At.Format(time.RFC3339Nano)
		if t.Place == "" {
			t.Place = r.Place
		}
		if t.Handler == "" {
			t.Handler = r.Handler
		}
		if err := f.Record(&t); err != nil {
			return nil, err
		}
	}
	begun := r.At
	r.At = r.At.Add(time.Duration(len(trials))*time.Second + afterSession)
	next, err := Next(p, f, r)
	if err != nil {
		return nil, err
	}
	next.If = tallied(trials)
	made := map[string]bool{}
	for i := range trials {
		made[supposed(i+1, begun)] = true
	}
	for _, d := range f.Standing(r.At).Dogs {
		if d.Dog == r.Dog {
			next.IfMoves = movesBy(p.Curriculum(), &d, made)
		}
	}
	return next, nil
}

// supposed is the id of a trial that has not been.
func supposed(n int, at time.Time) string {
	return fmt.Sprintf("if %d at %s", n, at.Format(time.RFC3339Nano))
}

// movesBy is the moves that some trials made, behaviour by behaviour, in the order in which they were made.
func movesBy(c *curriculum.Curriculum, d *engine.DogStanding, made map[string]bool) (out []IfMove) {
	for _, s := range d.Behaviours {
		b := c.Behaviour(s.Behaviour)
		for _, m := range s.Moves {
			if made[m.Trial] {
				out = append(out, IfMove{s.Behaviour, m, s.Behaviour + moveWords(b, &m)})
			}
		}
	}
	return out
}

// moveWords is where a move leads.
func moveWords(b *curriculum.Behaviour, m *engine.Move) string {
	to := placeWords(b, m.To)
	switch from := placeWords(b, m.From); {
	case m.To.Kept:
		return " would be finished"
	case from == to:
		return " would begin anew at " + to
	case m.Rule == string(curriculum.Split):
		return " would go on half-way, at " + to
	case m.Rule == string(curriculum.Ease), m.Rule == string(curriculum.Lapse):
		return " would go back to " + to
	default:
		return " would go on to " + to
	}
}

// placeWords is a step and its level, the ramps in the order of the text.
func placeWords(b *curriculum.Behaviour, p engine.Place) string {
	text := p.Step
	if i := b.Step(p.Step); i >= 0 {
		for _, r := range b.Steps[i].Ramps {
			if v, ok := p.Level[r.Of]; ok {
				text += " " + r.Of + " " + v
			}
		}
	}
	return text
}

// tallied is trials in words, behaviour by behaviour in the order in which they first come up.
func tallied(trials []curriculum.Trial) string {
	var names, out []string
	good, all := map[string]int{}, map[string]int{}
	for _, t := range trials {
		if all[t.Behaviour]++; all[t.Behaviour] == 1 {
			names = append(names, t.Behaviour)
		}
		if t.Outcome == curriculum.Success && len(t.Help) == 0 {
			good[t.Behaviour]++
		}
	}
	for _, n := range names {
		out = append(out, fmt.Sprintf("%s %d of %d good", n, good[n], all[n]))
	}
	return strings.Join(out, ", ")
}
