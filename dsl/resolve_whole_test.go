package dsl_test

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
)

// archive is the files of a txtar archive as a file system.
func archive(t *testing.T, path string) fs.FS {
	t.Helper()
	a, err := txtar.ParseFile(path)
	require.NoError(t, err)
	out := fstest.MapFS{}
	for _, f := range a.Files {
		out[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	return out
}

var (
	steady = curriculum.Named{Name: "steady", Is: curriculum.Window{K: 4, N: 5}}
	shaky  = curriculum.Named{Name: "shaky", Is: curriculum.Window{K: 3, N: 5, Count: curriculum.Misses}}
)

func q(n int64, u curriculum.Unit) curriculum.Quantity { return curriculum.Q(n, u) }

func amounts(u curriculum.Unit, values ...curriculum.Quantity) (out []curriculum.LevelValue) {
	for _, v := range values {
		v.Unit = u
		out = append(out, curriculum.LevelValue{Quantity: v})
	}
	return out
}

func levelsOf(of string, values []curriculum.LevelValue) (out []curriculum.Level) {
	for _, v := range values {
		out = append(out, curriculum.Level{Values: []curriculum.NamedValue{{Of: of, LevelValue: v}}})
	}
	return out
}

func advance(c curriculum.Criterion) curriculum.Rule {
	return curriculum.Rule{Word: curriculum.Advance, When: c}
}

func ease(c curriculum.Criterion) curriculum.Rule {
	return curriculum.Rule{Word: curriculum.Ease, When: c}
}

// handToWord is the ladder of the file, climbed.
func handToWord(pass, window int) []*curriculum.Step {
	every := &curriculum.Schedule{Kind: curriculum.EverySuccess}
	pause := amounts(curriculum.Second, curriculum.QFrac(1, 2, ""), q(1, ""), q(2, ""))
	var thin []curriculum.LevelValue
	for _, r := range []curriculum.Quantity{curriculum.QFrac(3, 2, ""), q(2, ""), q(3, "")} {
		thin = append(thin, curriculum.LevelValue{Thin: &curriculum.Schedule{Kind: curriculum.VariableRatio, Value: r}})
	}
	one := []curriculum.Level{{}}
	return []*curriculum.Step{
		{
			Name: "follow", Text: "goes where the food hand goes", Prompts: []string{"lure"}, Help: []string{"touch"}, Reward: every, Levels: one,
			Rules: []curriculum.Rule{advance(curriculum.Window{K: pass, N: window}), ease(shaky)},
		},
		{
			Name: "pair", Text: "the word and the hand in one breath", Prompts: []string{"word", "lure"}, Levels: one,
			Rules: []curriculum.Rule{advance(curriculum.Done{N: 8})},
		},
		{
			Name: "word-first", Text: "the word, a wait, the hand", Prompts: []string{"word"}, Help: []string{"lure"}, Reward: every,
			Ramps: []curriculum.Ramp{{Of: "pause", Values: pause}}, Levels: levelsOf("pause", pause),
			Rules: []curriculum.Rule{advance(steady), ease(shaky), {Word: curriculum.Split, When: curriculum.Eased{N: 2}}},
		},
		{
			Name: "word-alone", Text: "the word does it", Prompts: []string{"word"}, Levels: one,
			Rules: []curriculum.Rule{
				advance(curriculum.And{All: []curriculum.Criterion{
					curriculum.SessionShare{Share: curriculum.Percent(80), MinTrials: 10, N: 2, InARow: true},
					curriculum.FirstTrial{N: 2, InARow: true},
				}}),
				{Word: curriculum.Ease, To: "word-first", When: shaky},
			},
		},
		{
			Name: "paid-sometimes", Text: "not paid each time", Prompts: []string{"word"},
			Ramps: []curriculum.Ramp{{Of: "thin", Values: thin}}, Levels: levelsOf("thin", thin),
			Rules: []curriculum.Rule{advance(curriculum.Window{K: 9, N: 10}), ease(shaky)},
		},
	}
}

func foundation() *curriculum.Curriculum {
	turns := amounts(curriculum.Degree, q(30, ""), q(60, ""), q(90, ""), q(120, ""), q(150, ""), q(180, ""))
	pivot := handToWord(9, 10)
	pivot[0].Ramps = []curriculum.Ramp{{Of: "turn", Values: turns, Grain: q(15, curriculum.Degree), Measured: true}}
	pivot[0].Levels = levelsOf("turn", turns)
	pivot[0].Reward = &curriculum.Schedule{Kind: curriculum.Percentile, Share: curriculum.Percent(60), Window: 10, Measure: "turn"}
	hold := amounts(curriculum.Second, q(1, ""), q(3, ""), q(5, ""))

	duration := amounts(curriculum.Second, q(2, ""), q(5, ""))
	distance := amounts(curriculum.Metre, q(0, ""), q(1, ""))
	distraction := []curriculum.LevelValue{{Name: "none"}, {Name: "toys"}, {Name: "people"}}
	level := func(i, j, k int) curriculum.Level {
		return curriculum.Level{Values: []curriculum.NamedValue{{Of: "duration", LevelValue: duration[i]}, {Of: "distance", LevelValue: distance[j]}, {Of: "distraction", LevelValue: distraction[k]}}}
	}
	return &curriculum.Curriculum{
		Name: "Pindrift foundation", Edition: "3", For: "pups of ten weeks and older, and grown dogs that are new here",
		Markers:   []curriculum.Marker{{Name: "nice"}, {Name: "all-done", Releases: true}},
		Foods:     []curriculum.Food{{Name: "ration", Energy: curriculum.QFrac(3, 2, curriculum.Kilocalorie), EatenIn: q(1, curriculum.Second)}, {Name: "cheese", Energy: q(4, curriculum.Kilocalorie), EatenIn: q(3, curriculum.Second), Extra: true}},
		Places:    []string{"room-a", "yard", "lane", "foyer"},
		Handlers:  []string{"senior", "junior", "owner"},
		Equipment: []curriculum.Equipment{{Name: "platform", Text: "round, does not slip, 6 cm"}},
		Measures:  []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}},
		Signs:     []curriculum.Sign{{Name: "limp"}, {Name: "yelp"}, {Name: "growl"}, {Name: "freeze"}, {Name: "turns-away", Locks: curriculum.EndBehaviour}},
		Criteria:  []curriculum.NamedCriterion{{Name: "steady", Is: steady.Is}, {Name: "shaky", Is: shaky.Is}},
		Ladders:   []curriculum.Ladder{{Name: "hand-to-word", Climbed: true}},
		Cautions:  []curriculum.Caution{{Name: "growing-joints", Text: "Short, slow and seldom while the body grows.", When: &curriculum.Expression{Text: "dog.age_months < 14"}}},
		Behaviours: []*curriculum.Behaviour{
			{
				Name: "on-platform", Text: "front paws on the platform", Sheet: curriculum.Sheet{Equipment: []string{"platform"}},
				Steps: []*curriculum.Step{{
					Name: "hold", Prompts: []string{"word"}, Ramps: []curriculum.Ramp{{Of: "duration", Values: hold, Measured: true}}, Levels: levelsOf("duration", hold),
					Rules: []curriculum.Rule{advance(curriculum.Window{K: 3, N: 3, InARow: true}), ease(curriculum.Window{K: 2, N: 2, InARow: true, Count: curriculum.Misses})},
				}},
			},
			{
				Name: "pivot-left", Text: "hind feet walk round, front feet rest",
				Sheet: curriculum.Sheet{
					Cues: []curriculum.Cue{{Kind: "word", Text: "swing"}, {Kind: "hand", Text: "left hand sweeps"}},
					Do:   "the food hand at the left shoulder, then round", Success: "hind feet walk at least the degrees on the card",
					Mark: "nice", Pay: "on the platform, nose ahead", Side: "left", SetUp: "platform by the wall",
					Equipment: []string{"platform"}, Cautions: []string{"growing-joints"},
				},
				Needs: []curriculum.Need{{Other: "on-platform", Step: "hold"}}, BetterAfter: []string{"settle"},
				NeverWith: []curriculum.NeverWith{{Other: "pivot-right", Until: "word-first"}}, Steps: pivot,
			},
			{Name: "pivot-right", Text: "the same, the other way", Steps: handToWord(4, 5)},
			{
				Name: "settle", Text: "lies on the mat until told otherwise",
				Steps: append(handToWord(4, 5),
					&curriculum.Step{
						Name: "proof", Text: "longer, further, busier", Prompts: []string{"word"},
						Ramps: []curriculum.Ramp{{Of: "duration", Values: duration, Measured: true}, {Of: "distance", Values: distance, Measured: true}, {Of: "distraction", Values: distraction}},
						Raise: curriculum.Raise{OneAtATime: true, LowerBy: 1},
						// one after another, each first with the others a level lower where that is another level
						Levels: []curriculum.Level{level(0, 0, 0), level(1, 0, 0), level(0, 1, 0), level(1, 1, 0), level(0, 0, 1), level(1, 1, 1), level(0, 0, 2), level(1, 1, 2)},
						Reward: &curriculum.Schedule{Kind: curriculum.VariableDuration, Value: q(10, curriculum.Second)},
						Rules: []curriculum.Rule{
							advance(steady), ease(shaky),
							{Word: curriculum.StopToday, When: curriculum.Window{K: 2, N: 2, InARow: true, Count: curriculum.Misses}},
							{Word: curriculum.Flag, When: curriculum.After{N: 60, AtStep: true}},
						},
					},
					&curriculum.Step{
						Name: "anywhere", Prompts: []string{"word"}, Levels: []curriculum.Level{{}},
						Rules: []curriculum.Rule{advance(curriculum.Repeated{Is: steady, N: 3, Over: curriculum.Places}), {Word: curriculum.Ease, To: "proof", When: shaky}},
					}),
				Review: []curriculum.Quantity{q(1, curriculum.Day), q(3, curriculum.Day), q(7, curriculum.Day)},
				Lapse:  []curriculum.Rule{{Word: curriculum.Lapse, To: "word-alone", When: curriculum.Window{K: 2, N: 3, Count: curriculum.Misses}}},
			},
		},
		Sessions: []*curriculum.Session{{
			Lasts: q(5, curriculum.Minute), MaxTrials: 30, MaxNew: 1, MaxInARow: 5, OpensWith: curriculum.Slot{Known: true}, ClosesWith: curriculum.Slot{Known: true},
			Extras: curriculum.Percent(10), Away: []curriculum.Away{{Days: 21, Levels: 1}},
		}},
		Examples: []curriculum.Example{{Name: "two misses do not stop a good dog", Items: []curriculum.ExampleItem{
			{Trials: &curriculum.ExampleTrials{Behaviour: "pivot-left", Step: "follow", Level: degrees(30), Marks: []curriculum.Mark{
				{Outcome: curriculum.Success}, {Outcome: curriculum.Wrong}, {Outcome: curriculum.Success}, {Outcome: curriculum.Success}, {Outcome: curriculum.Wrong}, {Outcome: curriculum.Success},
			}}},
			{Expect: &curriculum.Expectation{Behaviour: "pivot-left", Step: "follow", Level: degrees(60)}},
		}}},
	}
}

func degrees(n int64) curriculum.LevelRef {
	return curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: q(n, curriculum.Degree)}}}
}

func TestAWholeFileBecomesTheCurriculumOneWouldWriteByHand(t *testing.T) {
	got, ds := dsl.ReadFS(archive(t, "testdata/foundation.txtar"), "house.rung")
	require.Empty(t, ds)
	want := foundation()
	require.Empty(t, cmp.Diff(want, got, cmpopts.IgnoreTypes(curriculum.Pos{}, []curriculum.Pos{})))
	require.Equal(t, want.Fingerprint(), got.Fingerprint())
}

func TestWhatAReasonCitesHasItsPlace(t *testing.T) {
	files := archive(t, "testdata/foundation.txtar")
	c, ds := dsl.ReadFS(files, "house.rung")
	require.Empty(t, ds)
	// what stands at a place
	at := func(p curriculum.Pos) string {
		text, err := fs.ReadFile(files, p.File)
		require.NoError(t, err)
		line := []rune(strings.Split(string(text), "\n")[p.Line-1])
		return string(line[p.Column-1:])
	}
	pivot, settle := c.Behaviour("pivot-left"), c.Behaviour("settle")
	require.Equal(t, `pivot-left "hind feet walk round, front feet rest" {`, at(pivot.Pos))
	require.Equal(t, "on-platform at hold", at(pivot.Needs[0].Pos))
	require.Equal(t, "never with pivot-right until word-first", at(pivot.NeverWith[0].Pos))
	require.Equal(t, "ramp   turn 30 deg to 180 deg by 30 deg grain 15 deg", at(pivot.Steps[0].Ramps[0].Pos))
	require.Equal(t, "advance when pass of last window", at(pivot.Steps[0].Rules[0].Pos))
	require.Equal(t, `follow "goes where the food hand goes" {`, at(pivot.Steps[0].Pos))
	require.Equal(t, "lapse  to word-alone when 2 misses of last 3", at(settle.Lapse[0].Pos))
	require.Equal(t, "raise  one at a time lowering others by one level", at(settle.Steps[5].Raise.Pos))
	require.Equal(t, "steady = 4 of last 5", at(c.Criteria[0].Pos))
	require.Equal(t, "after 21 days away ease one level", at(c.Sessions[0].Away[0].Pos))
	require.Equal(t, "dog.age_months < 14 }", at(c.Cautions[0].When.Pos))
	require.Equal(t, "expect pivot-left at follow turn 60 deg", at(c.Examples[0].Items[1].Pos))
}

func TestAMarkerMayBeSaidAndShown(t *testing.T) {
	for text, want := range map[string]curriculum.Marker{
		`marker yes releases`:                               {Name: "yes", Releases: true},
		`marker yes "right" releases`:                       {Name: "yes", Text: "right", Releases: true},
		`marker yes "right", hand "thumb up" keeps`:         {Name: "yes", Text: "right", Signals: []curriculum.Cue{{Kind: "hand", Text: "thumb up"}}},
		`marker nod hand "a slow nod", light "flash" keeps`: {Name: "nod", Signals: []curriculum.Cue{{Kind: "hand", Text: "a slow nod"}, {Kind: "light", Text: "flash"}}},
	} {
		c, ds := dsl.ReadString("a.rung", "rung 1\n"+text+"\nbehaviour sit {\n  step one {\n    advance when done 3 times\n  }\n}\n")
		require.Empty(t, ds, text)
		want.Pos = c.Markers[0].Pos
		for i := range c.Markers[0].Signals {
			want.Signals[i].Pos = c.Markers[0].Signals[i].Pos
		}
		require.Equal(t, want, c.Markers[0], text)
	}
}
