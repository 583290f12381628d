package engine_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
	"example.com/rung/engine"
)

func TestANilOrZeroProgramOrFoldSaysSo(t *testing.T) {
	for name, p := range map[string]*engine.Program{"nil": nil, "zero": {}} {
		for kind, f := range map[string]*engine.Fold{"nil": nil, "zero": {}, "its own": p.NewFold(curriculum.Dog{Name: "okapi"}), "replayed": p.Replay([]curriculum.Entry{{}}, noon)} {
			t.Run(name+" program, fold "+kind, func(t *testing.T) {
				_, whyErr := f.Why("okapi", "spin", noon)
				_, aheadErr := f.Ahead("okapi", "spin", noon)
				_, countsErr := f.WhyCounts("okapi", "spin", noon)
				for what, err := range map[string]error{
					"record": f.Record(&curriculum.Trial{Dog: "okapi"}), "record nil": f.Record(nil), "note": f.Note(&curriculum.Event{}),
					"take": f.Take(&curriculum.Entry{IsEvent: true}), "take nil": f.Take(nil), "save": f.Save(&bytes.Buffer{}),
					"why": whyErr, "ahead": aheadErr, "counts": countsErr,
				} {
					require.ErrorIs(t, err, engine.ErrNoProgram, what)
				}
				require.Nil(t, f.Program())
				require.Nil(t, f.Dog("okapi", noon))
				_, ok := f.Of("okapi", "spin", noon)
				require.False(t, ok)
				require.Empty(t, f.Reports())
				require.True(t, f.Now().IsZero())
				require.Empty(t, f.Apart(engine.ByPlace).Dogs)
				require.Empty(t, f.Calendar(noon).Entries)
				f.Watch(&tallyOfLooks{})
				require.ErrorIs(t, f.Copy().Record(&curriculum.Trial{}), engine.ErrNoProgram)
				text, err := json.Marshal(f.Standing(noon))
				require.NoError(t, err)
				require.JSONEq(t, `{"curriculum":"","fingerprint":"","at":"2026-03-02T12:00:00Z","dogs":[],"reports":[]}`, string(text))
			})
		}
		_, err := p.Resume(bytes.NewReader(nil))
		require.ErrorIs(t, err, engine.ErrNoProgram)
		_, err = p.Since(nil, nil)
		require.ErrorIs(t, err, engine.ErrNoProgram)
		require.Nil(t, p.Parts(engine.RuleAt{}))
		require.Nil(t, p.Curriculum())
		require.Empty(t, p.Fingerprint())
	}
}

func TestWhatIsMissingIsAnErrorAndNoPanic(t *testing.T) {
	c := house(behaviour("spin", step("one", rule(curriculum.Advance, last(1, 1)))))
	p, err := engine.Compile(c, nil)
	require.NoError(t, err, "an option that is nil is none")
	require.Same(t, p, p.NewFold().Program())
	require.ErrorContains(t, p.NewFold().Save(nil), "nowhere to save to")
	_, err = p.Since(nil, p.NewFold().Standing(noon))
	require.ErrorContains(t, err, "no standing to compare")
	require.Empty(t, (*engine.Why)(nil).Text())
	require.Nil(t, engine.VariedValues(nil, curriculum.Level{}))
}

// lending compiles a house whose only behaviour advances by one condition, and needs another of the dog.
func lending(t *testing.T, advance, need string, fns ...expression.Function) *engine.Program {
	b := behaviour("spin", step("one", rule(curriculum.Advance, curriculum.Window{K: 1, N: 1, Qualify: curriculum.Qualifiers{Where: &curriculum.Expression{Text: advance}}})), step("two"))
	if need != "" {
		b.Needs = []curriculum.Need{{Dog: &curriculum.Expression{Text: need}}}
	}
	p, err := engine.Compile(house(b), engine.WithFunctions(fns...))
	require.NoError(t, err)
	return p
}

func TestAFunctionOfTheHostThatPanicsIsReportedByNameAndDoesNotHold(t *testing.T) {
	breaks := expression.Function{Name: "dry", Returns: expression.Bool, Call: func([]expression.Value) expression.Value { panic("no gauge") }}
	for name, c := range map[string]struct{ advance, need string }{
		"in a rule":               {"dry()", ""},
		"even where it is denied": {"not dry()", ""},
		"even beside what holds":  {"dry() or success", ""},
		"in a door":               {"success", "dry()"},
	} {
		t.Run(name, func(t *testing.T) {
			f := lending(t, c.advance, c.need, breaks).NewFold()
			for _, e := range okapi().tally("spin", "- + +").list {
				require.NoError(t, f.Take(&e), "the trial itself is good")
			}
			s := f.Standing(f.Now())
			require.Empty(t, s.Dogs[0].Behaviours[0].Moves)
			var said []string
			for _, r := range s.Reports {
				if r.Code == engine.CodeFunctionBroke {
					said = append(said, r.Text)
					require.Equal(t, "okapi", r.Dog)
				}
			}
			require.Equal(t, []string{"the function dry of the program that reads this curriculum broke off: no gauge; conditions that call it do not hold then"}, said, "once")
		})
	}
}

func TestAFunctionThatBreaksOnceCountsAgainAfterwards(t *testing.T) {
	calls := 0
	now := expression.Function{Name: "dry", Returns: expression.Bool, Call: func([]expression.Value) expression.Value {
		if calls++; calls == 1 {
			panic(curriculum.Nearest)
		}
		return expression.Value{Bool: true}
	}}
	f := lending(t, "dry()", "", now).NewFold()
	d := okapi().tally("spin", "+ +")
	require.NoError(t, f.Take(&d.list[0]))
	require.Empty(t, f.Standing(f.Now()).Dogs[0].Behaviours[0].Moves)
	require.NoError(t, f.Take(&d.list[1]))
	require.Len(t, f.Standing(f.Now()).Dogs[0].Behaviours[0].Moves, 1)
}

func TestAFunctionWithoutItsTypesIsRefused(t *testing.T) {
	c := house(behaviour("spin", step("one", rule(curriculum.Advance, curriculum.Holds{Expr: &curriculum.Expression{Text: "dry()"}}))))
	_, err := engine.Compile(c, engine.WithFunctions(expression.Function{Name: "dry", Call: func([]expression.Value) expression.Value { return expression.Value{} }}))
	require.ErrorContains(t, err, "the function dry was registered without the types of all that it takes and gives")
}
