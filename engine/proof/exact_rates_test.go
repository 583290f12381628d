package proof

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
)

// The swing that HOUSE rules are compared by: up with 4 of 5, back with 3 misses of 5, and through the engine.
func TestTheShortestSwingGoesUpAndBack(t *testing.T) {
	for _, c := range []struct {
		advance, ease string
		trials        int
	}{{"4 of last 5", "3 misses of last 5", 7}, {"3 in a row", "1 misses of last 1", 4}, {"5 of last 6", "2 misses of last 4", 7}, {"8 of each 10", "5 misses of each 10", 20}} {
		cur, ds := dsl.ReadString("a.rung", "rung 1\nbehaviour spin {\n  step one {\n    ramp duration 1 s, 2 s\n    advance when "+c.advance+"\n    ease when "+c.ease+"\n  }\n}\n")
		require.Empty(t, ds.Text())
		s := &subject{c: cur}
		r := s.rungs()[0]
		j := &judge{x: &machinery{c: cur, budget: DefaultStates, made: map[string]*machines{}}, rung: r}
		sw, ok, err := j.swing()
		require.NoError(t, err)
		require.True(t, ok)
		require.Equal(t, c.trials, sw.trials, "%s against %s", c.advance, c.ease)
		for i, w := range sw.ways {
			moves, _, last, err := (player{r, cur}).play(w.history, w.machine)
			require.NoError(t, err)
			require.Equal(t, []happened{{last, i}}, moves)
		}
	}
}

// A block of ten at even chances is neither 9 good nor 9 bad: 22 of 1024 sequences end the wait, so
// it takes 10 x 1024/22 trials.
func TestALongWaitIsWorkedOut(t *testing.T) {
	for _, e := range exactCodes {
		if e.Code != codeLongWait {
			continue
		}
		c, ds := dsl.ReadString("page.rung", e.Faulty)
		require.Empty(t, ds.Text())
		j := &judge{x: &machinery{c: c, budget: DefaultStates, made: map[string]*machines{}}, rung: (&subject{c: c}).rungs()[0]}
		w, ok := j.steady()
		require.True(t, ok)
		require.InDelta(t, 10*1024.0/22, w.worst, 1e-9)
		require.InDelta(t, 0.5, w.chance, 1e-12)
	}
}

// So does every swing that the school's own levels have.
func TestTheSchoolsSwingsGoUpAndBack(t *testing.T) {
	c, err := dsl.ReadFile("../../examples/pindrift/house.rung")
	require.NoError(t, err)
	x := &machinery{c: c, budget: 20_000, made: map[string]*machines{}}
	seen := map[string]bool{}
	played := 0
	for _, r := range (&subject{c: c}).rungs() {
		if seen[r.stay.Key()] || r.step == len(r.b.Steps) {
			continue
		}
		seen[r.stay.Key()] = true
		j := &judge{x: x, rung: r}
		sw, ok, err := j.swing()
		require.NoError(t, err)
		if !ok || sw.because != "" { // of a dog of some age
			continue
		}
		for i, w := range sw.ways {
			word := []curriculum.RuleWord{curriculum.Advance, curriculum.Ease}[i]
			moves, _, last, err := (player{r, c}).play(w.history, w.machine)
			require.NoError(t, err)
			require.Len(t, moves, 1, "%s at %s: %v", r.b.Name, r.name(), sw.marks)
			require.Equal(t, last, moves[0].trial, "%s at %s: %v", r.b.Name, r.name(), sw.marks)
			require.Equal(t, word, r.stay.Rules[moves[0].rule].Word)
			played++
		}
	}
	require.Greater(t, played, 20)
}
