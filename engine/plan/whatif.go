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
// at r.At, in their order, and the plan is made for the moment that session is over. A trial needs a behaviour and an
// outcome; place and handler are the request's where it has none. The fold is left as it is. The error says which trial
// cannot be taken.
func NextIf(p *engine.Program, f *engine.Fold, r Request, trials []curriculum.Trial) (*Plan, error) {
	if _, err := viewOf(p, f, r); err != nil {
		return nil, err
	}
	f = f.Copy()
	for i, t := range trials {
		// a second apart, as in a tally book: nobody's pace
		t.ID, t.Dog, t.At, t.Session = fmt.Sprintf("if %d at %s", i+1, r.At.Format(time.RFC3339Nano)), r.Dog, r.At.Add(time.Duration(i)*time.Second), "if at "+r.At.Format(time.RFC3339Nano)
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
	r.At = r.At.Add(time.Duration(len(trials))*time.Second + afterSession)
	next, err := Next(p, f, r)
	if err != nil {
		return nil, err
	}
	next.If = tallied(trials)
	return next, nil
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
