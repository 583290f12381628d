package naive_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/internal/naive"
)

// The reader is itself held to sentences of the language, one history each, worked out by hand.
//
//   - success   - wrong   0 silent   h helped late   e helped early   v void   o opt-out
//     | a new session a day later   ; a new session an hour later   A B C the place from here on   1-9 so many days go by
//     s a success naming the third step   H a move by hand to the first step
type sentence struct {
	says    string
	history string
	first   curriculum.Rule // of the first step, which has levels of 2 s, 10 s, 20 s
	second  curriculum.Rule
	more    func(*curriculum.Curriculum)
	want    string // "rule trial>step level", in order; "n" for notes
}

func window(k, n int, of curriculum.Counted) curriculum.Window {
	return curriculum.Window{K: k, N: n, Count: of}
}

func up(c curriculum.Criterion) curriculum.Rule {
	return curriculum.Rule{Word: curriculum.Advance, When: c}
}

func rules(c *curriculum.Curriculum, step int, rs ...curriculum.Rule) {
	s := c.Behaviours[0].Steps[step]
	s.Rules = append(s.Rules, rs...)
}

func TestSentencesOfTheLanguage(t *testing.T) {
	one := up(window(1, 1, curriculum.Successes))
	miss := window(1, 1, curriculum.Misses)
	twoMisses := window(2, 2, curriculum.Misses)
	never := up(window(50, 50, curriculum.Successes))
	ease := func(c curriculum.Criterion) curriculum.Rule {
		return curriculum.Rule{Word: curriculum.Ease, When: c}
	}
	split := func(c curriculum.Criterion) curriculum.Rule {
		return curriculum.Rule{Word: curriculum.Split, When: c}
	}
	share := func(n int, row bool) curriculum.Criterion {
		return curriculum.SessionShare{Share: curriculum.Percent(80), MinTrials: 2, N: n, InARow: row}
	}
	repeated := func(over curriculum.Over, row bool) curriculum.Criterion {
		return curriculum.Repeated{Is: window(2, 2, curriculum.Successes), N: 2, Over: over, InARow: row}
	}
	decide := func(d curriculum.Decide) func(*curriculum.Curriculum) {
		return func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[0].Decide = d }
	}
	grain := func(n int64) func(*curriculum.Curriculum) {
		return func(c *curriculum.Curriculum) {
			c.Behaviours[0].Steps[0].Ramps[0].Grain = curriculum.Q(n, curriculum.Second)
			rules(c, 0, ease(miss))
		}
	}
	for _, s := range []sentence{
		{says: "advance goes up the levels, then the steps, then it is kept", history: "+++++", first: one, second: one,
			want: "advance 1>first 10 s, advance 2>first 20 s, advance 3>second, advance 4>third, advance 5>third kept"},
		{says: "an ease at the very start is a move to itself", history: "-", first: ease(miss), second: one, want: "ease 1>first 2 s"},
		{says: "a split puts a level half-way", history: "+-", first: one, second: one,
			more: func(c *curriculum.Curriculum) { rules(c, 0, split(miss)) }, want: "advance 1>first 10 s, split 2>first 6 s"},
		{says: "to the nearest multiple of the grain, a tie to the easier side", history: "+-", first: one, second: one,
			more: func(c *curriculum.Curriculum) {
				c.Behaviours[0].Steps[0].Ramps[0].Grain = curriculum.Q(4, curriculum.Second)
				rules(c, 0, split(miss))
			},
			want: "advance 1>first 10 s, split 2>first 4 s"},
		{says: "where ease holds too it eases, and meets the new level on its way up", history: "+-++", first: one, second: one,
			more: func(c *curriculum.Curriculum) { grain(1)(c); rules(c, 0, split(miss)) },
			want: "advance 1>first 10 s, ease 2>first 2 s, advance 3>first 6 s, advance 4>first 10 s"},
		{says: "no room on the first level: it flags, and says so once", history: "--", first: split(miss), second: one, want: "n flag 1"},
		{says: "without room an advance may still be taken", history: "-", first: split(miss), second: one,
			more: func(c *curriculum.Curriculum) { rules(c, 0, up(miss)) }, want: "advance 1>first 10 s, n flag 1"},
		{says: "eased twice, the ease due now included", history: "+-+-", first: one, second: one,
			more: func(c *curriculum.Curriculum) { grain(1)(c); rules(c, 0, split(curriculum.Eased{N: 2})) },
			want: "advance 1>first 10 s, ease 2>first 2 s, advance 3>first 10 s, ease 4>first 2 s"},
		{says: "and then there is the new level", history: "+-+-+", first: one, second: one,
			more: func(c *curriculum.Curriculum) { grain(1)(c); rules(c, 0, split(curriculum.Eased{N: 2})) },
			want: "advance 1>first 10 s, ease 2>first 2 s, advance 3>first 10 s, ease 4>first 2 s, advance 5>first 6 s"},
		{says: "skip needs evidence that names the step", history: "+ss", first: never, second: never,
			more: func(c *curriculum.Curriculum) {
				rules(c, 2, curriculum.Rule{Word: curriculum.Skip, When: window(2, 2, curriculum.Successes)})
			}, want: "skip 3>third"},
		{says: "and only since the last move", history: "s-s", first: ease(miss), second: never,
			more: func(c *curriculum.Curriculum) {
				rules(c, 2, curriculum.Rule{Word: curriculum.Skip, When: window(2, 2, curriculum.Successes)})
			}, want: "ease 2>first 2 s"},
		{says: "decide every 3 waits for the third evidence trial", history: "++e+", first: one, second: one, more: decide(curriculum.Decide{EveryTrials: 3}), want: "advance 4>first 10 s"},
		{says: "decide each session waits for the close, and the move bears the last evidence trial", history: "++v|v", first: one, second: one, more: decide(curriculum.Decide{EachSession: true}),
			want: "advance 2>first 10 s"},
		{says: "a share is looked at when the session closes", history: "+++;-", first: up(share(1, false)), second: one, want: "advance 3>first 10 s"},
		{says: "short sessions are passed over", history: "++;+;++;+", first: up(share(2, true)), second: one, want: "advance 5>first 10 s"},
		{says: "a poor one breaks the run", history: "++;--;++;+", first: up(share(2, true)), second: one},
		{says: "without in a row it does not", history: "++;--;++;+", first: up(share(2, false)), second: one, want: "advance 6>first 10 s"},
		{says: "in 2 sessions: inside each alone", history: "+;++;-;++", first: up(repeated(curriculum.Sessions, false)), second: one, want: "advance 6>first 10 s"},
		{says: "in a row: in the latest that were worked", history: "++;-;++", first: up(repeated(curriculum.Sessions, true)), second: one},
		{says: "in 2 places: what happened elsewhere does not matter", history: "A+B+A+C-B+", first: up(repeated(curriculum.Places, false)), second: one, want: "advance 5>first 10 s"},
		{says: "in 2 days", history: "++;++|++", first: up(repeated(curriculum.Days, false)), second: one, want: "advance 6>first 10 s"},
		{says: "first trial: two cold tests", history: "+-;v-+;+", first: up(curriculum.FirstTrial{N: 2}), second: one, want: "advance 6>first 10 s"},
		{says: "in a row: a cold miss breaks it", history: "+;-+;+", first: up(curriculum.FirstTrial{N: 2, InARow: true}), second: one},
		{says: "a first trial that is no evidence is passed over", history: "+;e-;+", first: up(curriculum.FirstTrial{N: 2, InARow: true}), second: one, want: "advance 4>first 10 s"},
		{says: "the level was entered before the cold test", history: "H+;+", first: up(curriculum.FirstTrial{N: 1}), second: one, want: "hand >first 2 s, advance 1>first 10 s, advance 2>first 20 s"},
		{says: "after 2 sessions: closed and worked", history: "+;+;+", first: up(curriculum.After{N: 2, Unit: curriculum.AfterSessions}), second: one, want: "advance 3>first 10 s"},
		{says: "away: an ease before the trial is taken", history: "+5-", first: one, second: one,
			more: func(c *curriculum.Curriculum) {
				c.Sessions = []*curriculum.Session{{Away: []curriculum.Away{{Days: 5, Levels: 1}}}}
			},
			want: "advance 1>first 10 s, ease 2>first 2 s"},
		{says: "lapse goes to the last level, and it is kept again by its own rules", history: "+++++--+", first: one, second: one,
			more: func(c *curriculum.Curriculum) {
				c.Behaviours[0].Lapse = []curriculum.Rule{{Word: curriculum.Lapse, When: twoMisses}}
			},
			want: "advance 1>first 10 s, advance 2>first 20 s, advance 3>second, advance 4>third, advance 5>third kept, lapse 7>third, advance 8>third kept"},
		{says: "five of five prove more than half with 95% confidence", history: "+++++", want: "advance 5>first 10 s", second: one,
			// the exact lower bound of 5 of 5 is 0.05^(1/5) = 0.549; of 4 of 4 it is 0.473
			first: up(curriculum.Confidence{Share: curriculum.Percent(50), Confidence: curriculum.Percent(95), N: 30})},
		{says: "sequential: 0.8 against 0.5 needs seven straight for a ratio of 19", history: "+++++++", want: "advance 7>first 10 s", second: one,
			// 1.6^6 = 16.8, 1.6^7 = 26.8; bound (1 - 0.05)/0.05 = 19
			first: up(curriculum.Sequential{Low: curriculum.Percent(50), High: curriculum.Percent(80), WronglyUp: curriculum.Percent(5), WronglyDown: curriculum.Percent(5)})},
	} {
		t.Run(s.says, func(t *testing.T) { s.check(t) })
	}
}

func (s sentence) check(t *testing.T) {
	ramp := curriculum.Ramp{Of: "duration", Measured: true}
	for _, n := range []int64{2, 10, 20} {
		ramp.Values = append(ramp.Values, curriculum.LevelValue{Quantity: curriculum.Q(n, curriculum.Second)})
	}
	first := &curriculum.Step{Name: "first", Ramps: []curriculum.Ramp{ramp}, Rules: []curriculum.Rule{s.first}}
	first.Levels = curriculum.LayOut(first.Ramps, first.Raise)
	second := &curriculum.Step{Name: "second", Levels: curriculum.LayOut(nil, curriculum.Raise{}), Rules: []curriculum.Rule{s.second}}
	third := &curriculum.Step{Name: "third", Levels: curriculum.LayOut(nil, curriculum.Raise{}), Rules: []curriculum.Rule{up(window(1, 1, curriculum.Successes))}}
	c := &curriculum.Curriculum{Name: "sentences", Behaviours: []*curriculum.Behaviour{{Name: "spin", Steps: []*curriculum.Step{first, second, third}}}}
	if s.more != nil {
		s.more(c)
	}
	r := naive.New(c)
	at := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	place, n := "", 0
	for _, m := range s.history {
		tr := curriculum.Trial{Dog: "okapi", Behaviour: "spin", Outcome: curriculum.Success, Place: place}
		switch {
		case m == '|':
			at = at.Add(24 * time.Hour)
			continue
		case m == ';':
			at = at.Add(time.Hour)
			continue
		case m >= 'A' && m <= 'C':
			place = string(m)
			continue
		case m >= '1' && m <= '9':
			at = at.Add(time.Duration(m-'0') * 24 * time.Hour)
			continue
		case m == 'H':
			require.NoError(t, r.Event(curriculum.Event{Dog: "okapi", Behaviour: "spin", Kind: curriculum.HandMove, Step: "first", At: at, By: "Halla"}))
			continue
		case m == '-':
			tr.Outcome = curriculum.Wrong
		case m == '0':
			tr.Outcome = curriculum.Silent
		case m == 'v':
			tr.Outcome = curriculum.Void
		case m == 'o':
			tr.Outcome = curriculum.OptOut
		case m == 'h':
			tr.Help = []string{curriculum.UnnamedHelp}
		case m == 'e':
			tr.Early = true
		case m == 's':
			tr.Step = "third"
		}
		n++
		tr.ID, tr.At = fmt.Sprint(n), at
		require.NoError(t, r.Trial(tr))
		at = at.Add(time.Minute)
	}
	b := r.Answers(at)[0].Behaviours[0]
	var got []string
	for _, m := range b.Moves {
		text := fmt.Sprintf("%s %s>%s", m.Rule, m.Trial, m.To.Step)
		if d := m.To.Level["duration"]; d != "" {
			text += " " + d
		}
		if m.To.Kept {
			text += " kept"
		}
		got = append(got, text)
	}
	for _, m := range b.Noted {
		got = append(got, fmt.Sprintf("n %s %s", m.Rule, m.Trial))
	}
	require.Equal(t, s.want, strings.Join(got, ", "))
}
