package engine_test

import (
	"fmt"
	"maps"
	"os"
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

// What tests of random cases share: how many cases, over all processors, and a standing in a shape that can be compared.

// TestMain collects seldom: random cases are many small things that die young.
func TestMain(m *testing.M) {
	debug.SetGCPercent(800)
	os.Exit(m.Run())
}

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

// eachProgram runs check over as many cases, compiled, with every feature of the language.
func eachProgram(t *testing.T, usual int, check func(*engine.Program, *cases.Case) error) {
	t.Parallel()
	eachCase(t, caseCount(t, usual), allFeatures(t), func(c *cases.Case) error {
		p, err := engine.Compile(c.Curriculum)
		if err != nil {
			return fmt.Errorf("the engine refuses it: %w", err)
		}
		return check(p, c)
	})
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
	Dog, Sign, Written, At, By, Note string
	Behaviours                       []string
	Strange                          bool
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
			locks = append(locks, plainLock{d.Dog, l.Sign, l.Written, moment(&l.At), l.By, l.Note, l.Behaviours, false})
		}
		for _, s := range d.Strange {
			k := plainLock{Dog: d.Dog, Sign: s.Sign, At: moment(&s.At), By: s.By, Note: s.Note, Strange: true}
			if s.Behaviour != "" {
				k.Behaviours = []string{s.Behaviour}
			}
			locks = append(locks, k)
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

// sameStanding compares two standings by all that the answers say.
func sameStanding(a, b *engine.Standing) error {
	want, wantLocks := ofEngine(a)
	got, gotLocks := ofEngine(b)
	if d := cmp.Diff(want, got) + cmp.Diff(wantLocks, gotLocks); d != "" {
		return fmt.Errorf("before (-) and after (+):\n%s", d)
	}
	return nil
}
