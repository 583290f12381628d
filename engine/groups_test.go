package engine_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
)

func TestWhySaysWhatIsMissingInOtherPlacesSessionsAndDays(t *testing.T) {
	for name, c := range map[string]struct {
		is       curriculum.Repeated
		tally    string
		want     int
		sentence string
	}{
		"two more places": {curriculum.Repeated{Is: last(2, 3), N: 2, Over: curriculum.Places}, "+", 4,
			"2 of last 3 in 2 places: true in 0 of 2 so far, 2 places missing"},
		"one more session": {curriculum.Repeated{Is: streak(2), N: 2, Over: curriculum.Sessions}, "+ + | +", 1,
			"2 in a row in 2 sessions: true in 1 of 2 so far, 1 more session missing; in this session 2 in a row: 1 of 1 so far, 2 of 2 needed"},
		"a session in a row that began badly": {curriculum.Repeated{Is: streak(3), N: 2, Over: curriculum.Sessions, InARow: true}, "+ + + | -", 3,
			"3 in a row in 2 sessions in a row: true in the 1 session before this one, 1 more session missing; in this session 3 in a row: 0 of 1 so far, 3 of 3 needed"},
		"three days": {curriculum.Repeated{Is: streak(1), N: 3, Over: curriculum.Days}, "+", 2,
			"1 in a row in 3 days: true in 1 of 3 so far, 2 more days missing"},
		"four of five in three handlers": {curriculum.Repeated{Is: last(4, 5), N: 2, Over: curriculum.Handlers}, "+ -", 8,
			"4 of last 5 in 2 handlers: true in 0 of 2 so far, 2 handlers missing"},
	} {
		t.Run(name, func(t *testing.T) {
			house := house(behaviour("spin", step("follow", rule(curriculum.Advance, c.is)), step("next")))
			house.Handlers = []string{"senior", "junior", "owner"}
			p := compile(t, house)
			d := okapi().tally("spin", c.tally)
			f := fold(t, p, d)
			w, err := f.Why("okapi", "spin", f.Now())
			require.NoError(t, err)
			r := w.Rules[0]
			require.Equal(t, c.sentence, r.Counts[0].Sentence)
			require.NotNil(t, r.Next)
			require.Len(t, r.Next.Trials, c.want, r.Next.Marks)
			require.True(t, r.Next.Shortest)
			fires(t, p, d, r)
		})
	}
}

func TestWhySaysHowFarAStatisticIs(t *testing.T) {
	median := curriculum.Statistic{Stat: curriculum.Median, Measure: "latency", N: 3, Op: "<=", Value: curriculum.Q(2, curriculum.Second)}
	p := compile(t, house(behaviour("spin", step("follow", rule(curriculum.Advance, median)), step("next"))))
	d := okapi()
	for _, v := range []float64{4, 3.5} {
		d.mark("spin", '+').Measures = []curriculum.MeasureValue{{Name: "latency", Value: v}}
	}
	w, err := fold(t, p, d).Why("okapi", "spin", d.at)
	require.NoError(t, err)
	r := w.Rules[0]
	require.Equal(t, "median latency of last 3 successes <= 2 s: 2 of 3 successes so far", r.Counts[0].Sentence)
	require.NotNil(t, r.Next)
	require.Len(t, r.Next.Trials, 2, r.Next.Marks)
	require.True(t, r.Next.Shortest)
	fires(t, p, d, r)
}

// The place where it came true stands with what is done, not with what is missing.
func TestWhyNamesThePlacesWhereItCameTrue(t *testing.T) {
	is := curriculum.Repeated{Is: streak(2), N: 2, Over: curriculum.Places}
	house := house(behaviour("spin", step("follow", rule(curriculum.Advance, is)), step("next")))
	house.Places = []string{"yard", "lane"}
	d := okapi()
	for range 2 {
		d.mark("spin", '+').Place = "yard"
	}
	w, err := fold(t, compile(t, house), d).Why("okapi", "spin", d.at)
	require.NoError(t, err)
	require.Equal(t, "2 in a row in 2 places: true in 1 of 2 so far (yard), 1 more place missing", w.Rules[0].Counts[0].Sentence)
}
