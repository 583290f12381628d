package examples_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

// The twenty situations that were planted in the school, D1 to D20. Each shows in the standing or in the plan; each
// says what a trainer expects. Where the language settles a thing otherwise than a trainer's notebook would, a remark
// says so. Common practice of the trade, no source; the numbers are the school's own.
func TestPlantedSituations(t *testing.T) {
	for _, c := range []struct {
		name string
		run  func(*testing.T, *engine.Program)
	}{
		{"D1 a puppy of fifteen weeks is not asked to pull drawers", d1},
		{"D2 a puppy's pivots are six a session and twelve a day", d2},
		{"D3 a puppy's extras stay within a tenth of his day", d3},
		{"D4 only the owner's trials move the owner's step", d4},
		{"D5 after three weeks away everything begins a level lower", d5},
		{"D6 sent back twice, a level half-way is put in", d6},
		{"D7 leaving once eases, leaving twice ends, and neither is a mistake", d7},
		{"D8 a chin that is no longer sure stops the file at once", d8},
		{"D9 a growl that nobody cleared leaves no plan", d9},
		{"D10 food that makes her itch is never planned", d10},
		{"D11 left and right answers are counted each for itself", d11},
		{"D12 a run that breaks twice goes back a piece", d12},
		{"D13 ten for the trainer are none for the owner", d13},
		{"D14 a deaf dog gets signals and keeps its vet's limits", d14},
		{"D15 lively work waits for a cooler day, and panting ends the session", d15},
		{"D16 two cues that sound alike stand in the draft", d16},
		{"D17 seven of ten without the order is not guessed at", d17},
		{"D18 a sheet that comes late changes the plan and says what changed", d18},
		{"D19 a session three times spoilt moves nothing and is reported", d19},
		{"D20 a dog that flies goes on after three, one level at a time", d20},
	} {
		t.Run(c.name, func(t *testing.T) { c.run(t, house(t)) })
	}
}

func d1(t *testing.T, p *engine.Program) {
	next := planFor(t, p, "okapi", now(t), plan.Request{})
	out := leftOut(t, next, "drawer-open")
	require.Equal(t, plan.Waiting, out.Code)
	require.Contains(t, out.Reason, "the dog to be at least 12 months old (now 3)")
	require.NotEmpty(t, next.Items)
	require.LessOrEqual(t, next.Minutes, 3.0)
	require.LessOrEqual(t, next.Trials, 20)
	require.Greater(t, free(t, p, "okapi", 2000, plan.Request{Minutes: 5}).Trials, 20, "the school's own session is longer")

	// At four months the teeth begin to change; then mouth work carries a caution of its own.
	for date, teething := range map[string]bool{"2026-04-20 09:00": false, "2026-05-20 09:00": true} {
		require.Equal(t, teething, teethingSaid(t, planFor(t, p, "okapi", clock(t, date), plan.Request{Minutes: 3})), date)
	}
}

// teethingSaid asks a plan with mouth work in it.
func teethingSaid(t *testing.T, next *plan.Plan) bool {
	t.Helper()
	mouth := false
	for _, it := range next.Items {
		mouth = mouth || it.Behaviour == "take" || it.Behaviour == "hold"
	}
	require.True(t, mouth, "no mouth work in this plan")
	out, err := json.Marshal(next)
	require.NoError(t, err)
	return strings.Contains(string(out), "While the teeth change")
}

// free is a dog's next plan with no limits but the curriculum's, this much energy a day, and no food but cheese.
func free(t *testing.T, p *engine.Program, dog string, kcal float64, r plan.Request) *plan.Plan {
	t.Helper()
	profiles := dogs(t)
	for i := range profiles {
		if profiles[i].Name == dog {
			profiles[i].DailyKcal, profiles[i].Avoid = kcal, []string{"ration", "chicken", "fish", "paste"}
			profiles[i].Limits = curriculum.Limits{Minutes: 60, Trials: 100}
		}
	}
	r.Dog, r.At = dog, now(t)
	next, err := plan.Next(p, p.Replay(until(t, dog, r.At), r.At, profiles...), r)
	require.NoError(t, err)
	return next
}

// trialsOf is how many trials of a behaviour a plan has.
func trialsOf(next *plan.Plan, behaviour string) (n int) {
	for _, it := range next.Items {
		if it.Behaviour == behaviour {
			n += it.Trials
		}
	}
	return n
}

func d2(t *testing.T, p *engine.Program) {
	day := map[string]int{}
	for _, e := range until(t, "okapi", clock(t, "2026-04-18 15:00")) {
		if e.Trial.Behaviour == "pivot-left" && e.At().Format(time.DateOnly) == "2026-04-18" {
			day[e.Trial.Session]++
		}
	}
	require.Len(t, day, 2)
	for session, n := range day {
		require.Equal(t, 6, n, session)
	}
	require.Equal(t, plan.CapReached, leftOut(t, planFor(t, p, "okapi", clock(t, "2026-04-18 15:00"), plan.Request{}), "pivot-left").Code)

	// Asked for, and with a profile that allows any number, it is six all the same.
	wish := plan.Request{Favour: []string{"pivot-right"}}
	n := trialsOf(planFor(t, p, "okapi", now(t), wish), "pivot-right")
	require.Positive(t, n)
	require.LessOrEqual(t, n, 6)
	wish.Minutes = 30
	require.Equal(t, 6, trialsOf(free(t, p, "okapi", 753, wish), "pivot-right"))
}

// Were cheese, an extra, all there is, energy would end the session first: 18 pieces of 4 kcal are the most in a tenth of
// the 753 kcal that his vet set. There is a measured ration, and so he gets that; extras are for what is new, three pieces.
func d3(t *testing.T, p *engine.Program) {
	next := planFor(t, p, "okapi", now(t), plan.Request{Pieces: 90})
	require.LessOrEqual(t, next.Extras, 75.3)
	require.Equal(t, "ration", next.Food[0].Food)
	for i := range next.Items {
		it := &next.Items[i]
		require.Equal(t, it.Role == "new", it.Extra, it.Behaviour)
	}

	wish := plan.Request{Pieces: 90, Minutes: 30}
	require.Equal(t, 72.0, free(t, p, "okapi", 753, wish).Extras)
	require.Equal(t, 8.0, free(t, p, "okapi", 100, wish).Extras)
	require.Greater(t, free(t, p, "okapi", 2000, wish).Extras, 75.3)
}

func d4(t *testing.T, p *engine.Program) {
	s := standing(t, p, "sorrel", "mat-settle")
	require.Equal(t, "owner-asks", s.Step)
	require.Equal(t, "hand", s.Moves[len(s.Moves)-1].Rule, "the senior's own move and none since: no ease either")

	var parts []engine.Part
	for _, d := range replay(t, p).Apart(engine.ByHandler).Dogs {
		for _, b := range d.Behaviours {
			if d.Dog == "sorrel" && b.Behaviour == "mat-settle" {
				parts = b.Parts
			}
		}
	}
	split := map[string]engine.Tally{}
	for _, part := range parts {
		split[part.Name] = part.Here
	}
	require.Equal(t, engine.Tally{Successes: 13, Evidence: 20}, split["owner"])
	require.Equal(t, engine.Tally{Successes: 18, Evidence: 20}, split["junior"])
}

// The dog comes back in by its step's own rule; a rule of its own for coming back is not in the language.
func d5(t *testing.T, p *engine.Program) {
	var last time.Time
	longest := 0
	for _, e := range until(t, "sorrel", now(t)) {
		if !last.IsZero() {
			longest = max(longest, int(day(e.At()).Sub(day(last)).Hours()/24))
		}
		last = e.At()
	}
	require.Equal(t, 24, longest)

	back := 0
	for _, name := range []string{"name-check", "hand-touch", "call-in", "step-platform", "take", "give", "hold"} {
		for _, m := range standing(t, p, "sorrel", name).Moves {
			if strings.HasPrefix(m.Because, "after 21 days away") {
				back++
				require.Equal(t, "ease", m.Rule)
				require.True(t, m.At.After(clock(t, "2026-04-13 23:59")), "%s at %s", name, m.At)
			}
		}
	}
	require.Equal(t, 7, back, "each of them once")

	moves := standing(t, p, "sorrel", "hand-touch").Moves
	away, again := moves[len(moves)-2], moves[len(moves)-1]
	require.Equal(t, "cue-alone", away.From.Step)
	require.Equal(t, engine.Place{Step: "cue-first", Level: map[string]string{"pause": "2 s"}}, away.To)
	require.Equal(t, "advance", again.Rule)
	require.Equal(t, "cue-alone", again.To.Step)
}

// Half-way is the arithmetic middle to the nearest second, ties to the easier side: 22.5 s is 22 s.
func d6(t *testing.T, p *engine.Program) {
	var path []string
	for _, m := range standing(t, p, "sorrel", "mat-settle").Moves {
		if m.From.Step == "stay" && m.To.Step == "stay" && m.From.Level["duration"] != m.To.Level["duration"] {
			path = append(path, m.To.Level["duration"])
		}
	}
	require.Equal(t, []string{"3 s", "5 s", "8 s", "12 s", "18 s", "27 s", "18 s", "27 s", "18 s", "22 s", "27 s"}, path)
}

func d7(t *testing.T, p *engine.Program) {
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
	for _, e := range until(t, "thimble", now(t)) {
		require.Falsef(t, e.Trial.Behaviour == "nail-file" && e.Trial.Outcome == curriculum.Wrong, "%s", e.Trial.ID)
	}
}

func d8(t *testing.T, p *engine.Program) {
	at := clock(t, "2026-04-17 23:00")
	f := p.Replay(until(t, "thimble", at), at, dogs(t)...)
	require.Equal(t, curriculum.Working, viewOf(t, f, "thimble", "nail-file", at).State)

	tr := curriculum.Trial{Dog: "thimble", Behaviour: "chin-rest", At: at, Session: "late", Place: "home", Handler: "owner"}
	for range 8 { // she lifts her chin and lifts it again, a level easier each time
		tr.At = record(t, f, tr, "o")
		lost := stepOf(t, f, "thimble", "chin-rest", tr.At) == "longer"
		require.Equal(t, lost, viewOf(t, f, "thimble", "nail-file", tr.At).State == curriculum.Paused)
		if lost {
			break
		}
	}
	require.Equal(t, curriculum.Paused, viewOf(t, f, "thimble", "nail-file", tr.At).State)
	require.Equal(t, plan.Waiting, leftOut(t, nextFor(t, p, f, "thimble", tr.At.Add(time.Hour)), "nail-file").Code)
	tr.At = record(t, f, tr, "+++++")
	require.Equal(t, "free-hand", stepOf(t, f, "thimble", "chin-rest", tr.At))
	require.Equal(t, curriculum.Working, viewOf(t, f, "thimble", "nail-file", tr.At).State, "and goes on where it stood")
}

func d9(t *testing.T, p *engine.Program) {
	next := planFor(t, p, "thimble", now(t), plan.Request{})
	require.Empty(t, next.Items)
	require.NotEmpty(t, next.Referral)
	require.Len(t, next.Locked, 1, "the limp was cleared by her vet")
	require.Equal(t, "growl", next.Locked[0].Sign)
	require.Equal(t, "Dov Marsh", next.Locked[0].By)

	f := replay(t, p)
	unnamed := curriculum.Event{Dog: "thimble", At: now(t), Kind: curriculum.SignCleared, Sign: "growl"}
	require.Error(t, f.Note(&unnamed))
	require.Empty(t, nextFor(t, p, f, "thimble", now(t).Add(time.Hour)).Items)
	require.NoError(t, f.Note(&curriculum.Event{Dog: "thimble", At: now(t), Kind: curriculum.SignCleared, Sign: "growl", By: "Halla Oke"}))
	require.NotEmpty(t, nextFor(t, p, f, "thimble", now(t).Add(time.Hour)).Items)
}

func d10(t *testing.T, p *engine.Program) {
	before := clock(t, "2026-04-17 20:00")
	next := planFor(t, p, "thimble", before, plan.Request{})
	require.NotEmpty(t, next.Items)
	require.Contains(t, next.Cautions, "thimble must not have: chicken.")

	// Were chicken all that is in the house, other dogs of her kind would get it, and she would get no session.
	for _, c := range []struct {
		avoid []string
		foods int
	}{{[]string{"ration", "cheese", "fish", "paste"}, 1}, {[]string{"ration", "cheese", "fish", "paste", "chicken"}, 0}} {
		profiles := dogs(t)
		for i := range profiles {
			if profiles[i].Name == "thimble" {
				profiles[i].Avoid = c.avoid
			}
		}
		only := nextFor(t, p, p.Replay(until(t, "thimble", before), before, profiles...), "thimble", before)
		require.Len(t, only.Food, c.foods)
		require.Equal(t, c.foods == 0, len(only.Items) == 0)
		if c.foods == 1 {
			require.Equal(t, "chicken", only.Food[0].Food)
		}
	}
}

// The language has no block that mixes two behaviours: each has its own ten, so a cue that is guessed cannot hide
// behind one that is known. Six misses of ten send the pushing back to its pause; the pulling stays.

func nextFor(t testing.TB, p *engine.Program, f *engine.Fold, dog string, at time.Time, favour ...string) *plan.Plan {
	t.Helper()
	next, err := plan.Next(p, f, plan.Request{Dog: dog, At: at, Favour: favour})
	require.NoError(t, err)
	return next
}
