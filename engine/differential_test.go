package engine_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"reflect"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/internal/naive"
	"example.com/rung/engine/internal/naive/cases"
)

// The engine is compared with engine/internal/naive, a slow reader that shares no code with it, on random curricula and
// histories. RUNG_CASES sets how many; RUNG_SEED runs one alone and prints it.

// allFeatures are every feature of the language: the engine takes each of them.
func allFeatures(t testing.TB) map[cases.Feature]bool {
	on := map[cases.Feature]bool{}
	for _, f := range cases.All {
		c := cases.Probe(f)
		require.NotNil(t, c, "no probe for %q", f)
		_, err := engine.Compile(c)
		require.NoError(t, err, f)
		on[f] = true
	}
	return on
}

// caseCount is how many cases a test runs.
func caseCount(t testing.TB, usual int) int {
	if s := os.Getenv("RUNG_CASES"); s != "" {
		n, err := strconv.Atoi(s)
		require.NoError(t, err)
		return n
	}
	if testing.Short() || underRace {
		return usual / 10
	}
	return usual
}

// eachCase runs check over many cases on all processors, until one fails.
func eachCase(t *testing.T, n int, on map[cases.Feature]bool, check func(*cases.Case) error) {
	if s := os.Getenv("RUNG_SEED"); s != "" {
		seed, err := strconv.ParseUint(s, 10, 64)
		require.NoError(t, err)
		c := cases.Make(seed, on)
		t.Log(c)
		require.NoError(t, check(c))
		return
	}
	defer debug.SetGCPercent(debug.SetGCPercent(800)) // many small things that die young
	var next, failed atomic.Uint64
	var wg sync.WaitGroup
	var mu sync.Mutex
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for failed.Load() == 0 {
				seed := next.Add(1)
				if seed > uint64(n) {
					return
				}
				c := cases.Make(seed, on)
				if check(c) == nil {
					continue
				}
				failed.Add(1)
				small := cases.Shrink(c, func(s *cases.Case) bool {
					_, err := engine.Compile(s.Curriculum)
					return err == nil && check(s) != nil
				})
				mu.Lock()
				t.Errorf("%v\n\n%v", check(small), small)
				mu.Unlock()
			}
		})
	}
	wg.Wait()
}

func TestTheEngineAgreesWithTheNaiveReader(t *testing.T) {
	on := allFeatures(t)
	tally := newTally()
	n := caseCount(t, 5000)
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

// plain is what both readers answer, in one shape.
type plain struct {
	Dog, Behaviour   string
	State            curriculum.State
	Step             string
	Level            map[string]string
	Trials, Sessions int
	Moves            []plainMove
	Noted            []plainNote
	Failed, Before   string
	Reviews          []naive.Review
	Due              string
}

type plainMove struct {
	Trial, Rule, By string
	FromStep        string
	From            map[string]string
	ToStep          string
	To              map[string]string
	ToKept          bool
	Line            int
	At              string
}

type plainNote struct {
	Trial, Rule string
	Line        int
}

type plainLock struct {
	Dog, Sign, At, By, Note string
	Behaviours              []string
}

func moment(t *time.Time) string {
	if t == nil {
		return ""
	}
	return t.Format(time.RFC3339)
}

func ofEngine(s *engine.Standing) (out []plain, locks []plainLock) {
	for _, d := range s.Dogs {
		for _, b := range d.Behaviours {
			p := plain{Dog: d.Dog, Behaviour: b.Behaviour, State: b.State, Step: b.Step, Level: b.Level, Trials: b.Trials, Sessions: b.Sessions}
			for _, m := range b.Moves {
				p.Moves = append(p.Moves, plainMove{m.Trial, m.Rule, m.By, m.From.Step, m.From.Level, m.To.Step, m.To.Level, m.To.Kept, m.Line, moment(m.At)})
			}
			for _, n := range b.Noted {
				p.Noted = append(p.Noted, plainNote{n.Trial, n.Rule, n.Line})
			}
			p.Failed, p.Before = piecesOf(b.Failed), piecesOf(b.FailedBefore)
			for _, v := range b.Reviews {
				p.Reviews = append(p.Reviews, naive.Review{Trial: v.Trial, Passed: v.Passed})
			}
			p.Due = b.ReviewDue
			out = append(out, p)
		}
		for _, l := range d.Locked {
			locks = append(locks, plainLock{d.Dog, l.Sign, moment(&l.At), l.By, l.Note, l.Behaviours})
		}
	}
	return out, locks
}

// piecesOf is how often each piece of a chain failed, by name.
func piecesOf(list []engine.PieceCount) string {
	n := map[string]int{}
	for _, p := range list {
		n[p.Piece] = p.Trials
	}
	return piecesNamed(n)
}

func piecesNamed(n map[string]int) string {
	var out []string
	for _, name := range slices.Sorted(maps.Keys(n)) {
		out = append(out, fmt.Sprint(name, " ", n[name]))
	}
	return strings.Join(out, ", ")
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
		for _, l := range a.Locks {
			locks = append(locks, plainLock{a.Dog, l.Sign, moment(&l.At), l.By, l.Note, l.Behaviours})
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

func TestRecordReplayAndResumeGiveTheSameStanding(t *testing.T) {
	on := allFeatures(t)
	eachCase(t, caseCount(t, 700), on, func(c *cases.Case) error {
		p, err := engine.Compile(c.Curriculum)
		if err != nil {
			return fmt.Errorf("the engine refuses it: %w", err)
		}
		fold := p.NewFold(c.Dogs...)
		cut := int(c.Seed) % (len(c.Entries) + 1)
		resumed := fold
		for i := range c.Entries {
			if i == cut {
				var saved bytes.Buffer
				if err := fold.Save(&saved); err != nil {
					return err
				}
				if resumed, err = p.Resume(&saved, c.Dogs...); err != nil {
					return fmt.Errorf("taken up again after %d lines: %w", cut, err)
				}
			}
			_ = fold.Take(&c.Entries[i])
			if resumed != fold {
				_ = resumed.Take(&c.Entries[i])
			}
		}
		want, err := json.MarshalIndent(fold.Standing(c.Now), "", " ")
		if err != nil {
			return err
		}
		for name, f := range map[string]*engine.Fold{"replayed": p.Replay(c.Entries, c.Now, c.Dogs...), "saved and taken up again": resumed} {
			got, err := json.MarshalIndent(f.Standing(c.Now), "", " ")
			if err != nil {
				return err
			}
			if !bytes.Equal(got, want) {
				return fmt.Errorf("recorded (-) and %s (+, cut %d) part:\n%s", name, cut, cmp.Diff(string(want), string(got)))
			}
		}
		return nil
	})
}

func TestAVoidBetweenTwoTrialsOfASessionChangesNoMove(t *testing.T) {
	on := allFeatures(t)
	eachCase(t, caseCount(t, 1000), on, func(c *cases.Case) error {
		p, err := engine.Compile(c.Curriculum)
		if err != nil {
			return fmt.Errorf("the engine refuses it: %w", err)
		}
		plainFold, spoiled := p.NewFold(c.Dogs...), p.NewFold(c.Dogs...)
		last := map[string]*curriculum.Trial{}
		for i := range c.Entries {
			e := &c.Entries[i]
			if before := last[e.Trial.Dog]; !e.IsEvent && before != nil && before.Session == e.Trial.Session && e.Trial.At.Sub(before.At) < naive.Gap {
				v := curriculum.Trial{ID: fmt.Sprint("void-", i), Dog: before.Dog, Behaviour: e.Trial.Behaviour, At: before.At, Session: before.Session, Outcome: curriculum.Void}
				_ = spoiled.Record(&v)
			}
			if plainFold.Take(e) == nil && !e.IsEvent {
				last[e.Trial.Dog] = &e.Trial
			}
			if e.IsEvent {
				delete(last, e.Event.Dog) // the engine refuses a trial earlier than an event
			}
			_ = spoiled.Take(e)
		}
		want, _ := ofEngine(plainFold.Standing(c.Now))
		got, _ := ofEngine(spoiled.Standing(c.Now))
		if d := cmp.Diff(want, got); d != "" {
			return fmt.Errorf("without voids (-) and with them (+):\n%s", d)
		}
		return nil
	})
}
