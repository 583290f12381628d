package expression_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum/expression"
)

// Each piece between [[ and ]] is the place of one report; the reports of all pieces are wanted, in that order.
func TestCheckFindsEveryFaultAtItsPlace(t *testing.T) {
	for _, c := range []struct {
		name, text string
		kinds      []expression.ProblemKind
		nearest    []string
	}{
		{"all unknown names in one go", `[[latncy]] < 2 and [[plaice]] == "yard" and [[x]] > 1`, []expression.ProblemKind{expression.UnknownName, expression.UnknownName, expression.UnknownName}, []string{"latency", "place", ""}},
		{"an unknown fact of the dog", `dog.[[age_month]] < 14`, []expression.ProblemKind{expression.UnknownMember}, []string{"age_months"}},
		{"a fact of the dog without dog", `[[age_months]] < 14`, []expression.ProblemKind{expression.UnknownName}, []string{"dog.age_months"}},
		{"dog alone", `[[dog]] == 1`, []expression.ProblemKind{expression.UnknownMember}, nil},
		{"a hyphenated measure", `turn > 3 and [[ear-angle]] > 10`, []expression.ProblemKind{expression.Hyphenated}, []string{"ear_angle"}},
		{"text compared with a number", `place == [[3]]`, []expression.ProblemKind{expression.WrongType}, nil},
		{"ordering of texts", `[[place]] < [["yard"]]`, []expression.ProblemKind{expression.WrongType, expression.WrongType}, nil},
		{"not binds more tightly than a comparison", `not [[latency]] < 2`, []expression.ProblemKind{expression.WrongType}, nil},
		{"a number is no condition", `[[latency + 2]]`, []expression.ProblemKind{expression.NotYesNo}, nil},
		{"a text is no condition", `[[place]]`, []expression.ProblemKind{expression.NotYesNo}, nil},
		{"and needs conditions", `success and [[latency]]`, []expression.ProblemKind{expression.WrongType}, nil},
		{"no division", `latency [[/]] 2 > 1`, []expression.ProblemKind{expression.NotAllowed}, nil},
		{"no remainder", `turn [[%]] 2 == 1`, []expression.ProblemKind{expression.NotAllowed}, nil},
		{"no power", `turn [[**]] 2 == 1`, []expression.ProblemKind{expression.NotAllowed}, nil},
		{"no matching", `place [[matches]] "y.*"`, []expression.ProblemKind{expression.NotAllowed}, nil},
		{"no ranges", `latency in [[1..2]]`, []expression.ProblemKind{expression.NotAllowed}, nil},
		{"no closures", `[[all([1], true)]]`, []expression.ProblemKind{expression.NotAllowed}, nil},
		{"no map", `[[{a: 1}]] == 1`, []expression.ProblemKind{expression.NotAllowed}, nil},
		{"no variables", `let [[a = 1; a == 1]]`, []expression.ProblemKind{expression.NotAllowed}, nil},
		{"no nil", `latency == [[nil]]`, []expression.ProblemKind{expression.NotAllowed}, nil},
		{"no member of anything else", `[[place.length]] == 1`, []expression.ProblemKind{expression.NotAllowed}, nil},
		{"no optional member", `[[dog?.name]] == "a"`, []expression.ProblemKind{expression.NotAllowed}, nil},
		{"no index", `[[dog["name"]]]`, []expression.ProblemKind{expression.NotYesNo}, nil},
		{"an unknown function", `[[wind]](place)`, []expression.ProblemKind{expression.UnknownFunction}, []string{"windy"}},
		{"a general built-in function", `[[len]](place) > 3`, []expression.ProblemKind{expression.UnknownFunction}, []string{""}},
		{"too few arguments", `[[windy]]()`, []expression.ProblemKind{expression.WrongCount}, nil},
		{"an argument of another type", `windy([[3]])`, []expression.ProblemKind{expression.WrongType}, nil},
		{"a fault inside an argument stays one fault", `windy([[plac]])`, []expression.ProblemKind{expression.UnknownName}, []string{"place"}},
		{"a list of mixed types", `place in ["yard", [[3]]]`, []expression.ProblemKind{expression.WrongType}, nil},
		{"a choice of mixed types", `success ? success : [[3]]`, []expression.ProblemKind{expression.WrongType}, nil},
		{"a single equals sign", `place [[=]] "yard"`, []expression.ProblemKind{expression.Syntax}, nil},
		{"is for equals", `place [[is]] "yard"`, []expression.ProblemKind{expression.Syntax}, nil},
		{"a unit", `latency < 2 [[s]]`, []expression.ProblemKind{expression.UnitWritten}, nil},
		{"a unit without a space", `latency < [[2s]]`, []expression.ProblemKind{expression.UnitWritten}, nil},
		{"a sign not on the keyboard", `latency [[≤]] 2`, []expression.ProblemKind{expression.Syntax}, nil},
		{"curly quotes", `place == [[“]]yard”`, []expression.ProblemKind{expression.Syntax}, nil},
		{"characters beside ASCII before the fault", `handler == "Ærø" and [[plaec]] == "x"`, []expression.ProblemKind{expression.UnknownName}, []string{"place"}},
		{"an early end", `latency <[[]]`, []expression.ProblemKind{expression.Syntax}, nil},
		{"an open bracket", `(latency < 2[[]]`, []expression.ProblemKind{expression.Syntax}, nil},
		{"nothing", `[[  ]]`, []expression.ProblemKind{expression.Empty}, nil},
		{"a text without its quotes", `place == [[barnyardlane]]`, []expression.ProblemKind{expression.UnknownName}, []string{""}},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, wanted := pieces(c.text)
			got := expression.Check(text, env)
			var kinds []expression.ProblemKind
			var places [][2]int
			for i, p := range got {
				kinds, places = append(kinds, p.Kind), append(places, [2]int{p.From, p.To})
				require.NotEmpty(t, p.Message)
				if c.nearest != nil {
					require.Equal(t, c.nearest[i], p.Nearest)
				}
			}
			require.Equal(t, c.kinds, kinds, "%v", got)
			require.Equal(t, wanted, places, "%v", got)
			_, err := expression.Compile(text, env)
			require.Error(t, err)
		})
	}
}

// pieces takes the marks out of a text and returns the byte ranges they enclosed.
func pieces(marked string) (text string, out [][2]int) {
	for marked != "" {
		before, rest, found := strings.Cut(marked, "[[")
		text += before
		if !found {
			break
		}
		inside, after, _ := strings.Cut(rest, "]]")
		for strings.HasPrefix(after, "]") && strings.Count(inside, "[") > strings.Count(inside, "]") {
			inside, after = inside+"]", after[1:]
		}
		out = append(out, [2]int{len(text), len(text) + len(inside)})
		text += inside
		marked = after
	}
	return text, out
}

func TestLimits(t *testing.T) {
	kind := func(text string, e expression.Env) expression.ProblemKind {
		got := expression.Check(text, e)
		require.Len(t, got, 1)
		return got[0].Kind
	}
	require.Equal(t, expression.TooLong, kind(strings.Repeat(" ", 4097), env))
	require.Equal(t, expression.TooLong, kind("success", expression.Env{MaxBytes: 6}))
	require.Equal(t, expression.TooDeep, kind(strings.Repeat("(", 101)+"success"+strings.Repeat(")", 101), env))
	require.Equal(t, expression.TooManyParts, kind(strings.Repeat("success and ", 110)+"success", env))
	require.Empty(t, expression.Check(strings.Repeat("(", 100)+"success"+strings.Repeat(")", 100), env))
	require.Empty(t, expression.Check(strings.Repeat("success and ", 99)+"success", env))
	require.Equal(t, expression.TooLong, kind(strings.Repeat("(", 1_000_000), env))
	require.Empty(t, expression.Check(`handler == "`+strings.Repeat("(", 500)+`"`, env), "brackets in a text are only a text")
}

func TestOnlyTheDogIsKnownWhereNoTrialIs(t *testing.T) {
	dog := expression.Env{Scope: expression.DogOnly}
	require.Empty(t, expression.Check("age_months >= 12 and not neutered", dog))
	require.Empty(t, expression.Check("dog.age_months >= 12", dog))
	got := expression.Check("latency < 2", dog)
	require.Len(t, got, 1)
	require.Equal(t, expression.UnknownName, got[0].Kind)
	p, err := expression.Compile("weight_kg > 3", dog)
	require.NoError(t, err)
	require.Equal(t, []string{"dog.weight_kg"}, p.Reads())
	require.False(t, p.ReadsTrial())
	require.True(t, p.Holds(&facts))
}

func TestLiterals(t *testing.T) {
	text := `place == "lane" or "yard" == place or handler in ["owner", "junior"]`
	p, err := expression.Compile(text, env)
	require.NoError(t, err)
	var got []string
	for _, l := range p.Literals() {
		got = append(got, l.Fact+" "+l.Value)
		require.Equal(t, `"`+l.Value+`"`, text[l.From:l.To])
	}
	require.Equal(t, []string{"place lane", "place yard", "handler owner", "handler junior"}, got)
	require.Equal(t, []string{"handler", "place"}, p.Reads())
}

func TestAFunctionThatIsOnlyDeclaredNeverHolds(t *testing.T) {
	p, err := expression.Compile("not rainy()", expression.Env{Functions: []expression.Function{{Name: "rainy", Returns: expression.Bool}}})
	require.NoError(t, err)
	require.False(t, p.Holds(&facts))
}

func TestNamesThatBracesKeep(t *testing.T) {
	for name, want := range map[string]bool{"place": true, "dog": true, "turn": false, "rewarded": true, "latency": false} {
		require.Equal(t, want, expression.IsTrialFact(name), name)
	}
	require.True(t, expression.IsWord("in"))
	require.False(t, expression.IsWord("inside"))
}
