package examples_test

import (
	"errors"
	"io"
	"io/fs"
	"path"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
	"example.com/rung/engine/plan"
	"example.com/rung/examples"
)

// What was planted in the logs shows in the standing and in the plan. Each test says what a trainer expects.

func TestTheLogsAreReadWithoutALostLine(t *testing.T) {
	p := house(t)
	for _, e := range entriesOf(t) {
		require.NotEmpty(t, e.Dog())
	}
	s := replay(t, p).Standing(now(t))
	require.Len(t, s.Dogs, 6)
	for _, r := range s.Reports {
		require.Falsef(t, r.Unusable, "%s:%d: %s", r.Source, r.Line, r.Text)
	}
}

func TestAPuppyOfElevenWeeksIsNotAskedToPullDrawers(t *testing.T) {
	p := house(t)
	next := planFor(t, p, "okapi", now(t), plan.Request{})
	out := leftOut(t, next, "drawer-open")
	require.Equal(t, plan.Waiting, out.Code)
	require.Contains(t, out.Reason, "12")
	require.LessOrEqual(t, next.Minutes, 3.0)
	require.LessOrEqual(t, next.Trials, 20)
}

func TestAPuppysPivotsOfTheDayAreUsedUpAfterTwelve(t *testing.T) {
	p := house(t)
	afternoon := time.Date(2026, 4, 18, 15, 0, 0, 0, time.UTC)
	require.Equal(t, plan.CapReached, leftOut(t, planFor(t, p, "okapi", afternoon, plan.Request{}), "pivot-left").Code)
	for _, it := range planFor(t, p, "okapi", now(t), plan.Request{}).Items {
		if strings.HasPrefix(it.Behaviour, "pivot-") {
			require.LessOrEqual(t, it.Trials, 6)
		}
	}
}

func TestAPuppysExtrasStayWithinATenthOfHisDay(t *testing.T) {
	p := house(t)
	require.LessOrEqual(t, planFor(t, p, "okapi", now(t), plan.Request{Pieces: 90}).Extras, 75.3)
}

func TestOnlyTheOwnersTrialsMoveTheOwnersStep(t *testing.T) {
	p := house(t)
	s := standing(t, p, "sorrel", "mat-settle")
	require.Equal(t, "owner-asks", s.Step)
	require.Len(t, s.Moves, 1, "the senior's own move and none since")
	require.Equal(t, "hand", s.Moves[0].Rule)
	by := map[string][2]int{}
	for _, e := range entriesOf(t) {
		if e.Dog() == "sorrel" && !e.IsEvent && e.Trial.Behaviour == "mat-settle" {
			n := by[e.Trial.Handler]
			n[0]++
			if e.Trial.Outcome == curriculum.Success {
				n[1]++
			}
			by[e.Trial.Handler] = n
		}
	}
	require.Equal(t, map[string][2]int{"owner": {20, 13}, "junior": {20, 18}}, by)
}

func TestAFamilyHolidayLeavesAGapOfTwentyFourDays(t *testing.T) {
	var last time.Time
	longest := 0
	for _, e := range entriesOf(t) {
		if e.Dog() != "sorrel" {
			continue
		}
		if !last.IsZero() {
			longest = max(longest, int(day(e.At()).Sub(day(last)).Hours()/24))
		}
		last = e.At()
	}
	require.Equal(t, 24, longest)
}

func TestLeavingTwiceEasesAndEndsAndIsNoMistake(t *testing.T) {
	p := house(t)
	s := standing(t, p, "thimble", "nail-file")
	var left []engine.Move
	for _, m := range s.Moves {
		if m.Rule == "ease" {
			left = append(left, m)
			require.Contains(t, m.Because, "opt-out")
		}
	}
	require.Len(t, left, 2)
	require.Equal(t, map[string]string{"contact": "paw"}, left[0].From.Level)
	require.Equal(t, map[string]string{"contact": "elbow"}, left[0].To.Level)
	require.NotEmpty(t, s.Noted)
	require.Equal(t, "stop", s.Noted[0].Rule)
}

func TestAGrowlThatNobodyClearedLeavesNoPlan(t *testing.T) {
	p := house(t)
	next := planFor(t, p, "thimble", now(t), plan.Request{})
	require.Empty(t, next.Items)
	require.NotEmpty(t, next.Referral)
	require.Len(t, next.Locked, 1, "the limp was cleared by her vet")
	require.Equal(t, "growl", next.Locked[0].Sign)
	require.Equal(t, "Dov Marsh", next.Locked[0].By)

	f := replay(t, p)
	require.NoError(t, f.Note(&curriculum.Event{Dog: "thimble", At: now(t), Kind: curriculum.SignCleared, Sign: "growl", By: "Halla Oke"}))
	cleared, err := plan.Next(p, f, plan.Request{Dog: "thimble", At: now(t).Add(time.Hour)})
	require.NoError(t, err)
	require.NotEmpty(t, cleared.Items)
	for _, food := range cleared.Food {
		require.NotEqual(t, "chicken", food.Food, "it makes her itch")
	}
}

func TestTheLimpLockedUntilTheVetClearedIt(t *testing.T) {
	p := house(t)
	for at, locked := range map[string]bool{"2026-03-11T17:00:00Z": true, "2026-03-14T08:00:00Z": true, "2026-03-14T10:00:00Z": false} {
		when, err := time.Parse(time.RFC3339, at)
		require.NoError(t, err)
		require.Equal(t, locked, len(planFor(t, p, "thimble", when, plan.Request{}).Locked) > 0, at)
	}
}

func TestFetchingThatBreaksTwiceAtOnePieceGoesBackAPiece(t *testing.T) {
	p := house(t)
	failed := map[string]string{}
	for _, e := range entriesOf(t) {
		if e.Dog() == "gantry" && e.Trial.Failed != "" {
			failed[e.Trial.ID] = e.Trial.Failed
		}
	}
	require.Len(t, failed, 2)
	for _, m := range standing(t, p, "gantry", "bring-dropped").Moves {
		if failed[m.Trial] == "hold" {
			require.Equal(t, "ease", m.Rule)
			require.Equal(t, "from-take", m.From.Step)
			require.Equal(t, "from-hold", m.To.Step)
			return
		}
	}
	t.Fatal("no ease at the second break")
}

func TestTapeDecidesTurnsThatNobodyJudged(t *testing.T) {
	n := 0
	for _, e := range entriesOf(t) {
		if e.Dog() == "gantry" && !e.IsEvent && e.Trial.Outcome == curriculum.NoOutcome {
			n++
			_, ok := e.Trial.Measure("turn")
			require.True(t, ok)
		}
	}
	require.Positive(t, n)
}

func TestADeafDogGetsSignalsAndKeepsItsVetsLimits(t *testing.T) {
	p := house(t)
	f := replay(t, p)
	for d := range 14 { // two weeks of plans
		next, err := plan.Next(p, f, plan.Request{Dog: "pewter", At: now(t).AddDate(0, 0, d), Seed: uint64(d)})
		require.NoError(t, err)
		require.NotEmpty(t, next.Items)
		for _, it := range next.Items {
			require.NotEqual(t, "drawer-open", it.Behaviour)
			for _, c := range it.Cues {
				require.NotEqual(t, "word", c.Kind, it.Behaviour)
			}
			if strings.HasPrefix(it.Behaviour, "pivot-") {
				require.LessOrEqual(t, it.Trials, 3)
			}
		}
		require.Equal(t, plan.Profile, leftOut(t, next, "drawer-open").Code)
	}
}

func TestAThreeTimesSpoiltSessionMovesNothing(t *testing.T) {
	p := house(t)
	void := 0
	var ids []string
	for _, e := range entriesOf(t) {
		if e.Dog() == "bisk" && !e.IsEvent && e.At().Format(time.DateOnly) == "2026-04-08" {
			ids = append(ids, e.Trial.ID)
			if e.Trial.Outcome == curriculum.Void {
				void++
			}
		}
	}
	require.Equal(t, 3, void)
	for _, m := range standing(t, p, "bisk", "mat-settle").Moves {
		require.NotContains(t, ids[1:], m.Trial)
	}
}

func TestHeavyPantingEndsTheSessionAndNotTheNextOne(t *testing.T) {
	p := house(t)
	soon := planFor(t, p, "bisk", time.Date(2026, 4, 17, 13, 10, 0, 0, time.UTC), plan.Request{})
	require.Empty(t, soon.Items)
	require.Equal(t, plan.SessionEnded, leftOut(t, soon, "hand-touch").Code)
	require.NotEmpty(t, planFor(t, p, "bisk", time.Date(2026, 4, 17, 19, 0, 0, 0, time.UTC), plan.Request{}).Items)
}

func TestEveryDogButTheLockedOneHasAPlanWorthHandingOver(t *testing.T) {
	p := house(t)
	for _, d := range dogs(t) {
		if d.Name == "thimble" {
			continue
		}
		t.Run(d.Name, func(t *testing.T) {
			next := planFor(t, p, d.Name, now(t), plan.Request{})
			require.GreaterOrEqual(t, len(next.Items), 2)
			require.NotEmpty(t, next.Cautions)
			for _, it := range next.Items {
				require.NotEmpty(t, it.Success)
				require.NotEmpty(t, it.Reason)
			}
			limit := 5.0
			if d.Limits.Minutes > 0 {
				limit = min(limit, d.Limits.Minutes)
			}
			require.LessOrEqual(t, next.Minutes, limit)
		})
	}
}

// ---- reading the logs ------------------------------------------------------------------------------------------

func entriesOf(t testing.TB) []curriculum.Entry {
	t.Helper()
	es, err := readLogs()
	require.NoError(t, err)
	return es
}

var readLogs = sync.OnceValues(func() ([]curriculum.Entry, error) {
	list, err := fs.ReadDir(examples.Files(), examples.Logs)
	if err != nil {
		return nil, err
	}
	p, err := readHouse()
	if err != nil {
		return nil, err
	}
	var out []curriculum.Entry
	for _, file := range list {
		if history.FormatOf(file.Name()) == history.Auto {
			continue
		}
		in, err := examples.Files().Open(path.Join(examples.Logs, file.Name()))
		if err != nil {
			return nil, err
		}
		r := history.NewReader(in, file.Name(), history.Options{}.For(p.Curriculum()))
		for {
			var e curriculum.Entry
			err := r.Next(&e)
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				return nil, err
			}
			out = append(out, history.Clone(&e))
		}
		for _, bad := range r.Reports() {
			return nil, errors.New(history.ReportText(bad))
		}
		if err := in.Close(); err != nil {
			return nil, err
		}
	}
	return out, nil
})

func replay(t testing.TB, p *engine.Program) *engine.Fold {
	t.Helper()
	return p.Replay(entriesOf(t), now(t), dogs(t)...)
}

// standing is one dog's standing in one behaviour at the demo's moment.
func standing(t testing.TB, p *engine.Program, dog, behaviour string) engine.BehaviourStanding {
	t.Helper()
	for _, d := range replay(t, p).Standing(now(t)).Dogs {
		for _, b := range d.Behaviours {
			if d.Dog == dog && b.Behaviour == behaviour {
				return b
			}
		}
	}
	t.Fatalf("no standing of %s in %s", dog, behaviour)
	return engine.BehaviourStanding{}
}

// planFor plans from what had been recorded by then.
func planFor(t testing.TB, p *engine.Program, dog string, at time.Time, r plan.Request) *plan.Plan {
	t.Helper()
	var known []curriculum.Entry
	for _, e := range entriesOf(t) {
		if e.Dog() == dog && !e.At().After(at) {
			known = append(known, e)
		}
	}
	r.Dog, r.At = dog, at
	next, err := plan.Next(p, p.Replay(known, at, dogs(t)...), r)
	require.NoError(t, err)
	return next
}

func leftOut(t testing.TB, p *plan.Plan, behaviour string) plan.LeftOut {
	t.Helper()
	for _, l := range p.LeftOut {
		if l.Behaviour == behaviour {
			return l
		}
	}
	require.Failf(t, "planned after all", "%s is not among those left out", behaviour)
	return plan.LeftOut{}
}

func day(t time.Time) time.Time { return t.Truncate(24 * time.Hour) }
