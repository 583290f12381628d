package engine_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// kept is a behaviour of one step that is kept after one success, with reviews.
func kept(gaps ...curriculum.Quantity) *curriculum.Behaviour {
	b := behaviour("spin", step("one", rule(curriculum.Advance, last(1, 1))))
	b.Review = gaps
	return b
}

func at(day int, o curriculum.Outcome) *curriculum.Trial {
	when := time.Date(2026, 3, day, 17, 10, 0, 0, time.UTC)
	return &curriculum.Trial{ID: when.Format("d02"), Dog: "okapi", Behaviour: "spin", At: when, Outcome: o}
}

func TestAViewAndAnExplanationSayWhenAReviewIsDueAndHowTheEarlierOnesWent(t *testing.T) {
	f := compile(t, house(kept(curriculum.Q(1, curriculum.Day), curriculum.Q(1, curriculum.Week)))).NewFold()
	for _, tr := range []*curriculum.Trial{at(2, curriculum.Success), at(3, curriculum.Success), at(12, curriculum.Wrong)} {
		require.NoError(t, f.Record(tr))
	}
	now := time.Date(2026, 3, 12, 18, 0, 0, 0, time.UTC)
	v := f.Dog("okapi", now).Behaviours[0]
	require.Equal(t, time.Date(2026, 3, 13, 0, 0, 0, 0, time.UTC), v.ReviewDue)
	require.Equal(t, "1 day", v.ReviewGap)
	require.Equal(t, []engine.Review{
		{Trial: "d03", At: at(3, 0).At, Passed: true, Gap: "1 day"}, {Trial: "d12", At: at(12, 0).At, Gap: "7 days"},
	}, v.Reviews)
	w, err := f.Why("okapi", "spin", now)
	require.NoError(t, err)
	require.Contains(t, strings.Join(strings.Fields(w.Text()), " "),
		"review due 2026-03-13, 1 day after the last; so far 1 of 2 reviews passed, the newest on 2026-03-12")
	require.Contains(t, strings.Join(strings.Fields(w.Words(engine.ForOwner)), " "), "The first try of a session from 13 March on is a check")
}

func TestWhatIsWorkedAtHasNoReviewDue(t *testing.T) {
	b := kept(curriculum.Q(1, curriculum.Day))
	b.Steps[0].Rules[0].When = last(2, 2)
	f := compile(t, house(b)).NewFold()
	require.NoError(t, f.Record(at(2, curriculum.Success)))
	v := f.Dog("okapi", at(3, 0).At).Behaviours[0]
	require.Zero(t, v.ReviewDue)
	require.Empty(t, v.ReviewGap)
}

func TestAGapOfCenturiesIsNeverOver(t *testing.T) {
	f := compile(t, house(kept(curriculum.Q(1<<62, curriculum.Week)))).NewFold()
	require.NoError(t, f.Record(at(2, curriculum.Success)))
	require.Equal(t, 2126, f.Dog("okapi", at(3, 0).At).Behaviours[0].ReviewDue.Year())
}

func TestGapsThatAreNoTimesAreRefused(t *testing.T) {
	for _, q := range []curriculum.Quantity{curriculum.Q(3, curriculum.Metre), curriculum.Q(0, curriculum.Day), curriculum.Q(-1, curriculum.Day), {}} {
		_, err := engine.Compile(house(kept(q)))
		var refused engine.Refusals
		require.ErrorAs(t, err, &refused, "%v", q)
		require.Equal(t, engine.CodeBroken, refused[0].Code)
	}
}

func TestASavedStandingWithAReviewThatDoesNotFitIsRefused(t *testing.T) {
	p := compile(t, house(kept(curriculum.Q(1, curriculum.Day), curriculum.Q(1, curriculum.Week))))
	f := p.NewFold()
	require.NoError(t, f.Record(at(2, curriculum.Success)))
	whole := saved(t, f)
	require.Contains(t, string(whole), `"review":{"gap":0,`)
	for _, broken := range []string{`"review":{"gap":2,`, `"review":{"gap":-1,`} {
		_, err := p.Resume(bytes.NewReader(bytes.Replace(whole, []byte(`"review":{"gap":0,`), []byte(broken), 1)))
		require.ErrorContains(t, err, "reviews that do not fit")
	}
}
