package engine_test

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// TestEvidenceByHandlerAndPlaceAgreesWithARescan counts every trial again by hand, and resumes in between.
func TestEvidenceByHandlerAndPlaceAgreesWithARescan(t *testing.T) {
	p := compile(t, nearAndFurther())
	rapid.Check(t, func(rt *rapid.T) {
		d := &diary{dog: "okapi", at: monday}
		d.tally("touch", rapid.StringMatching(`([+\-0hxe|]){1,60}`).Draw(rt, "marks"))
		f := p.NewFold()
		cut := rapid.IntRange(0, len(d.list)).Draw(rt, "saved at")
		type tally struct {
			all, void int
			good      []bool
			here      int
		}
		want := map[string]*tally{}
		moves := 0
		for i := range d.list {
			tr := &d.list[i].Trial
			tr.Handler = rapid.SampledFrom([]string{"", "senior", "owner", "Anwen"}).Draw(rt, "handler")
			if i == cut {
				var b bytes.Buffer
				require.NoError(rt, f.Save(&b))
				var err error
				f, err = p.Resume(&b)
				require.NoError(rt, err)
			}
			require.NoError(rt, f.Record(tr))
			w := want[tr.Handler]
			if w == nil {
				w = &tally{}
				want[tr.Handler] = w
			}
			w.all++
			switch {
			case tr.Outcome == curriculum.Void:
				w.void++
			case tr.Early:
			default:
				w.good = append(w.good, tr.Outcome == curriculum.Success && len(tr.Help) == 0)
				w.here++
			}
			if n := len(f.Standing(tr.At).Dogs[0].Behaviours[0].Moves); n != moves {
				moves = n
				for _, o := range want {
					o.here = 0
				}
			}
		}
		got := f.Apart(engine.ByHandler)
		if len(d.list) == 0 {
			require.Empty(rt, got.Dogs)
			return
		}
		parts := got.Dogs[0].Behaviours[0].Parts
		require.Len(rt, parts, len(want))
		order := map[string]int{"senior": 0, "owner": 1, "Anwen": 2, "": 3}
		for i, part := range parts {
			w := want[part.Name]
			newest := w.good[max(0, len(w.good)-10):]
			here := w.good[len(w.good)-w.here:]
			require.Equal(rt, engine.Part{Name: part.Name, Trials: w.all, Spoiled: w.void, Newest: tallyOf(newest), Here: tallyOf(here)}, part)
			if i > 0 {
				require.Less(rt, order[parts[i-1].Name], order[part.Name])
			}
		}
	})
}

func tallyOf(good []bool) engine.Tally {
	t := engine.Tally{Evidence: len(good)}
	for _, g := range good {
		if g {
			t.Successes++
		}
	}
	return t
}

func TestTooManyNamesAreLumpedTogether(t *testing.T) {
	f := compile(t, nearAndFurther()).NewFold()
	for i := range 100 {
		require.NoError(t, f.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "touch", At: monday.Add(time.Duration(i) * time.Second), Outcome: curriculum.Success, Place: fmt.Sprint("spot ", i)}))
	}
	parts := f.Apart(engine.ByPlace).Dogs[0].Behaviours[0].Parts
	require.Len(t, parts, 65)
	require.True(t, parts[64].Others)
	require.Equal(t, 36, parts[64].Trials)
}

func TestAskingWhyChangesNothingThatIsKeptApart(t *testing.T) {
	d := &diary{dog: "okapi", at: monday}
	d.tally("touch", "+-+x+")
	p := compile(t, nearAndFurther())
	f := p.Replay(d.list, time.Time{})
	before := f.Apart(engine.ByHandler)
	_, err := f.Why("okapi", "touch", f.Now())
	require.NoError(t, err)
	require.Equal(t, before, f.Apart(engine.ByHandler))
}

func linesOf(f *engine.Fold, code string) (lines []int) {
	for _, r := range f.Reports() {
		if r.Code == code {
			lines = append(lines, r.Line)
		}
	}
	return lines
}

func TestTheThirdVoidTrialOfASessionIsReportedOnce(t *testing.T) {
	for marks, want := range map[string][]int{"+x-x+": nil, "+x-xx": {5}, "xxxxxx": {3}, "xx|xx": nil, "xx|xxx": {5}} {
		d := &diary{dog: "okapi", at: monday}
		d.tally("touch", marks)
		require.Equal(t, want, linesOf(compile(t, nearAndFurther()).Replay(d.list, time.Time{}), engine.CodeSpoiledSession), marks)
	}
}

func TestPaidMissesAreReportedWhenTheyPassFifteenPercentAndAgainWhenTheyComeBack(t *testing.T) {
	f := compile(t, nearAndFurther()).NewFold()
	n := 0
	record := func(o curriculum.Outcome, paid curriculum.YesNo, times int) {
		for range times {
			n++
			require.NoError(t, f.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "touch", At: monday.Add(time.Duration(n) * time.Second), Outcome: o, Rewarded: paid, Source: "diary", Line: n}))
		}
	}
	record(curriculum.Wrong, curriculum.Yes, 3)
	record(curriculum.Success, curriculum.Yes, 17) // 3 of 20 are 15%: not more
	require.Empty(t, linesOf(f, engine.CodePaidErrors))
	record(curriculum.Silent, curriculum.Yes, 3)
	record(curriculum.Wrong, curriculum.NotSaid, 30) // nobody knows: not looked at
	require.Empty(t, linesOf(f, engine.CodePaidErrors))
	record(curriculum.Wrong, curriculum.Yes, 2)
	require.Equal(t, []int{54}, linesOf(f, engine.CodePaidErrors), "the fourth of the newest twenty")
	record(curriculum.Success, curriculum.No, 40)
	record(curriculum.Wrong, curriculum.Yes, 5)
	require.Equal(t, []int{54, 99}, linesOf(f, engine.CodePaidErrors))
}
