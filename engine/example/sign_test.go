package example_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine/example"
)

// signs are of every kind that the language knows.
const signs = `sign growl locks everything
sign squint locks the behaviour
sign mouthing locks mat
sign pants ends the session
sign turns-away ends the behaviour
`

func TestSignsInExamplesDoWhatTheCurriculumSays(t *testing.T) {
	for name, lines := range map[string]string{
		"locked until a named person clears it": `dog 14 months old, 8 kg
			spin: + +
			sign growl
			expect spin is working
			expect plan leaves out spin because locked
			expect plan leaves out perch because locked
			session after 1 day
			expect plan leaves out spin because locked
			clear growl by "the vet"
			expect plan has spin`,
		"seen in one behaviour": `start spin at two
			sign squint in spin by Dov
			expect plan leaves out spin because locked
			expect plan has mat
			clear squint in spin by Halla
			expect plan has spin`,
		"seen in none, though it locks the one": `start spin at two
			sign squint
			expect plan leaves out mat because locked`,
		"a named behaviour": `start spin at two
			sign mouthing
			expect plan leaves out mat because locked
			expect plan has spin`,
		"the session": `start spin at two
			spin: +
			sign pants
			expect plan leaves out mat because session-ended
			session
			expect plan has mat`,
		"the behaviour": `start spin at two
			spin: +
			sign turns-away in spin
			expect plan leaves out spin because stopped
			expect plan has mat
			session
			expect plan has spin`,
		"in every row of a table": `start spin at two
			sign growl
			case spin: - - then at one turn 90 deg
			case spin: - then at two`,
	} {
		t.Run(name, func(t *testing.T) {
			r := example.Run(read(t, yard+signs+"example \"this\" {\n"+lines+"\n}\n"), example.Options{})
			for _, c := range r.Cases {
				require.Empty(t, c.Failures)
			}
			require.Positive(t, r.Passed)
		})
	}
}

// Left out, the clear makes the difference: what the lines say is really looked at.
func TestNothingButAClearOpensALock(t *testing.T) {
	for lines, found := range map[string]string{
		"sign growl\nsession after 90 days\nexpect plan has spin":                                    "the plan leaves it out because locked: no training until the sign is cleared: growl, seen 2 March 2026",
		"sign growl\nclear squint by \"the vet\"\nexpect plan leaves out spin because locked":        `the dog has no lock by the sign "squint" to clear`,
		"clear growl by \"the vet\"\nexpect plan has spin":                                           `the dog has no lock by the sign "growl" to clear`,
		"sign growl in spin\nclear growl in spin by Dov\nexpect plan leaves out spin because locked": `the sign "growl" locks more than spin, so a clear for spin alone lifts nothing: leave the behaviour out to lift it all`,
	} {
		r := example.Run(read(t, yard+signs+"example \"this\" {\n"+lines+"\n}\n"), example.Options{})
		require.Equal(t, 1, r.Failed, lines)
		require.Len(t, r.Cases[0].Failures, 1)
		require.Equal(t, found, r.Cases[0].Failures[0].Found)
	}
}

// Rules may ask whether a trial was paid, so an example can say so, and a suggested one does.
func TestExamplesSayWhetherATrialWasPaid(t *testing.T) {
	const text = `rung 1
behaviour spin {
  step one {
    prompt word
    advance when 3 in a row among { not rewarded }
    ease when 2 misses of last 3 where { rewarded }
  }
}
`
	r := example.Run(read(t, text+`example "paid or not" {
  case spin: + + + + + then at one
  case spin: + (rewarded) + (rewarded) + (rewarded) then at one
  case spin: + (unrewarded) + (rewarded) + (unrewarded) + then at one
  case spin: + (unrewarded) + (rewarded) + (unrewarded) + (unrewarded, latency 2 s) then is kept
}
`), example.Options{})
	require.Equal(t, []int{4, 0}, []int{r.Passed, r.Failed}, "%v", r.Cases)
	p := read(t, text)
	unfired := example.Run(p, example.Options{}).Rules.Unfired
	got := example.Suggest(p, unfired, false)
	require.Len(t, got, 2)
	for i, s := range got {
		require.Empty(t, s.None)
		fires(t, p.Curriculum(), s, unfired[i])
	}
	require.Contains(t, got[0].Text, "spin: + (unrewarded) + (unrewarded) + (unrewarded)\n")
	require.Contains(t, got[1].Text, "spin: - (rewarded) - (rewarded)\n")
}
