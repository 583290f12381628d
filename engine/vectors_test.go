package engine_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// Worked vectors: short histories whose outcome was worked out by hand, as common practice of trainers, no source. The
// step "middle" has an easier one before it and a harder one behind it.
//
//   - success   - wrong   0 silent   h helped late   e helped early   v void
//     b B success and miss at the harder step   < success at the easier one   | a new session, a day later
type vector struct {
	name    string
	history string
	rules   []curriculum.Rule
	moves   string // of the rules, with the trial's number: "advance 5"; "" for none
	noted   string
	trials  int // evidence since the level was entered, where nothing moved
	remark  string
}

func TestWorkedVectors(t *testing.T) {
	fourOfFive := advance(ofLast(4, 5))
	eightOfTen := advance(ofLast(8, 10))
	ease := func(c curriculum.Criterion) curriculum.Rule {
		return curriculum.Rule{Word: curriculum.Ease, When: c}
	}
	threeMisses := ease(misses(3, 5))
	twoRunning := ease(missesInARow(2))
	stop := curriculum.Rule{Word: curriculum.StopToday, When: curriculum.Window{K: 2, N: 2, Count: curriculum.Silents, InARow: true}}
	rules := func(rs ...curriculum.Rule) []curriculum.Rule { return rs }
	today := func(c curriculum.Criterion) curriculum.Rule { return advance(curriculum.InSession{Is: c}) }
	session := func(n int) curriculum.Rule {
		return advance(curriculum.SessionShare{Share: curriculum.Percent(80), MinTrials: 10, N: n, InARow: n > 1})
	}
	for _, v := range []vector{
		{name: "one miss inside four of five", history: "++-++", rules: rules(fourOfFive), moves: "advance 5"},
		{name: "four straight need no fifth", history: "++++", rules: rules(fourOfFive), moves: "advance 4"},
		{name: "between advance and ease nothing happens", history: "+-++-", rules: rules(fourOfFive, threeMisses), trials: 5},
		{name: "two misses running ease", history: "+++--", rules: rules(fourOfFive, twoRunning), moves: "ease 5"},
		{name: "late help is a miss", history: "-++h++", rules: rules(fourOfFive, threeMisses), moves: "advance 6"},
		{name: "early help is looked through", history: "-++e++", rules: rules(fourOfFive, threeMisses), moves: "advance 6"},
		{name: "voids are looked through", history: "++vv++", rules: rules(fourOfFive), moves: "advance 6"},
		{name: "a window runs on over sessions", history: "+++|+", rules: rules(fourOfFive), moves: "advance 4"},
		{name: "unless it says in this session", history: "+++|+", rules: rules(today(ofLast(4, 5))), trials: 4},
		{name: "a miss on the second day stays inside", history: "++|-++", rules: rules(fourOfFive), moves: "advance 5"},
		{name: "a success at a harder step is no evidence here", history: "+++b+", rules: rules(fourOfFive), moves: "advance 5"},
		{name: "nor is a miss at a harder step", history: "++B++", rules: rules(fourOfFive, threeMisses), moves: "advance 5"},
		{name: "nor are successes at an easier one", history: "<<<<+", rules: rules(fourOfFive), trials: 1},
		{name: "two silent stop for today, and ease nothing", history: "+00", rules: rules(stop), noted: "stop 3", trials: 3},
		{name: "help counts among misses", history: "--h-", rules: rules(threeMisses), moves: "ease 3"},
		{name: "eight of the nine so far settle eight of ten", history: "+++-+++++-+++", rules: rules(eightOfTen), moves: "advance 9"},
		{name: "seven of the last ten do not", history: "++-+-+++-+++", rules: rules(eightOfTen, ease(missesInARow(3))), trials: 12},
		{name: "a streak runs on over sessions", history: "++++|+", rules: rules(advance(inARow(5))), moves: "advance 5",
			remark: "many trainers hold that a night breaks a streak; here that is written `5 in a row in this session`, the next line"},
		{name: "unless it says in this session, too", history: "++++|+", rules: rules(today(inARow(5))), trials: 5},
		{name: "void and early help do not break a streak", history: "++v+e+", rules: rules(advance(inARow(4))), moves: "advance 6"},

		{name: "eighty per cent on two days", history: "+++++++-+-|++++-+++++", rules: rules(session(2)), moves: "advance 20"},
		{name: "a short session is passed over", history: "++++++++--|+++++|+++++++++-", rules: rules(session(2)), moves: "advance 25"},
		{name: "a poor session breaks the run", history: "+++++++++-|+-+-+-++-+|++++++++++", rules: rules(session(2)), trials: 30},
		{name: "one day, the whole session counts", history: "+++++++---|++++++++++++", rules: rules(session(1)), moves: "advance 22",
			remark: "some houses take the first ten alone; the share here is of the whole session, twelve of twelve"},
		{name: "a short session with three misses is passed over as well", history: "++++++++++|-+--|++++++++++", rules: rules(session(2)), moves: "advance 24",
			remark: "some houses let a short session that is lost already break the run; here shorter sessions neither count nor break"},
		// the same with blocks, which do not look at sessions
		{name: "one block of ten", history: "+++++++---|++++++++++++", rules: rules(advance(ofEach(8, 10))), moves: "advance 20",
			remark: "blocks run on over sessions: trials 11 to 20"},
	} {
		t.Run(v.name, func(t *testing.T) { v.check(t) })
	}
}

func (v vector) check(t *testing.T) {
	step := func(name string, rules ...curriculum.Rule) *curriculum.Step {
		return &curriculum.Step{Name: name, Levels: curriculum.LayOut(nil, curriculum.Raise{}), Rules: rules}
	}
	c := &curriculum.Curriculum{Name: "vectors", Behaviours: []*curriculum.Behaviour{{Name: "spin", Steps: []*curriculum.Step{
		step("easier", advance(inARow(1))), step("middle", v.rules...), step("harder", advance(inARow(20)))}}}}
	p, err := engine.Compile(c)
	require.NoError(t, err)
	f := p.NewFold()
	at := noon
	take := func(id string, tr curriculum.Trial) {
		tr.ID, tr.Dog, tr.Behaviour, tr.At = id, "okapi", "spin", at
		require.NoError(t, f.Record(&tr))
		at = at.Add(time.Minute)
	}
	take("before", curriculum.Trial{Outcome: curriculum.Success})
	at = at.Add(24 * time.Hour)
	n := 0
	for _, mark := range v.history {
		if mark == '|' {
			at = at.Add(24 * time.Hour)
			continue
		}
		n++
		// every trial names its step, as a trainer's sheet does
		tr := map[rune]curriculum.Trial{
			'+': {Outcome: curriculum.Success}, '-': {Outcome: curriculum.Wrong}, '0': {Outcome: curriculum.Silent},
			'h': {Outcome: curriculum.Success, Help: []string{curriculum.UnnamedHelp}},
			'e': {Outcome: curriculum.Success, Help: []string{curriculum.UnnamedHelp}, Early: true},
			'v': {Outcome: curriculum.Void},
			'b': {Outcome: curriculum.Success, Step: "harder"}, 'B': {Outcome: curriculum.Wrong, Step: "harder"}, '<': {Outcome: curriculum.Success, Step: "easier"},
		}[mark]
		if tr.Step == "" {
			tr.Step = "middle"
		}
		take(fmt.Sprint(n), tr)
	}
	b := f.Standing(at.Add(time.Hour)).Dogs[0].Behaviours[0]
	var moves, noted []string
	for _, m := range b.Moves[1:] { // the first brought it to the middle
		moves = append(moves, m.Rule+" "+m.Trial)
	}
	for _, m := range b.Noted {
		noted = append(noted, m.Rule+" "+m.Trial)
	}
	require.Equal(t, v.moves, strings.Join(moves, ", "), v.remark)
	require.Equal(t, v.noted, strings.Join(noted, ", "))
	if v.moves == "" {
		require.Equal(t, v.trials, b.Trials)
	}
}
