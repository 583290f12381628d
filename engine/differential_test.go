package engine_test

import (
	"errors"
	"fmt"
	"os"
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.com/rung/engine"
	"example.com/rung/engine/internal/naive"
	"example.com/rung/engine/internal/naive/cases"
)

// The engine is compared with engine/internal/naive, a slow reader that shares no code with it, on random curricula and
// histories. RUNG_CASES sets how many; RUNG_SEED runs one alone and prints it.

func TestTheEngineAgreesWithTheNaiveReader(t *testing.T) {
	t.Parallel()
	on := allFeatures(t)
	tally := newTally()
	n := caseCount(t, 2000)
	eachCase(t, n, on, func(c *cases.Case) error {
		naiveAnswers, err := agree(c)
		tally.count(c, naiveAnswers)
		return err
	})
	if !t.Failed() && os.Getenv("RUNG_SEED") == "" {
		tally.log(t)
		for f := range on {
			if n >= 2000 {
				require.Positive(t, tally.n[string(f)], "%q never fired", f)
			}
		}
	}
}

// agree folds a case through both readers and says where they part.
func agree(c *cases.Case) ([]naive.Answer, error) {
	p, err := engine.Compile(c.Curriculum)
	if err != nil {
		return nil, fmt.Errorf("the engine refuses it: %w", err)
	}
	fold := p.NewFold(c.Dogs...)
	reader := naive.New(c.Curriculum, c.Dogs...)
	for i := range c.Entries {
		e := &c.Entries[i]
		got, want := fold.Take(e), reader.Take(*e)
		if sortOf(got) != sortOf(want) {
			return nil, fmt.Errorf("line %d: the engine says %v, the naive reader %v", i+1, got, want)
		}
		if i == len(c.Entries)/2 { // an answer on the way must not change what comes
			if err := sameAnswers(fold.Standing(e.At().Add(time.Hour)), reader.Answers(e.At().Add(time.Hour))); err != nil {
				return nil, fmt.Errorf("an hour after line %d: %w", i+1, err)
			}
		}
	}
	answers := reader.Answers(c.Now)
	if err := sameAnswers(fold.Standing(c.Now), answers); err != nil {
		return answers, err
	}
	return answers, sameReports(fold.Reports(), reader.Reports)
}

func sortOf(err error) string {
	switch {
	case err == nil:
		return "taken"
	case errors.Is(err, engine.ErrEarlier), errors.Is(err, naive.ErrEarlier):
		return "earlier"
	}
	return "unusable"
}

func ofNaive(as []naive.Answer) (out []plain, locks []plainLock) {
	for _, a := range as {
		for _, b := range a.Behaviours {
			p := plain{Dog: a.Dog, Behaviour: b.Behaviour, State: b.State, Step: b.Place.Step, Level: b.Place.Level, Trials: b.Trials, Sessions: b.Sessions}
			for _, m := range b.Moves {
				p.Moves = append(p.Moves, plainMove{m.Trial, m.Rule, m.By, m.From.Step, m.From.Level, m.To.Step, m.To.Level, m.To.Kept, m.Line, moment(m.At)})
			}
			for _, n := range b.Noted {
				p.Noted = append(p.Noted, plainNote{n.Trial, n.Rule, n.Line})
			}
			p.Failed, p.Before = piecesNamed(b.Failed), piecesNamed(b.Before)
			p.Reviews = b.Reviews
			if b.Due != 0 {
				p.Due = time.Unix(int64(b.Due)*86400, 0).UTC().Format(time.DateOnly)
			}
			out = append(out, p)
		}
		for _, strange := range []bool{false, true} {
			for _, l := range a.Locks {
				if l.Strange == strange {
					locks = append(locks, plainLock{a.Dog, l.Sign, l.Written, moment(&l.At), l.By, l.Note, l.Behaviours, strange})
				}
			}
		}
	}
	return out, locks
}

func sameAnswers(s *engine.Standing, as []naive.Answer) error {
	got, gotLocks := ofEngine(s)
	want, wantLocks := ofNaive(as)
	if reflect.DeepEqual(want, got) && reflect.DeepEqual(wantLocks, gotLocks) {
		return nil
	}
	if d := cmp.Diff(want, got); d != "" {
		return fmt.Errorf("the naive reader (-) and the engine (+) part:\n%s", d)
	}
	if d := cmp.Diff(wantLocks, gotLocks); d != "" {
		return fmt.Errorf("locks of the naive reader (-) and the engine (+) part:\n%s", d)
	}
	return nil
}

// reportKinds translates the engine's codes to the naive reader's; codes left out are not compared.
var reportKinds = map[string]string{
	engine.CodeNoOutcome: naive.Unusable, engine.CodeUnknownBehaviour: naive.Unusable, engine.CodeUnknownStep: naive.Unusable,
	engine.CodeUndeclaredPlace: naive.UnknownPlace, engine.CodeUndeclaredHandler: naive.UnknownHand, engine.CodeUndeclaredMeasure: naive.UnknownThing,
	engine.CodeUndeclaredHelp: naive.UnknownHelp, engine.CodeUndeclaredSign: naive.UnknownSign, engine.CodeUnlistedLevel: naive.UnknownLevel, engine.CodeUnlistedPiece: naive.UnknownPiece,
	engine.CodeDisagrees: naive.Disagrees, engine.CodeMeasureMissing: naive.HalfMeasured, engine.CodeWaiting: naive.Closed, engine.CodePaused: naive.Closed,
	engine.CodeNoStepAfterMove: naive.AfterMove, engine.CodeSessionReopened: naive.Reopened, engine.CodeTrainedLocked: naive.Locked, engine.CodeSessionLong: naive.LongSession, engine.CodeUnknownLevel: naive.Unusable, engine.CodeBadEvent: naive.Unusable,
}

func sameReports(got []engine.Report, want []naive.Report) error {
	compared := map[string]bool{}
	for _, k := range reportKinds {
		compared[k] = true
	}
	var a, b []string
	text := func(line int, kind string) string {
		if kind == naive.Locked {
			return kind // one report a session may do
		}
		return fmt.Sprintf("line %d %s", line, kind)
	}
	for _, r := range got {
		if k, ok := reportKinds[r.Code]; ok {
			a = append(a, text(r.Line, k))
		}
	}
	for _, r := range want {
		if compared[r.Kind] {
			b = append(b, text(r.Line, r.Kind))
		}
	}
	slices.Sort(a)
	slices.Sort(b)
	a, b = slices.Compact(a), slices.Compact(b)
	if d := cmp.Diff(b, a); d != "" {
		return fmt.Errorf("reports of the naive reader (-) and the engine (+) part:\n%s", d)
	}
	return nil
}
