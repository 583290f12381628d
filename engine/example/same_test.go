package example

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/internal/naive/cases"
)

// happened is all that a history does to a behaviour.
type happened struct {
	moves []string
	noted []string
}

func happens(t *testing.T, p *engine.Program, behaviour string, items []curriculum.ExampleItem) (h happened) {
	pl := newPlayer(p, script{items: items}, nil)
	pl.items(items)
	require.Empty(t, pl.failures)
	s, _ := pl.fold.Of(nobody, behaviour, pl.now.Add(betweenSessions))
	for _, m := range s.Moves {
		h.moves = append(h.moves, m.Trial+" "+m.Rule+" "+placeText(p.Curriculum(), behaviour, m.To.Step, m.To.Level))
	}
	for _, n := range s.Noted {
		h.noted = append(h.noted, n.Trial+" "+n.Rule)
	}
	return h
}

// Where a change is said to make no difference, no random history tells the two apart; where a history is given that
// tells them apart, there is at least a difference to be found.
func TestWhatIsSaidToBeTheSameIsTheSameOnRandomHistories(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	on := map[cases.Feature]bool{}
	for _, f := range []cases.Feature{cases.Ease, cases.Stop, cases.Flag, cases.Sliding, cases.Streak, cases.Misses, cases.Silents, cases.AtMost, cases.Done,
		cases.AfterTrials, cases.And, cases.Or, cases.OneRamp, cases.InSession, cases.CountInSession, cases.Block, cases.InSessions} {
		on[f] = true
	}
	same, told := 0, 0
	marks := []curriculum.Mark{{Outcome: curriculum.Success}, {Outcome: curriculum.Success}, {Outcome: curriculum.Success}, {Outcome: curriculum.Wrong}, {Outcome: curriculum.Silent},
		{Outcome: curriculum.Success, Help: curriculum.LateHelp}, {Outcome: curriculum.Success, Help: curriculum.EarlyHelp}, {Outcome: curriculum.OptOut}, {Bar: curriculum.SessionBar}}
	for seed := range uint64(15) {
		c := cases.Make(seed, on).Curriculum
		p, err := engine.Compile(c)
		require.NoError(t, err)
		s := &sameness{c: c, known: map[string]difference{}}
		r := rand.New(rand.NewPCG(seed, 3))
		for _, ch := range changesOf(c) {
			d := s.of(&ch)
			if !d.none {
				if d.history != "" {
					told++
				}
				continue
			}
			changed, err := engine.Compile(ch.apply(c))
			if err != nil {
				continue
			}
			same++
			at := sortedRules(ch.rules)[0]
			b := c.Behaviours[at.Behaviour]
			for range 30 {
				start := &curriculum.ExampleStart{Behaviour: b.Name, Kept: at.Step == len(b.Steps)}
				if !start.Kept {
					start.Step = b.Steps[at.Step].Name
				}
				line := &curriculum.ExampleTrials{Behaviour: b.Name}
				for range 1 + r.IntN(30) {
					line.Marks = append(line.Marks, marks[r.IntN(len(marks))])
				}
				items := []curriculum.ExampleItem{{Start: start}, {Trials: line}}
				require.Equal(t, happens(t, p, b.Name, items), happens(t, changed, b.Name, items), "seed %d: %s\n%s -> %s", seed, c.ExampleText(curriculum.Example{Items: items}), ch.Was, ch.Now)
			}
		}
	}
	t.Logf("%d the same, %d told apart", same, told)
	require.Positive(t, same)
	require.Greater(t, told, same)
}
