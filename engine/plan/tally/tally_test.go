package tally_test

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/engine/history"
	"example.com/rung/engine/plan"
	"example.com/rung/engine/plan/tally"
)

var start = time.Date(2026, 3, 4, 17, 30, 0, 0, time.FixedZone("", 3600))

func sheet() *plan.Plan {
	level := map[string]string{"turn": "60 deg", "piece": "one paw"}
	return &plan.Plan{Dog: "okapi", At: start, Place: "yard", Handler: "owner", Items: []plan.Item{
		{Behaviour: "settle", Step: "proof", Level: map[string]string{"duration": "5 s", "distraction": "toys"}, LevelText: "duration 5 s, distraction toys", Rewarded: []bool{true, false, true}},
		{Behaviour: "pivot-left", Step: "follow", Level: level, LevelText: `turn 60 deg, piece "one paw"`, Rewarded: []bool{true, true}},
		{Behaviour: "settle", Step: "proof", Level: map[string]string{"thin": "variable ratio 1.5"}, LevelText: "thin variable ratio 1.5", Part: 2, Rewarded: []bool{false, true}},
		{Behaviour: "hand-touch", Step: "palm", Rewarded: []bool{true}},
	}}
}

// told is entries in one line each: behaviour, step, level, outcome, paid.
func told(entries []curriculum.Entry) string {
	var out []string
	for i := range entries {
		e := &entries[i]
		if e.IsEvent {
			out = append(out, fmt.Sprintf("%s %s%s", e.Event.Kind, e.Event.Sign, e.Event.Note))
			continue
		}
		t := &e.Trial
		var level []string
		for _, v := range t.Level {
			level = append(level, v.Of+" "+v.String())
		}
		out = append(out, fmt.Sprintf("%s %s [%s] %v%s", t.Behaviour, t.Step, strings.Join(level, ", "), t.Outcome, [...]string{"", " paid", " not paid"}[t.Rewarded]))
	}
	return strings.Join(out, "\n")
}

func TestMarksGoToTheItemTheyAreMeantFor(t *testing.T) {
	const proof = "settle proof [duration 5 s, distraction toys] "
	for _, c := range []struct{ name, marks, want string }{
		{"one after another without names", "+; -", proof + "success paid\n" + `pivot-left follow [turn 60 deg, piece one paw] wrong`},
		{"by number, in any order", "4: + ; 1: +", "hand-touch palm [] success paid\n" + proof + "success paid"},
		{"by behaviour, its parts in turn", "settle: +\nsettle: +", proof + "success paid\nsettle proof [thin variable ratio 1.5] success not paid"},
		{"after a named one the next one follows", "3: -; 0", "settle proof [thin variable ratio 1.5] wrong\nhand-touch palm [] silent"},
		{"only a success takes a place of the reward list", "1: - + h + x +", proof + "wrong\n" + proof + "success paid\n" + proof + "success\n" + proof + "success not paid\n" + proof + "void\n" + proof + "success paid"},
		{"what was really paid is written down", "1: +(unrewarded) +(rewarded)", proof + "success not paid\n" + proof + "success paid"},
		{"more successes than the sheet had", "4: + +", "hand-touch palm [] success paid\nhand-touch palm [] success"},
		{"nought is a mark and no item's number", "0 + -", proof + "silent\n" + proof + "success paid\n" + proof + "wrong"},
		{"a trainer's move", `4: +; move settle to word-first by Halla`, "hand-touch palm [] success paid\nmove "},
		{"events between items", `4: +; sign limp by Dov; note "at; the door"`, "hand-touch palm [] success paid\nsign limp\nnote at; the door"},
		{"a colon in a note names nothing", `4: +(note "so: fine")`, "hand-touch palm [] success paid"},
	} {
		t.Run(c.name, func(t *testing.T) {
			entries, reports, err := tally.Entries(sheet(), c.marks, tally.Options{})
			require.NoError(t, err)
			require.Empty(t, reports)
			require.Equal(t, c.want, told(entries))
			for i := range entries {
				require.Equal(t, "okapi", entries[i].Dog())
				require.False(t, entries[i].At().Before(start))
			}
			require.Equal(t, "yard", entries[0].Trial.Place)
			require.Equal(t, "owner", entries[0].Trial.Handler)
		})
	}
}

func TestMoreMarksThanTheSheetHasAreMentioned(t *testing.T) {
	p := sheet()
	for i, n := range []int{3, 2, 2, 1} {
		p.Items[i].Trials = n
	}
	surplus := func(marks string) []string {
		entries, reports, err := tally.Entries(p, marks, tally.Options{})
		require.NoError(t, err)
		require.Empty(t, reports)
		return tally.Surplus(p, entries)
	}
	require.Empty(t, surplus("1: + + + x -; 2: + x +; note \"wet\""), "five places for settle in its two parts; what was spoiled is done again")
	require.Equal(t, []string{"settle has 6 marks, and the sheet has it 5 times", "hand-touch has 2 marks, and the sheet has it once"}, surplus("1: + + + +; 3: + +; 4: + +"))
	require.Empty(t, tally.Surplus(nil, nil))
}

func TestAMeasureThatTheSheetAsksForIsMissed(t *testing.T) {
	p := sheet()
	p.Items[1].Measure = "turn"
	unmeasured := func(marks string) []string {
		entries, reports, err := tally.Entries(p, marks, tally.Options{})
		require.NoError(t, err)
		require.Empty(t, reports)
		return tally.Unmeasured(p, entries)
	}
	require.Equal(t, []string{"pivot-left is paid by its turn, and 2 successes have none written down"}, unmeasured("1: +; 2: + +(turn 60) - h x +"))
	require.Equal(t, []string{"pivot-left is paid by its turn, and one success has none written down"}, unmeasured("2: +"))
	require.Empty(t, unmeasured("1: + +; 2: +(turn 60) -"))
	require.Empty(t, tally.Unmeasured(nil, nil))
}

func TestATrialBearsTheValueItWasAskedFor(t *testing.T) {
	p := sheet()
	p.Items[0].Asked = []plan.Asked{{Of: "duration", Values: []string{"2 s", "6 s", "5 s"}}}
	entries, reports, err := tally.Entries(p, "1: + - + +; 4: +", tally.Options{})
	require.NoError(t, err)
	require.Empty(t, reports)
	require.Equal(t, strings.Join([]string{"settle proof [duration 2 s, distraction toys] success paid", "settle proof [duration 6 s, distraction toys] wrong",
		"settle proof [duration 5 s, distraction toys] success not paid", "settle proof [duration 5 s, distraction toys] success paid", "hand-touch palm [] success paid"}, "\n"), told(entries))
}

func TestABarAndAWatchDecideWhatWasPaid(t *testing.T) {
	p := sheet()
	p.Items[1].PayBar = &plan.PayBar{Measure: "turn", Words: "over", Value: 50, Unit: "deg"}
	p.Items[3].PayAfter = []float64{10}
	entries, _, err := tally.Entries(p, "2: +(turn 60) +(turn 50) + +(turn 20, rewarded); 4: +", tally.Options{})
	require.NoError(t, err)
	var got []curriculum.YesNo
	for _, e := range entries {
		got = append(got, e.Trial.Rewarded)
	}
	require.Equal(t, []curriculum.YesNo{curriculum.Yes, curriculum.No, curriculum.NotSaid, curriculum.Yes, curriculum.NotSaid}, got)
	for words, paid := range map[string][3]bool{"over": {false, false, true}, "at least": {false, true, true}, "under": {true, false, false}, "at most": {true, true, false}} {
		b := plan.PayBar{Words: words, Value: 2}
		require.Equal(t, paid, [3]bool{b.Pays(1), b.Pays(2), b.Pays(3)}, words)
	}
}

func TestMarksThatCannotBeReadSayWhatToWrite(t *testing.T) {
	for _, c := range []struct{ marks, text, next string }{
		{"", "there are no marks", "1: + + - +"},
		{"9: +", "no item 9", "1 to 4"},
		{"0: +", "no item 0", "1 to 4"},
		{"1: +; 1: +", "marks twice", "in one place"},
		{"pivot-lef: +", "nothing on the sheet is called pivot-lef", "did you mean pivot-left?"},
		{"swim: +", "nothing on the sheet is called swim", "settle, pivot-left, hand-touch"},
		{"4: +; +", "one item too many", "name the item"},
		{"1:", "no marks", "leave it away"},
		{"hand-touch: +; hand-touch: +", "has its marks already", "one place"},
		{"settle + -", "a colon is missing behind settle", "write settle: + -"},
		{"+; 2 + -", "a colon is missing behind 2", "write 2: + -"},
		{"bisk 2026-03-04 17:30\nsettle: +", "the marks are bisk's and the sheet is okapi's", "made for bisk"},
		{"okapi 2026-03-04 17:30\nsettle: +", "a heading stands among the marks", "leave it away"},
	} {
		_, _, err := tally.Entries(sheet(), c.marks, tally.Options{})
		var bad *tally.Error
		require.ErrorAs(t, err, &bad, c.marks)
		require.Contains(t, bad.Text, c.text)
		require.Contains(t, bad.Next, c.next)
	}
	entries, reports, err := tally.Entries(sheet(), "2: + q", tally.Options{})
	require.NoError(t, err)
	require.Empty(t, entries)
	require.Len(t, reports, 1)
	require.Contains(t, reports[0].Text, "2: + q")
	_, _, err = tally.Entries(&plan.Plan{Dog: "okapi", At: start}, "+", tally.Options{})
	require.ErrorContains(t, err, "no items")
}

func TestASheetThatWentThroughJSONGivesTheSameLog(t *testing.T) {
	written, err := json.Marshal(sheet())
	require.NoError(t, err)
	var again plan.Plan
	require.NoError(t, json.Unmarshal(written, &again))
	one, _, err := tally.Entries(sheet(), "+ -; +; + 0", tally.Options{})
	require.NoError(t, err)
	two, _, err := tally.Entries(&again, "+ -; +; + 0", tally.Options{})
	require.NoError(t, err)
	require.Equal(t, told(one), told(two))
}

// Any marks at all for any items come back as they were given, one entry a mark.
func TestEveryMarkBecomesOneTrialOfItsItem(t *testing.T) {
	outcomes := map[string]curriculum.Outcome{"+": curriculum.Success, "-": curriculum.Wrong, "0": curriculum.Silent, "h": curriculum.Success, "e": curriculum.Success, "x": curriculum.Void, "o!": curriculum.OptOut}
	rapid.Check(t, func(t *rapid.T) {
		p := sheet()
		items := rapid.Permutation([]int{0, 1, 2, 3}).Draw(t, "items")[:rapid.IntRange(1, 4).Draw(t, "n")]
		var parts []string
		type want struct {
			at   int
			mark string
		}
		var all []want
		for _, at := range items {
			marks := rapid.SliceOfN(rapid.SampledFrom([]string{"+", "-", "0", "h", "e", "x", "o!"}), 1, 9).Draw(t, "marks")
			for _, m := range marks {
				all = append(all, want{at, m})
			}
			parts = append(parts, fmt.Sprintf("%d: %s", at+1, strings.Join(marks, " ")))
		}
		entries, reports, err := tally.Entries(p, strings.Join(parts, rapid.SampledFrom([]string{";", "; ", "\n", " ;\n"}).Draw(t, "between")), tally.Options{})
		if err != nil || len(reports) > 0 || len(entries) != len(all) {
			t.Fatalf("%v %v: %d entries for %d marks", err, reports, len(entries), len(all))
		}
		for i, w := range all {
			got := entries[i].Trial
			if it := p.Items[w.at]; got.Behaviour != it.Behaviour || got.Step != it.Step || got.Outcome != outcomes[w.mark] || len(got.Level) != len(it.Level) {
				t.Fatalf("%d: %+v for %+v", i, got, w)
			}
			if i > 0 && !entries[i].At().After(entries[i-1].At()) {
				t.Fatalf("%d is not later than the one before", i)
			}
		}
	})
}

func FuzzMarks(f *testing.F) {
	f.Add("1: + + -; 2: + 0")
	f.Add(`settle: +(note "a: b"); sign limp by Dov`)
	f.Add("\"(;:\n")
	f.Fuzz(func(t *testing.T, marks string) {
		entries, reports, err := tally.Entries(sheet(), marks, tally.Options{})
		if err == nil && len(reports) == 0 && len(entries) == 0 {
			t.Errorf("%q gave nothing and no word why", marks)
		}
	})
}

func ExampleEntries() {
	session := &plan.Plan{Dog: "okapi", At: time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC), Items: []plan.Item{
		{Behaviour: "hand-touch", Step: "palm", Rewarded: []bool{true, false, true}},
	}}
	entries, _, err := tally.Entries(session, "1: + - +", tally.Options{Handler: "junior"})
	if err != nil {
		fmt.Println(err)
		return
	}
	_ = history.WriteTally(os.Stdout, entries, time.UTC)
	// Output:
	// okapi 2026-03-04 09:00 by junior
	// hand-touch at palm: +(rewarded) - +(unrewarded)
}
