package proof_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/proof"
)

func TestWhatIsAskedOfTheDogInSeveralPlacesIsJoined(t *testing.T) {
	// b is a behaviour with needs and, in its first step, an advance rule and more.
	b := func(name, needs, advance, more string) string {
		return "behaviour " + name + " {\n  success \"over 5 cm\"\n  " + needs + "\n  step go {\n    advance when " + advance + "\n    flag when after 40 trials\n" + more + "\n  }\n  step on {\n" + fine + "  }\n}\n"
	}
	const good = "4 of last 5"
	grown := b("hop", "needs dog { age_months >= 12 }", good, "")
	for _, c := range []struct {
		name, text string
		want       string // code and the end of its text
	}{
		{"two needs of one behaviour", b("hop", "needs dog { age_months >= 12 }\n  needs dog { age_weeks < 20 }", good, ""), "dead-door no dog meets both { age_weeks < 20 } and { age_months >= 12 }, so hop never begins"},
		{"two needs that a dog of one week of its life meets", b("hop", "needs dog { age_weeks >= 52 }\n  needs dog { age_months < 12 }", good, ""), ""},
		{"a month of February is shorter than thirty days", b("hop", "needs dog { age_months >= 1 }\n  needs dog { age_days < 30 }", good, ""), ""},
		{"but not than twenty-eight", b("hop", "needs dog { age_months >= 1 }\n  needs dog { age_days < 28 }", good, ""), "dead-door no dog meets both { age_days < 28 } and { age_months >= 1 }, so hop never begins"},
		{"a behaviour for puppies behind one for grown dogs", grown + b("tug", "needs hop at go\n  needs dog { age_months < 6 }", good, ""), "dead-door no dog meets { age_months < 6 } that has met { age_months >= 12 } before, as hop asks for, so tug never begins"},
		{"the same with one between", grown + b("mid", "needs hop at go", good, "") + b("tug", "needs mid\n  needs dog { age_months < 6 }", good, ""), "dead-door no dog meets { age_months < 6 } that has met { age_months >= 12 } before, as hop asks for, so tug never begins"},
		{"what waits behind it has no finding of its own", grown + b("tug", "needs hop at go\n  needs dog { age_months < 6 }", good, "") + b("pull", "needs tug at go", good, ""), "dead-door no dog meets { age_months < 6 } that has met { age_months >= 12 } before, as hop asks for, so tug never begins"},
		{"a behaviour for grown dogs behind one for puppies", b("tug", "needs dog { age_months < 6 }", good, "") + b("hop", "needs tug at go\n  needs dog { age_months >= 12 }", good, ""), ""},
		{"an adult weight stays what it is", b("tug", "needs dog { adult_weight_kg < 10 }", good, "") + b("hop", "needs tug at go\n  needs dog { adult_weight_kg > 25 }", good, ""), "dead-door no dog meets { adult_weight_kg > 25 } that has met { adult_weight_kg < 10 } before, as tug asks for, so hop never begins"},
		{"a weight may change", b("tug", "needs dog { weight_kg < 10 }", good, "") + b("hop", "needs tug at go\n  needs dog { weight_kg > 25 }", good, ""), ""},
		{"a dog may be neutered in between", b("tug", "needs dog { not neutered }", good, "") + b("hop", "needs tug at go\n  needs dog { neutered }", good, ""), ""},
		{"but not the other way round", b("tug", "needs dog { neutered }", good, "") + b("hop", "needs tug at go\n  needs dog { not neutered }", good, ""), "dead-door no dog meets { not neutered } that has met { neutered } before, as tug asks for, so hop never begins"},
		{"a rule on two conditions", b("hop", "", "4 of each 5 and { dog.age_months >= 12 } and { dog.age_months < 6 }", ""), "never-holds no dog meets both { dog.age_months >= 12 } and { dog.age_months < 6 }, so hop never gets past go"},
		{"a rule on either of two", b("hop", "", "4 of each 5 and ({ dog.age_months >= 12 } or { dog.age_months < 6 })", ""), ""},
		{"a rule against the door", b("hop", "needs dog { age_months >= 12 }", good, "    flag when 3 misses of last 5 and { dog.age_months < 6 }"), "never-holds no dog meets { dog.age_months < 6 } that has met { age_months >= 12 } before, as hop asks for"},
		{"a door is not looked at again behind it", b("hop", "needs dog { age_months < 6 }", good, "    flag when 3 misses of last 5 and { dog.age_months >= 12 }"), ""},
		{"but for a firm one", b("hop", "needs firmly dog { age_months < 6 }", good, "    flag when 3 misses of last 5 and { dog.age_months >= 12 }"), "never-holds no dog meets { dog.age_months >= 12 } and { age_months < 6 }, as hop asks for"},
		{"a rule against what came before", grown + b("tug", "needs hop at go", good, "    flag when 3 misses of last 5 and { dog.age_months < 6 }"), "never-holds no dog meets { dog.age_months < 6 } that has met { age_months >= 12 } before, as hop asks for"},
		{"a rule against the step before", "behaviour hop {\n  success \"over 5 cm\"\n  step go {\n    advance when 4 of each 5 and { dog.age_months >= 8 }\n    flag when after 40 trials\n  }\n  step on {\n    advance when 4 of last 5 where { dog.age_months < 8 }\n    flag when after 40 trials\n  }\n}\n", "never-holds no dog meets { dog.age_months < 8 } that has met { dog.age_months >= 8 } before, as hop at go asks for, so hop is never kept"},
		{"trials that were counted in time", b("hop", "", "4 of each 5 where { dog.age_months < 8 } and { dog.age_months >= 8 }", ""), ""},
		{"a condition that is not of numbers may hold", b("hop", "needs dog { name == \"Okapi\" }\n  needs dog { name == \"Gantry\" }", good, ""), ""},
		{"a rule of a ladder that another dog's behaviour keeps alive", "ladder up {\n  step go {\n    advance when 4 of last 5\n    flag when after 40 trials\n    flag when 3 misses of last 5 and { dog.age_months < 6 }\n  }\n}\n" +
			"behaviour hop {\n  success \"over 5 cm\"\n  needs dog { age_months >= 12 }\n  climb up\n}\nbehaviour tug {\n  success \"pulls once\"\n  climb up\n}\n", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := proof.Check(program(t, "rung 1\n"+c.text), proof.Options{})
			if c.want == "" {
				require.Empty(t, linesOf(found))
				return
			}
			require.Len(t, found, 1, linesOf(found))
			code, text, _ := strings.Cut(c.want, " ")
			require.Equal(t, code, found[0].Code)
			require.True(t, strings.HasSuffix(found[0].Text, text), found[0].Text)
			require.NotZero(t, found[0].Pos.Line)
		})
	}
}

// Dogs that are worked through some months, as the engine sees them: none begins what is said never to begin, none meets a
// rule that is said never to hold.
func TestNoDogPassesADoorThatIsSaidToBeDead(t *testing.T) {
	rnd := rand.New(rand.NewPCG(9, 9))
	condition := func(dog string) string {
		if rnd.IntN(4) == 0 {
			return fmt.Sprintf("{ %sadult_weight_kg %s %d }", dog, []string{"<", ">="}[rnd.IntN(2)], 10*(1+rnd.IntN(2)))
		}
		return fmt.Sprintf("{ %sage_months %s %d }", dog, []string{"<", ">="}[rnd.IntN(2)], 3*(1+rnd.IntN(3)))
	}
	dead, seen := 0, 0
	for range 60 {
		var b strings.Builder
		b.WriteString("rung 1\n")
		names := []string{"hop", "tug", "roll"}
		for i, name := range names {
			b.WriteString("behaviour " + name + " {\n  success \"over 5 cm\"\n")
			for range rnd.IntN(3) {
				b.WriteString("  needs dog " + condition("") + "\n")
			}
			if i > 0 && rnd.IntN(3) > 0 {
				b.WriteString("  needs " + names[rnd.IntN(i)] + []string{" at go", " at on", ""}[rnd.IntN(3)] + "\n")
			}
			for _, step := range []string{"go", "on"} {
				b.WriteString("  step " + step + " {\n    advance when 1 in a row")
				for range rnd.IntN(3) {
					b.WriteString(" and " + condition("dog."))
				}
				b.WriteString("\n    flag when 1 misses in a row and " + condition("dog.") + "\n  }\n")
			}
			b.WriteString("}\n")
		}
		p := program(t, b.String())
		never, lines := map[string]bool{}, map[int]bool{}
		for _, f := range proof.Check(p, proof.Options{}) {
			switch f.Code {
			case "dead-door":
				never[f.Behaviour] = true
			case "never-holds":
				lines[f.Pos.Line] = true
			}
		}
		dead += len(never) + len(lines)
		for range 25 {
			for _, x := range lifeOf(t, p, names, rnd) {
				if x.Trials+len(x.Moves) > 0 {
					seen++
					require.False(t, never[x.Behaviour], "%s begins\n%s", x.Behaviour, &b)
				}
				for _, m := range x.Moves {
					require.False(t, lines[m.Line], "line %d moves\n%s", m.Line, &b)
				}
				for _, n := range x.Noted {
					require.False(t, lines[n.Line], "line %d is noted\n%s", n.Line, &b)
				}
			}
		}
	}
	require.Greater(t, dead, 40)
	require.Greater(t, seen, 1000)
}

// lifeOf works a dog of some adult weight through fifteen months of its life: of each behaviour it gets some months of
// misses, and then of successes too.
func lifeOf(t *testing.T, p *engine.Program, names []string, rnd *rand.Rand) []engine.BehaviourStanding {
	t.Helper()
	born := time.Date(2026, 1, 1, 9, 0, 0, 0, time.UTC)
	f := p.NewFold(curriculum.Dog{Name: "okapi", Born: born, WeightKg: 9, AdultWeightKg: []float64{5, 15, 25}[rnd.IntN(3)], Neutered: curriculum.No})
	var misses, wins []int
	for range names {
		misses, wins = append(misses, rnd.IntN(12)), append(wins, rnd.IntN(12))
	}
	n := 0
	for month := range 15 {
		at := born.AddDate(0, month, 0)
		for range 2 {
			for i, name := range names {
				for _, o := range []curriculum.Outcome{curriculum.Wrong, curriculum.Success} {
					if from := map[curriculum.Outcome]int{curriculum.Wrong: misses[i], curriculum.Success: max(misses[i], wins[i])}; month < from[o] {
						continue
					}
					n++
					at = at.Add(time.Second)
					require.NoError(t, f.Record(&curriculum.Trial{ID: fmt.Sprint("t", n), Dog: "okapi", Behaviour: name, At: at, Outcome: o}))
				}
			}
		}
	}
	return f.Standing(f.Now()).Dogs[0].Behaviours
}
