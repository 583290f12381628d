package engine_test

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// The helpers of this file build curricula and histories in few words.

func last(k, n int) curriculum.Window { return curriculum.Window{K: k, N: n} }

func missesOf(k, n int) curriculum.Window {
	return curriculum.Window{K: k, N: n, Count: curriculum.Misses}
}

func streak(n int) curriculum.Window { return curriculum.Window{K: n, N: n, InARow: true} }

func rule(word curriculum.RuleWord, when curriculum.Criterion) curriculum.Rule {
	return curriculum.Rule{Word: word, When: when, Pos: curriculum.Pos{File: "house.rung", Line: 10 + len(word)}}
}

func step(name string, rules ...curriculum.Rule) *curriculum.Step {
	return &curriculum.Step{Name: name, Prompts: []string{"word"}, Help: []string{"lure"}, Levels: []curriculum.Level{{}}, Rules: rules}
}

// turning gives a step a measured ramp over turn.
func turning(s *curriculum.Step, degrees ...int64) *curriculum.Step {
	r := curriculum.Ramp{Of: "turn", Measured: true}
	for _, d := range degrees {
		r.Values = append(r.Values, curriculum.LevelValue{Quantity: curriculum.Q(d, curriculum.Degree)})
	}
	s.Ramps = []curriculum.Ramp{r}
	s.Levels = curriculum.LayOut(s.Ramps, s.Raise)
	return s
}

func behaviour(name string, steps ...*curriculum.Step) *curriculum.Behaviour {
	return &curriculum.Behaviour{Name: name, Steps: steps}
}

func house(bs ...*curriculum.Behaviour) *curriculum.Curriculum {
	return &curriculum.Curriculum{Name: "Pindrift test", Places: []string{"room-a", "yard"}, Handlers: []string{"senior", "owner"},
		Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}},
		Signs:    []curriculum.Sign{{Name: "growl"}, {Name: "limp", Locks: curriculum.LockBehaviour}, {Name: "turns-away", Locks: curriculum.EndBehaviour}}, Behaviours: bs}
}

func compile(t testing.TB, c *curriculum.Curriculum) *engine.Program {
	t.Helper()
	p, err := engine.Compile(c)
	require.NoError(t, err)
	return p
}

var monday = time.Date(2026, 3, 2, 17, 0, 0, 0, time.UTC)

// diary writes a dog's trials in tally marks: + - 0 h e o x, `|` a new session two hours later, `D` the next day.
type diary struct {
	dog  string
	at   time.Time
	n    int
	list []curriculum.Entry
}

func (d *diary) mark(behaviour string, mark rune) *curriculum.Trial {
	d.n++
	t := curriculum.Trial{ID: "t" + strconv.Itoa(d.n), Dog: d.dog, Behaviour: behaviour, At: d.at, Source: "diary", Line: d.n}
	switch mark {
	case '+':
		t.Outcome = curriculum.Success
	case '-':
		t.Outcome = curriculum.Wrong
	case '0':
		t.Outcome = curriculum.Silent
	case 'h':
		t.Outcome, t.Help = curriculum.Success, []string{curriculum.UnnamedHelp}
	case 'e':
		t.Outcome, t.Help, t.Early = curriculum.Success, []string{curriculum.UnnamedHelp}, true
	case 'o':
		t.Outcome = curriculum.OptOut
	case 'x':
		t.Outcome = curriculum.Void
	default:
		panic("no such mark")
	}
	d.at = d.at.Add(20 * time.Second)
	d.list = append(d.list, curriculum.Entry{Trial: t})
	return &d.list[len(d.list)-1].Trial
}

func (d *diary) tally(behaviour, marks string) *diary {
	for _, m := range strings.ReplaceAll(marks, " ", "") {
		switch m {
		case '|':
			d.at = d.at.Add(2 * time.Hour)
		case 'D':
			d.at = d.at.Add(24 * time.Hour)
		default:
			d.mark(behaviour, m)
		}
	}
	return d
}

func okapi() *diary { return &diary{dog: "okapi", at: monday} }

// stands is a dog's only behaviour after a tally.
func stands(t testing.TB, p *engine.Program, d *diary) engine.BehaviourStanding {
	t.Helper()
	f := p.NewFold()
	for i := range d.list {
		require.NoError(t, f.Take(&d.list[i]))
	}
	return f.Standing(f.Now()).Dogs[0].Behaviours[0]
}
