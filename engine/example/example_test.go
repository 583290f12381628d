package example_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/example"
)

// The demo school's dogs and behaviours are made up; the rules are small so that the histories are.
const yard = `rung 1
place room-a, yard, lane
handler senior, owner
measure turn in deg
food ration 1.5 kcal
food chicken 3 kcal, contains chicken, extra
behaviour spin {
  cue "spin", hand "circle"
  step one {
    prompt word
    help   touch
    ramp   turn 30 deg, 60 deg, 90 deg grain 5 deg
    advance when 4 of last 5
    ease when 3 misses of last 5
    split when eased twice
    stop today when 2 misses in a row
    flag when after 12 trials
  }
  step two {
    prompt word
    advance when 3 in a row in 2 places or 5 in a row within 2 s
    ease to one when 2 misses in a row
    skip when 3 in a row
  }
  lapse to two when 2 misses of last 3
}
behaviour mat {
  needs firmly spin at two
  step lie {
    prompt word
    decide each session
    advance when 2 in a row
  }
}
behaviour perch {
  needs dog { age_months >= 12 and weight_kg > 5 }
  never with mat until lie
  step lie {
    prompt word
    advance when first trial in 2 sessions in a row and after 2 days
  }
}
session {
  at most 20 trials
  after 21 days away ease one level
}
`

func read(t testing.TB, text string) *engine.Program {
	t.Helper()
	c, ds := dsl.ReadFS(fstest.MapFS{"yard.rung": {Data: []byte(text)}}, "yard.rung")
	require.Empty(t, ds, ds.Text())
	p, err := engine.Compile(c)
	require.NoError(t, err)
	return p
}

// firstLine is where the lines of try begin.
var firstLine = strings.Count(yard, "\n") + 2

// try runs one example with those lines.
func try(t testing.TB, lines string, dogs ...curriculum.Dog) *example.Result {
	t.Helper()
	return example.Run(read(t, yard+"example \"this\" {\n"+lines+"\n}\n"), example.Options{Dogs: dogs})
}

func TestExamplesThatSayWhatTheRulesSayPass(t *testing.T) {
	for name, lines := range map[string]string{
		"nothing has happened":                        "expect spin is open\nexpect spin at one turn 30 deg\nexpect mat is waiting\nexpect perch is waiting",
		"four straight go on":                         "spin: + + + +\nexpect spin at one turn 60 deg",
		"a step alone means any of its levels":        "spin: + + + +\nexpect spin at one",
		"an equal quantity in another unit":           "spin at one turn 30 deg: + + + +\nexpect spin at one turn 60 deg",
		"late help is a miss":                         "spin: h h h\nexpect spin at one turn 30 deg\nexpect spin is working",
		"early help and spoiled trials are none":      "spin: e e e x x + + +\nexpect spin at one turn 30 deg\nspin: +\nexpect spin at one turn 60 deg",
		"an opt-out is no miss":                       "spin: - o! o! -\nexpect spin notes stop\nspin: -\nexpect spin notes no stop",
		"no response is a miss":                       "spin: 0 0\nexpect spin notes stop",
		"notes are asked of what came last":           "spin: - -\nexpect spin notes stop\nspin: +\nexpect spin notes no stop",
		"a stop may be noted again in a new session":  "spin: - -\nexpect spin notes stop\nsession\nspin: - -\nexpect spin notes stop",
		"the same expectations may be asked together": "spin: - -\nexpect spin at one\nexpect spin notes stop\nexpect spin notes no flag\nexpect spin notes stop",
		"a flag after so many trials":                 "spin: + - + - + - + - + - +\nexpect spin notes no flag\nspin: -\nexpect spin notes flag",
		"a start needs no way there":                  "start spin at two\nexpect spin at two\nexpect spin is working\nexpect mat is open",
		"a start at a level":                          "start spin at one turn 90 deg\nspin: + + + +\nexpect spin at two",
		"a start that is the end":                     "start spin kept\nexpect spin is kept\nspin: - -\nexpect spin is lapsed\nexpect spin at two",
		"a level that a split put in":                 "start spin at one turn 60 deg\nspin: - - -\nspin: + + + +\nspin: - - -\nexpect spin at one turn 30 deg\nspin: + + + +\nexpect spin at one turn 45 deg",
		"places are those of the session":             "start spin at two\nsession in yard\nspin: + + +\nsession in lane\nspin: + +\nexpect spin at two\nspin: +\nexpect spin is kept",
		"places are not carried over":                 "start spin at two\nsession in yard\nspin: + + +\nsession\nspin: + + +\nexpect spin at two",
		"what was measured":                           "start spin at two\nspin: + (latency 1 s) + (latency 2 s) + (latency 1.5 s) + (latency 0.2 s)\nexpect spin at two\nspin: + (latency 1 s)\nexpect spin is kept",
		"a firm need that is lost":                    "start spin at two\nstart mat at lie\nexpect mat is working\nspin: - -\nexpect mat is paused",
		"a session is decided when it is over":        "start spin at two\nmat: + +\nexpect mat at lie\nsession\nexpect mat is kept",
		"later the same day is no new day":            "dog 12 months old, 6 kg\nperch: + +\nsession\nperch: +\nsession\nperch: +\nexpect perch at lie",
		"two days later":                              "dog 12 months old, 6 kg\nperch: + +\nsession after 1 day\nperch: +\nsession after 1 day\nperch: +\nexpect perch is kept",
		"bars between sessions":                       "dog 12 months old, 6 kg\nperch: + + || + || +\nexpect perch is kept",
		"a bar on the same day":                       "dog 12 months old, 6 kg\nperch: + + | + | + | +\nexpect perch at lie",
		"a bar at the end closes the session":         "start spin at two\nmat: + + |\nexpect mat is kept",
		"a bar keeps the place":                       "start spin at two\nsession in yard\nspin: + + +\nsession in lane\nspin: + | + +\nexpect spin is kept",
		"rows over sessions":                          "start spin at two\ncase mat: + + | then is kept\ncase mat: + | + | then is kept\ncase mat: + | - | then at lie",
		"a dog that is too young":                     "dog 11 months old, 6 kg\nexpect perch is waiting",
		"a dog that is too light":                     "dog 12 months old, 5 kg\nexpect perch is waiting",
		"a dog that is old enough":                    "dog 12 months old, 5.1 kg\nexpect perch is open",
		"a dog grows older":                           "dog 360 days old, 6 kg\nexpect perch is waiting\nsession after 5 days\nexpect perch is open",
		"after a long pause":                          "start spin at one turn 60 deg\nspin: +\nsession after 21 days\nspin: +\nexpect spin at one turn 30 deg",
		"skipping ahead":                              "spin at two: + + +\nexpect spin at two",
		"a plan":                                      "dog 14 months old, 8 kg\nstart spin at two\nexpect plan has spin\nexpect plan has mat\nexpect plan leaves out perch\nexpect plan leaves out perch because never-with",
		"a plan while the session goes on":            "spin: - -\nexpect plan leaves out spin because stopped\nsession\nexpect plan has spin",
		"rows begin afresh":                           "start spin at two\ncase spin: - - then at one turn 90 deg\ncase spin: - then at two and is working and notes no stop\ncase spin: - - then at one and notes no stop",
	} {
		t.Run(name, func(t *testing.T) {
			r := try(t, lines)
			for _, c := range r.Cases {
				for _, f := range c.Failures {
					t.Errorf("line %d: expected %s; %s", f.Line, f.Expected, f.Found)
				}
			}
			require.Positive(t, r.Passed)
			require.Zero(t, r.Failed)
		})
	}
}

func TestAFailureSaysWhereItParted(t *testing.T) {
	for name, c := range map[string]struct {
		lines               string
		line, column        int
		expected, found     string
		trial, line2, mark2 int
		parted              string
	}{
		"it was there and moved on": {"spin: + + + + + - - -\nexpect spin at one turn 60 deg", 2, 1, "spin at one turn 60 deg", "spin is working at one turn 30 deg",
			8, 1, 21, "it stood there until trial 8 moved it on: ease to one turn 30 deg, 3 misses of last 5 (yard.rung:14)"},
		"it went further": {"spin: + + + + + + + +\nexpect spin at one turn 60 deg", 2, 1, "spin at one turn 60 deg", "spin is working at one turn 90 deg",
			8, 1, 21, "it stood there until trial 8 moved it on: advance to one turn 90 deg, 4 of last 5 (yard.rung:13)"},
		"it went the wrong way": {"start spin at one turn 60 deg\nspin: - - - +\nexpect spin at one turn 90 deg", 3, 1, "spin at one turn 90 deg", "spin is working at one turn 30 deg",
			3, 2, 11, "trial 3 led away from there: ease to one turn 30 deg, 3 misses of last 5 (yard.rung:14)"},
		"it got too few": {"spin: + - + -\nspin: +\nexpect spin at one turn 60 deg", 3, 1, "spin at one turn 60 deg", "spin is working at one turn 30 deg",
			4, 1, 13, "after trial 4 (-) it was out of reach: successes alone, from here to trial 5, would not have been enough"},
		"it got too few misses": {"start spin at one turn 60 deg\nspin: - + + + -\nexpect spin at one turn 30 deg", 3, 1, "spin at one turn 30 deg", "spin is working at one turn 60 deg",
			4, 2, 13, "after trial 4 (+) it was out of reach: misses alone, from here to trial 5, would not have been enough"},
		"a note that does not come": {"spin: - + -\nexpect spin notes stop", 2, 1, "spin notes stop", "no stop was noted",
			2, 1, 9, "after trial 2 (+) it was out of reach: no trials of one kind, from here to trial 3, would have been enough"},
		"a state that does not come": {"start spin kept\nspin: - + + -\nexpect spin is lapsed", 3, 1, "spin is lapsed", "spin is kept",
			3, 2, 11, "after trial 3 (+) it was out of reach: no trials of one kind, from here to trial 4, would have been enough"},
		"a state": {"start spin at two\nstart mat at lie\nspin: + - -\nexpect mat is working", 4, 1, "mat is working", "mat is paused at lie: it needs spin at two",
			3, 3, 11, "since trial 3 it is paused; before it was working"},
		"a note that should not be": {"spin: + - - -\nexpect spin notes no stop", 2, 1, "spin notes no stop", "stop was noted at trial 3: 2 misses in a row",
			3, 1, 11, "trial 3 is where stop was noted: 2 misses in a row (yard.rung:16)"},
		"a row": {"start spin at two\ncase spin: + - - then at two", 2, 23, "spin at two", "spin is working at one turn 90 deg",
			3, 2, 16, "it stood there until trial 3 moved it on: ease to one turn 90 deg, 2 misses in a row (yard.rung:22)"},
	} {
		t.Run(name, func(t *testing.T) {
			r := try(t, c.lines)
			require.Equal(t, 1, r.Failed)
			f := r.Cases[0].Failures[0]
			require.Equal(t, []any{c.line, c.column, c.expected, c.found}, []any{f.Line - firstLine + 1, f.Column, f.Expected, f.Found})
			require.NotNil(t, f.Parted)
			require.Equal(t, []any{c.trial, c.line2, c.mark2, c.parted}, []any{f.Parted.Trial, f.Parted.Line - firstLine + 1, f.Parted.Column, f.Parted.Text})
			require.NotNil(t, f.Why)
		})
	}
}

func TestAFailureSaysWhatTheAuthorMayHaveOverlooked(t *testing.T) {
	for name, c := range map[string]struct {
		lines, found string
		idle         []string
	}{
		"the behaviour waits": {"mat: + +\nexpect mat is working", "mat is waiting at lie: it needs spin at two",
			[]string{"trials 1 to 2 (line 48) fed no rule: mat is waiting at lie: it needs spin at two"}},
		"the dog stands elsewhere": {"spin at one turn 60 deg: + + + +\nexpect spin at one turn 60 deg", "spin is open at one turn 30 deg",
			[]string{"trials 1 to 4 (line 48) fed no rule: the dog stood at one turn 30 deg"}},
		"the session is not over": {"start spin at two\nmat: + +\nexpect mat is kept",
			"mat is working at lie; it will be so once the session is over: end the session with a bar | or a line `session` before this one", nil},
		"a note came before": {"spin: - -\nexpect spin at one\nspin: +\nexpect spin notes stop", "stop was noted before the last expectations already, at trial 2", nil},
		"a note of a step that it was moved away from": {"start spin at two\nspin: + - - -\nexpect spin notes flag",
			"no flag was noted; trial 3 moved it from two to one turn 90 deg, 2 misses in a row (yard.rung:22); no trials of one kind, from trial 1 on, would have been enough", nil},
		"nobody wrote down where": {"start spin at two\nspin: + + + || + + +\nexpect spin is kept", "spin is working at two",
			[]string{"no trial says where, which a rule there asks for: begin with a line such as session in lane", "no trial says its latency, which a rule there asks for: write it behind the marks, such as +(latency 1 s)"}},
		"one trial says so": {"start spin at two\nspin: + +(latency 3 s) +\nexpect spin is kept", "spin is working at two",
			[]string{"no trial says where, which a rule there asks for: begin with a line such as session in lane"}},
		"too few trials, whatever they are": {"spin: + + + +\nexpect spin at one turn 90 deg",
			"spin is working at one turn 60 deg; successes alone, from trial 1 on, would not have been enough", nil},
		"a profile is missing": {"dog okapi\nspin: +\nexpect spin is working",
			"there is no profile of a dog \"okapi\": give it with --dogs, or say in the example what matters of the dog", nil},
		"the reason of a plan is another": {"expect plan leaves out mat because never-with", "the plan leaves it out because waiting: waits for spin at two", nil},
		"the plan has it":                 {"expect plan leaves out spin", "the plan has it: new: nothing bars it any more", nil},
		"a start at no level":             {"start spin at one turn 45 deg\nexpect spin at one", "spin at one has no level turn 45 deg", nil},
	} {
		t.Run(name, func(t *testing.T) {
			r := try(t, c.lines)
			require.Equal(t, 1, r.Failed)
			f := r.Cases[0].Failures[0]
			require.Equal(t, c.found, f.Found)
			require.Equal(t, c.idle, f.Idle)
		})
	}
}

// What the rules there have counted is said to four places, however long the fraction is.
func TestAMeanIsSaidToFourPlaces(t *testing.T) {
	p := read(t, `rung 1
behaviour spin {
  step one {
    prompt word
    advance when mean latency of last 3 successes <= 2 s
  }
}
example "a third too slow" {
  spin: +(latency 1 s) +(latency 2 s) +(latency 4 s)
  expect spin is kept
}
`)
	f := example.Run(p, example.Options{}).Cases[0].Failures[0]
	require.Equal(t, "mean latency of last 3 successes <= 2 s: it is 2.3333 now", f.Why.Rules[0].Counts[0].Sentence)
}

func TestADayHoldsOnlySoManySessions(t *testing.T) {
	lines := ""
	for range 40 {
		lines += "spin: x\nsession\n"
	}
	r := try(t, lines)
	require.Equal(t, 1, r.Failed)
	require.Equal(t, "the day is full: let this session come after 1 day", r.Cases[0].Failures[0].Found)
}

func TestAnExampleMayNameAProfile(t *testing.T) {
	okapi := curriculum.Dog{Name: "okapi", Born: example.FirstDay.AddDate(-2, 0, 0), WeightKg: 11}
	require.Zero(t, try(t, "dog okapi\nexpect perch is open", okapi).Failed)
	require.Zero(t, try(t, "dog okapi, 3 months old\nexpect perch is waiting", okapi).Failed, "what the line says holds instead")
	require.Zero(t, try(t, "dog okapi, 4 kg\nexpect perch is waiting", okapi).Failed)
	limited := okapi
	limited.Limits.Behaviours = map[string]curriculum.BehaviourLimits{"spin": {Never: true}}
	require.Zero(t, try(t, "dog okapi\nexpect plan leaves out spin because profile", limited).Failed)
	require.Zero(t, try(t, "dog senses hand, 1 kg\nexpect plan has spin", limited).Failed)
}

func TestExamplesAndRowsCountByThemselves(t *testing.T) {
	p := read(t, yard+`
example "a table alone" {
  start spin at two
  case spin: - then at two
  case spin: - - then at two
}
example "a table and more" {
  spin: + + + +
  expect spin at one turn 60 deg
  case spin: + + + + then at one turn 90 deg
  spin: - - -
  expect spin at one turn 30 deg
}
example "nothing expected" {
  spin: + +
}
`)
	r := example.Run(p, example.Options{})
	var got []string
	for _, c := range r.Cases {
		got = append(got, fmt.Sprintf("%d %s: %v, %d trials", c.Line, c.Title(), c.Passed, c.Trials))
	}
	require.Equal(t, []string{
		"50 a table alone (row 1): true, 1 trials", "51 a table alone (row 2): false, 2 trials", "53 a table and more: true, 7 trials",
		"56 a table and more (row 1): true, 8 trials", "60 nothing expected: true, 2 trials",
	}, got)
	require.Equal(t, []int{4, 1}, []int{r.Passed, r.Failed})
	require.Len(t, example.Run(p, example.Options{Only: "AND MORE"}).Cases, 2)
}

func TestWhatNoExampleFired(t *testing.T) {
	r := example.Run(read(t, yard+`
example "a little" {
  start spin at two
  session in yard
  spin: + + + - -
  expect spin at one turn 90 deg
}
`), example.Options{})
	require.Equal(t, []int{11, 1, 11, 1}, []int{r.Rules.Total, r.Rules.Fired, r.Rules.Lines, r.Rules.InLines})
	var unfired []string
	for _, u := range r.Rules.Unfired {
		unfired = append(unfired, fmt.Sprintf("%d %s %s: %s %v", u.Line, u.Behaviour, u.Step, u.Text, u.Looked))
	}
	require.Equal(t, []string{
		"13 spin one: advance when 4 of last 5 false", "14 spin one: ease when 3 misses of last 5 false", "15 spin one: split when eased twice false",
		"16 spin one: stop today when 2 misses in a row false", "17 spin one: flag when after 12 trials false", "21 spin two: advance when 3 in a row in 2 places or 5 in a row within 2 s true",
		"23 spin two: skip when 3 in a row false", "25 spin : lapse to two when 2 misses of last 3 false", "32 mat lie: advance when 2 in a row false",
		"40 perch lie: advance when first trial in 2 sessions in a row and after 2 days false",
	}, unfired)
}

func TestSidesThatNoExampleShowed(t *testing.T) {
	r := example.Run(read(t, yard+`
example "kept" {
  start spin at two
  session in yard
  spin: + + +
  session in lane
  spin: + + +
  expect spin is kept
}
`), example.Options{})
	require.Empty(t, cmp.Diff([]example.Side{{Behaviour: "spin", Step: "two", Rule: "advance", Part: "5 in a row within 2 s", Never: example.Held, File: "yard.rung", Line: 21}},
		r.Rules.Sides, cmpopts.IgnoreUnexported(example.Side{})))
	r = example.Run(read(t, yard+"example \"lapsed\" {\nstart spin kept\nspin: - -\n}\nexample \"at once\" {\ndog 2 months old\nspin at two: + + +\n}\n"), example.Options{})
	require.Empty(t, r.Rules.Sides)
}

func TestTheFirstDayIsAMonday(t *testing.T) {
	require.Equal(t, time.Monday, example.FirstDay.Weekday())
}
