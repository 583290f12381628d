package proof_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/proof"
)

func TestAnAllowReachesItsStepItsBehaviourOrItsFile(t *testing.T) {
	text := func(top, inBehaviour, inStep string) string {
		return "rung 1\n" + top + "\nbehaviour settle {\n  success \"down within 3 s\"\n" + inBehaviour + "\n  step go {\n" + inStep +
			"\n    advance when 4 of last 5\n  }\n  step on {\n    advance when 4 of last 5\n  }\n}\n"
	}
	allow := `allow one-way because "a senior stands beside"`
	for _, c := range []struct{ name, text, want string }{
		{"without it, both steps are found", text("", "", ""), "one-way one-way"},
		{"in a step, the other one stays", text("", "", allow), "one-way"},
		{"in the behaviour, none stays", text("", allow, ""), ""},
		{"in the file, none stays", text(allow, "", ""), ""},
		{"of another code, it silences nothing and says so", text(strings.Replace(allow, "one-way", "vague", 1), "", ""), "idle-allow one-way one-way"},
		{"twice, both are of use", text(allow, allow, ""), ""},
		{"a bare one silences and is a fault itself", text("", `allow one-way because " "`, ""), "bare-allow"},
		{"an allow cannot be allowed", text("allow idle-allow because \"x\"\n"+allow, "", ""), "idle-allow"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := proof.Check(program(t, c.text), proof.Options{})
			require.Equal(t, strings.Fields(c.want), codesOf(found), linesOf(found))
		})
	}
}

func TestAnAllowInOneOfTwoBehavioursSilencesWhatIsAboutBoth(t *testing.T) {
	for _, at := range []int{1, 2} {
		text := "rung 1\nbehaviour settle {\n  #1\n  cue \"mat\"\n  success \"down 3 s\"\n  step go {\n" + fine + "  }\n}\nbehaviour read {\n  #2\n  cue \"map\"\n  success \"nose on it 3 s\"\n  step go {\n" + fine + "  }\n}\n"
		found := proof.Check(program(t, text), proof.Options{})
		require.Equal(t, []string{"cues-alike"}, codesOf(found))
		text = strings.Replace(text, "#"+string(rune('0'+at)), `allow cues-alike because "one is shown, not said"`, 1)
		require.Empty(t, linesOf(proof.Check(program(t, text), proof.Options{})))
	}
}

// house is two files: what one allows for its whole self does not reach the other.
func house(t *testing.T, top, part string) []proof.Finding {
	t.Helper()
	files := fstest.MapFS{
		"house.rung": {Data: []byte("rung 1\nuse \"part.rung\"\n" + top + "\nbehaviour settle {\n  success \"down 3 s\"\n  climb up\n}\n")},
		"part.rung":  {Data: []byte("rung 1\n" + part + "\nladder up {\n  step go {\n    advance when 4 of last 5\n  }\n}\nbehaviour take {\n  success \"held 3 s\"\n  climb up\n}\n")},
	}
	c, ds := dsl.ReadFS(files, "house.rung")
	require.Empty(t, ds.Text())
	return proof.Check(compiled(t, c), proof.Options{})
}

func TestWhatALadderSaysOfSeveralBehavioursIsOneFinding(t *testing.T) {
	found := house(t, "", "")
	require.Equal(t, []string{"one-way"}, codesOf(found), linesOf(found))
	require.Equal(t, curriculum.Pos{File: "part.rung", Line: 4, Column: 8}, found[0].Pos)
	require.Equal(t, proof.Where{Behaviour: "take", Step: "go"}, proof.Where{Behaviour: found[0].Behaviour, Step: found[0].Step})
	require.Equal(t, []proof.Where{{Behaviour: "settle", Step: "go"}}, found[0].Also)
	require.Equal(t, "settle at go", found[0].Also[0].String())
}

func TestAnAllowOfAFileReachesWhatStandsThereAndTheBehavioursThere(t *testing.T) {
	allow := `allow one-way because "a senior stands beside"`
	found := house(t, allow, "") // house.rung: its behaviour settle, but not take of part.rung
	require.Equal(t, []string{"one-way"}, codesOf(found), linesOf(found))
	require.Equal(t, "take", found[0].Behaviour)
	require.Empty(t, found[0].Also)
	require.Empty(t, linesOf(house(t, "", allow)), "the ladder stands in part.rung")
}

func TestAnAllowInALadderIsOfUseIfAnyBehaviourNeedsIt(t *testing.T) {
	text := "rung 1\nladder up {\n  step go {\n    allow one-way because \"a senior stands beside\"\n    advance when 4 of last 5\n  }\n}\n" +
		"behaviour settle {\n  success \"down 3 s\"\n  climb up\n}\nbehaviour take {\n  success \"held 3 s\"\n  climb up\n  change step go {\n    flag when after 40 trials\n  }\n}\n"
	require.Empty(t, linesOf(proof.Check(program(t, text), proof.Options{})))
	text = strings.Replace(text, "  climb up\n}\nbehaviour take", "  climb up\n  change step go {\n    flag when after 60 trials\n  }\n}\nbehaviour take", 1)
	found := proof.Check(program(t, text), proof.Options{})
	require.Equal(t, []string{"idle-allow"}, codesOf(found), linesOf(found))
}

func TestSeveritiesCanBeSaid(t *testing.T) {
	var o proof.Options
	require.NoError(t, o.Set("one-way=error"))
	require.NoError(t, o.Set(" vague = off "))
	p := program(t, "rung 1\nbehaviour settle {\n  success \"looks happy\"\n  step go {\n    advance when 4 of last 5\n  }\n}\n")
	found := proof.Check(p, o)
	require.Equal(t, []string{"one-way"}, codesOf(found))
	require.Equal(t, proof.Error, found[0].Severity)
	for text, want := range map[string]string{"one-way": "CODE=SEVERITY", "one-wey=off": "did you mean one-way?", "one-way=bad": "no severity", "=off": "no finding"} {
		require.ErrorContains(t, o.Set(text), want)
	}
}

func TestWhatIsSwitchedOffIsAllowedWithoutComplaint(t *testing.T) {
	text := "rung 1\nbehaviour settle {\n  success \"down 3 s\"\n  allow vague because \"it was\"\n  step go {\n" + fine + "  }\n}\n"
	require.Equal(t, []string{"idle-allow"}, codesOf(proof.Check(program(t, text), proof.Options{})))
	require.Empty(t, codesOf(proof.Check(program(t, text), proof.Options{Severity: map[string]proof.Severity{"vague": proof.Off}})))
}

// Functions of the host program are known to the reader, the engine and the check alike; what they read of a trial nobody
// can say, what else a condition reads is looked at.
func TestConditionsThatCallTheHostProgramAreLookedAt(t *testing.T) {
	fns := []expression.Function{{Name: "outdoors", Params: []expression.Type{expression.Text}, Returns: expression.Bool, Call: func([]expression.Value) expression.Value { return expression.Value{} }}}
	text := "rung 1\nbehaviour hop {\n  counts as impact\n  at most 5 trials a session\n  success \"over 5 cm\"\n  step go {\n" +
		"    advance when 4 of last 5 where { outdoors(place) and latency < 2 and dog.age_months >= 12 }\n    flag when after 40 trials\n  }\n}\n"
	c, ds := dsl.ReadString("a.rung", text, dsl.Functions(fns...))
	require.Empty(t, ds.Text())
	p, err := engine.Compile(c, engine.WithFunctions(fns...))
	require.NoError(t, err)
	found := proof.Check(p, proof.Options{Functions: fns})
	require.Equal(t, []string{"unmeasured"}, codesOf(found), linesOf(found))
}
