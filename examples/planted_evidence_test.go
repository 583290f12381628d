package examples_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
	"example.com/rung/engine/plan"
	"example.com/rung/engine/proof"
	"example.com/rung/examples"
)

// The situations D11 to D20: what counts as evidence, and what is done with it.

func d11(t *testing.T, p *engine.Program) {
	at := now(t)
	f := replay(t, p)
	for _, b := range []string{"drawer-open", "drawer-shut"} {
		require.NoError(t, f.Note(&curriculum.Event{Dog: "gantry", At: at, Behaviour: b, Kind: curriculum.HandMove, Step: "cue-alone", By: "Halla Oke"}))
	}
	tr := curriculum.Trial{Dog: "gantry", At: at.Add(time.Minute), Session: "half-open", Place: "room-a", Handler: "senior"}
	for i, marks := range []string{"+++++", "+-+--"} {
		tr.Behaviour = []string{"drawer-open", "drawer-shut"}[i]
		tr.At = record(t, f, tr, marks)
	}
	require.Equal(t, engine.Tally{Successes: 5, Evidence: 5}, viewOf(t, f, "gantry", "drawer-open", tr.At).Recent)
	require.Equal(t, engine.Tally{Successes: 2, Evidence: 5}, viewOf(t, f, "gantry", "drawer-shut", tr.At).Recent)
	require.Equal(t, "cue-alone", stepOf(t, f, "gantry", "drawer-shut", tr.At), "five are no block yet")
	tr.At = record(t, f, tr, "-+-+-")
	require.Equal(t, "cue-first", stepOf(t, f, "gantry", "drawer-shut", tr.At))
	require.Equal(t, "cue-alone", stepOf(t, f, "gantry", "drawer-open", tr.At))
}

// The piece at which the run broke is recorded; the run goes back a piece, and the next plan works that piece alone.
func d12(t *testing.T, p *engine.Program) {
	failed := map[string]string{}
	var second time.Time
	for _, e := range until(t, "gantry", now(t)) {
		if e.Trial.Failed != "" {
			failed[e.Trial.ID], second = e.Trial.Failed, e.At()
		}
	}
	require.Len(t, failed, 2)
	eased := 0
	for _, m := range standing(t, p, "gantry", "bring-dropped").Moves {
		if failed[m.Trial] == "hold" {
			eased++
			require.Equal(t, "ease", m.Rule)
			require.Equal(t, "from-take", m.From.Step)
			require.Equal(t, "from-hold", m.To.Step)
			require.Equal(t, second, *m.At)
		}
	}
	require.Equal(t, 1, eased, "at the second break")

	alone := func(at time.Time) bool {
		return slices.ContainsFunc(planFor(t, p, "gantry", at, plan.Request{}).Items, func(it plan.Item) bool {
			return it.Behaviour == "hold" && strings.Contains(it.Reason, "bring-dropped broke here twice, so it is worked alone")
		})
	}
	require.False(t, alone(second.Add(-time.Hour)))
	require.True(t, alone(second.Add(time.Hour)))
}

func d13(t *testing.T, p *engine.Program) {
	at := now(t)
	f := replay(t, p)
	move := func(step string, at time.Time) {
		require.NoError(t, f.Note(&curriculum.Event{Dog: "gantry", At: at, Behaviour: "bring-dropped", Kind: curriculum.HandMove, Step: step, By: "Halla Oke"}))
	}
	tr := curriculum.Trial{Dog: "gantry", Behaviour: "bring-dropped", At: at.Add(time.Minute), Place: "home"}
	asks := func(handler, marks string) string {
		tr.At, tr.Session, tr.Handler = tr.At.Add(2*time.Hour), tr.Session+"i", handler
		tr.At = record(t, f, tr, marks)
		return stepOf(t, f, "gantry", "bring-dropped", tr.At.Add(time.Hour))
	}

	move("each-of-us", at)
	require.Equal(t, "each-of-us", asks("senior", "++++++++++"), "one of three")
	require.Equal(t, "each-of-us", asks("junior", "++++"), "two of three")
	require.Equal(t, "each-of-us", asks("owner", "+-+"))
	require.Equal(t, "owner-asks", asks("owner", "++"), "each has four of five: on to the owner alone")

	move("owner-asks", tr.At.Add(time.Hour))
	tr.At = tr.At.Add(time.Hour)
	require.Equal(t, "owner-asks", asks("senior", "++++++++++"), "the hand-over is missing")
	require.Equal(t, "counted-on", asks("owner", "+++-++++++"))
	require.Equal(t, "owner-asks", stepOf(t, f, "gantry", "bring-dropped", tr.At), "it is decided when the session is over")
}

func d14(t *testing.T, p *engine.Program) {
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
		}
		require.Equal(t, plan.Profile, leftOut(t, next, "drawer-open").Code)
		require.Equal(t, plan.Waiting, leftOut(t, next, "pivot-right").Code)
	}

	// Were the dog ready for pivots, three a session and a quarter turn would be the most, wherever somebody sets the dog.
	set := func(behaviour, step string, level curriculum.LevelRef) {
		require.NoError(t, f.Note(&curriculum.Event{Dog: "pewter", At: now(t), Behaviour: behaviour, Kind: curriculum.HandMove, Step: step, Level: level, By: "Halla Oke"}))
	}
	turned := func(step, degrees string) *plan.Plan {
		turn, ok := curriculum.ParseLevelValue("turn", degrees)
		require.True(t, ok)
		for _, side := range []string{"pivot-left", "pivot-right"} {
			set(side, step, curriculum.LevelRef{{Of: "turn", LevelValue: turn}})
		}
		return nextFor(t, p, f, "pewter", now(t), "pivot-right")
	}
	set("step-platform", "walk-round", nil)
	for _, degrees := range []string{"60 deg", "90 deg"} {
		next := turned("quarter-turn", degrees)
		require.Equal(t, 3, trialsOf(next, "pivot-right"), "%s: %v", degrees, next.LeftOut)
		require.Zero(t, trialsOf(next, "pivot-left"), "not in one session while they are new")
	}
	for _, side := range []string{"pivot-left", "pivot-right"} {
		require.Equal(t, plan.Profile, leftOut(t, turned("wide-turn", "180 deg"), side).Code)
	}
}

// At 24 degrees in the yard lively work is left out and the sheet warns of heat; mat and care stay. What the thermometer
// said on an earlier day is a note, and what the dog showed is a sign.
func d15(t *testing.T, p *engine.Program) {
	warm := func(celsius float64, place string) *plan.Plan {
		return planFor(t, p, "bisk", now(t), plan.Request{Celsius: &celsius, Place: place, Favour: []string{"call-in", "take", "mat-settle", "basket-nose"}})
	}
	lively := func(next *plan.Plan) int { return trialsOf(next, "call-in") + trialsOf(next, "take") }
	says := func(next *plan.Plan) bool {
		return strings.Contains(strings.Join(next.Cautions, " "), "heat can kill at ordinary temperatures")
	}
	hot, cool, indoors := warm(24, "yard"), warm(14, "yard"), warm(18, "room-a")
	for _, name := range []string{"call-in", "take"} {
		require.Equal(t, plan.TooWarm, leftOut(t, hot, name).Code)
		require.Contains(t, leftOut(t, hot, name).Reason, "it is 24 degrees, and bisk's profile says nothing lively above 16")
	}
	require.Positive(t, trialsOf(hot, "mat-settle"))
	require.Positive(t, trialsOf(hot, "basket-nose"))
	require.True(t, says(hot) && says(indoors), "a flat-faced dog is warned for from its own 16 degrees")
	require.Zero(t, lively(indoors))
	require.Positive(t, lively(cool))
	require.False(t, says(cool))

	var notes []string
	for _, e := range until(t, "bisk", now(t)) {
		if e.IsEvent && e.Event.Kind == curriculum.NoteTaken {
			notes = append(notes, e.Event.Note)
		}
	}
	require.Contains(t, notes, "24 degrees in the shade")
	soon := planFor(t, p, "bisk", clock(t, "2026-04-17 13:10"), plan.Request{})
	require.Empty(t, soon.Items)
	require.Equal(t, plan.SessionEnded, leftOut(t, soon, "hand-touch").Code)
	require.NotEmpty(t, planFor(t, p, "bisk", clock(t, "2026-04-17 19:00"), plan.Request{}).Items, "in the cool of the evening")
}

func d16(t *testing.T, _ *engine.Program) {
	c, ds := dsl.ReadFS(examples.Files(), examples.Draft)
	require.Empty(t, ds)
	p, err := engine.Compile(c)
	require.NoError(t, err)
	var texts []string
	for _, f := range proof.Check(p, proof.Options{}) {
		if f.Code == "cues-alike" {
			texts = append(texts, f.Text)
		}
	}
	all := strings.Join(texts, "\n")
	for _, pair := range [][]string{{"mat", "map"}, {"nose", "toes"}} {
		require.Contains(t, all, pair[0])
		require.Contains(t, all, pair[1])
	}
}

// A tally without its order and without a mark for each trial is not in the language: blocks and streaks could not be told.
func d17(t *testing.T, p *engine.Program) {
	book := "okapi 2026-04-19 17:10 home owner\nmat-settle: 7 of 10\nhand-touch: + + -\n"
	r := history.NewReader(strings.NewReader(book), "owner.tally", history.Options{}.For(p.Curriculum()))
	n := 0
	for e := (curriculum.Entry{}); r.Next(&e) == nil; n++ {
		require.Equal(t, "hand-touch", e.Trial.Behaviour)
	}
	require.Equal(t, 3, n)
	require.Len(t, r.Reports(), 1)
	require.True(t, r.Reports()[0].Unusable)
	require.Equal(t, 2, r.Reports()[0].Line)
}

func d18(t *testing.T, p *engine.Program) {
	known := until(t, "okapi", now(t))
	f := p.Replay(known, now(t), dogs(t)...)
	was, then := f.Standing(now(t)), nextFor(t, p, f, "okapi", now(t))

	late := curriculum.Trial{Dog: "okapi", Behaviour: "mat-settle", At: clock(t, "2026-04-17 20:30"), Session: "found in a coat",
		Place: "home", Handler: "owner", Step: "stay", Outcome: curriculum.Success}
	refused := late
	require.Error(t, f.Record(&refused), "a fold goes forward only")
	for range 5 {
		known = append(known, curriculum.Entry{Trial: late})
		late.At = late.At.Add(20 * time.Second)
	}
	f = p.Replay(known, now(t), dogs(t)...)
	require.NotEqual(t, then, nextFor(t, p, f, "okapi", now(t)))

	changes, err := p.Since(was, f.Standing(now(t)))
	require.NoError(t, err)
	require.Len(t, changes.Dogs, 1)
	require.Len(t, changes.Dogs[0].Behaviours, 1, "nothing else moved")
	b := changes.Dogs[0].Behaviours[0]
	require.Equal(t, "mat-settle", b.Behaviour)
	require.NotEqual(t, b.Then, b.Now)
	require.NotEmpty(t, b.Moves)
	require.Equal(t, engine.MoveNew, b.Moves[0].Kind)
	require.False(t, b.Moves[0].Later, "not time, but the sheet")
}

func d19(t *testing.T, p *engine.Program) {
	void := 0
	var ids []string
	for _, e := range until(t, "bisk", now(t)) {
		if !e.IsEvent && e.At().Format(time.DateOnly) == "2026-04-08" {
			ids = append(ids, e.Trial.ID)
			if e.Trial.Outcome == curriculum.Void {
				void++
			}
		}
	}
	require.Equal(t, 3, void)
	for _, m := range standing(t, p, "bisk", "mat-settle").Moves {
		require.NotContains(t, ids[1:], m.Trial)
		require.NotEqual(t, "2026-04-08", m.At.Format(time.DateOnly))
	}
	var codes []string
	for _, r := range replay(t, p).Reports() {
		require.False(t, r.Unusable)
		codes = append(codes, r.Code)
	}
	require.Contains(t, codes, "conditions-unsuitable")
}

// Three right ones on entering a level are enough to go on, a level at a time. A bound on levels a session is not in the
// language; the ten trials that a session may spend on one behaviour allow three such levels.
func d20(t *testing.T, p *engine.Program) {
	s := standing(t, p, "sorrel", "mat-settle")
	require.Equal(t, "skip", s.Moves[0].Rule)
	require.Equal(t, engine.Place{Step: "stay", Level: map[string]string{"duration": "2 s"}}, s.Moves[0].To)
	flown := map[string]int{}
	eight := false
	for _, m := range s.Moves[1:] {
		if m.Rule == "advance" && m.From.Step == "stay" {
			flown[m.At.Format(time.DateOnly)]++
			if m.From.Level["duration"] == "8 s" {
				eight = true
				require.Equal(t, map[string]string{"duration": "12 s"}, m.To.Level)
				require.Len(t, m.Trials, 3)
			}
		}
	}
	require.True(t, eight, "past 8 s")
	require.Equal(t, 3, flown["2026-03-02"], "3 s, 5 s and 8 s in one session, and no further")
	for date, n := range flown {
		require.LessOrEqual(t, n, 3, date)
	}
}
