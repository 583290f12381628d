package curriculum_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
)

// slowLayOut is the rule of several ramps said step by step: go round the ramps, raise each that can be, and write down
// first the level with the others lowered, if that is another one.
func slowLayOut(sizes []int, lower int) [][]int {
	at := make([]int, len(sizes))
	out := [][]int{append([]int{}, at...)}
	for {
		raised := 0
		for i := range sizes {
			if at[i] == sizes[i]-1 {
				continue
			}
			raised++
			at[i]++
			low := append([]int{}, at...)
			for j := range low {
				if j != i {
					low[j] -= lower
					if low[j] < 0 {
						low[j] = 0
					}
				}
			}
			same := true
			for j := range low {
				same = same && low[j] == at[j]
			}
			if !same {
				out = append(out, low)
			}
			out = append(out, append([]int{}, at...))
		}
		if raised == 0 {
			return out
		}
	}
}

func TestLayOutIsTheSlowRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sizes := rapid.SliceOfN(rapid.IntRange(1, 5), 0, 4).Draw(t, "sizes")
		lower := rapid.IntRange(0, 3).Draw(t, "lower")
		var ramps []curriculum.Ramp
		for i, n := range sizes {
			r := curriculum.Ramp{Of: string(rune('a' + i))}
			for v := range n {
				r.Values = append(r.Values, curriculum.LevelValue{Quantity: curriculum.Q(int64(v), curriculum.NoUnit)})
			}
			ramps = append(ramps, r)
		}
		got := curriculum.LayOut(ramps, curriculum.Raise{LowerBy: lower})
		want := slowLayOut(sizes, lower)
		require.Len(t, got, len(want))
		for i, l := range got {
			require.Len(t, l.Values, len(sizes))
			for j, v := range l.Values {
				require.Equal(t, int64(want[i][j]), v.Quantity.Num)
			}
			for k := range i {
				if lower == 0 {
					require.False(t, got[k].Equal(l), "without lowering no level comes twice")
				}
			}
		}
	})
}

func TestAgeAt(t *testing.T) {
	day := func(s string) time.Time {
		d, err := time.Parse(time.DateOnly, s)
		require.NoError(t, err)
		return d
	}
	for _, c := range []struct {
		name, born, on      string
		months, weeks, days int
	}{
		{"on the day of birth", "2026-01-31", "2026-01-31", 0, 0, 0},
		{"the day before a month is full", "2026-01-15", "2026-02-14", 0, 4, 30},
		{"the day a month is full", "2026-01-15", "2026-02-15", 1, 4, 31},
		{"born on the 31st, a month is full on the first after a short one", "2026-01-31", "2026-03-01", 1, 4, 29},
		{"over a leap day", "2024-02-28", "2024-03-01", 0, 0, 2},
		{"before birth", "2026-02-01", "2026-01-01", 0, 0, 0},
		{"two years", "2024-03-01", "2026-03-01", 24, 104, 730},
	} {
		t.Run(c.name, func(t *testing.T) {
			dog := curriculum.Dog{Born: day(c.born)}
			m, w, d, ok := dog.AgeAt(day(c.on))
			require.True(t, ok)
			require.Equal(t, []int{c.months, c.weeks, c.days}, []int{m, w, d})
		})
	}
	_, _, _, ok := (&curriculum.Dog{}).AgeAt(day("2026-01-01"))
	require.False(t, ok)
	_, _, _, ok = (*curriculum.Dog)(nil).AgeAt(day("2026-01-01"))
	require.False(t, ok)
}

func TestTheDateCountsInItsOwnOffset(t *testing.T) {
	dog := curriculum.Dog{Born: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)}
	east := time.Date(2026, 1, 3, 0, 30, 0, 0, time.FixedZone("", 9*3600)) // still the 2nd in UTC
	_, _, days, _ := dog.AgeAt(east)
	require.Equal(t, 2, days)
}

func TestQuantitiesComeBackFromTheirText(t *testing.T) {
	units := []curriculum.Unit{"", "s", "min", "h", "day", "week", "cm", "m", "deg", "kcal", "g", "kg"}
	rapid.Check(t, func(t *rapid.T) {
		q := curriculum.QFrac(rapid.Int64Range(0, 1e6).Draw(t, "num"), rapid.Int64Range(1, 1000).Draw(t, "den"), rapid.SampledFrom(units).Draw(t, "unit"))
		got, ok := curriculum.ParseQuantity(q.String())
		require.True(t, ok, q.String())
		require.Equal(t, q, got)
	})
}

func TestSchedulesComeBackFromTheirText(t *testing.T) {
	for _, text := range []string{"every success", "fixed ratio 3", "variable ratio 1.5", "random ratio 2.5", "fixed interval 10 s", "variable interval 1 min", "fixed duration 5 s", "variable duration 10 s", "best 60% of last 10 for turn",
		"variable ratio 4 with at most 4 unpaid", "best 60% of last 10 for turn from 30 deg", "best 60% of last 10 for turn to 90 deg", "best 60% of last 10 for latency from 3 s to 1.5 s"} {
		s, ok := curriculum.ParseSchedule(text)
		require.True(t, ok, text)
		require.Equal(t, text, s.String())
	}
	for _, text := range []string{"", "every", "fixed ratio", "fixed ratio 3 s", "variable interval 3", "best 60 of last 10 for turn", "sometimes",
		"variable ratio 4 with at most 0 unpaid", "variable interval 4 s with at most 2 unpaid", "variable ratio 4 with at most four unpaid", "best 60% of last 10 for turn from x", "best 60% of last 10 for turn to x"} {
		_, ok := curriculum.ParseSchedule(text)
		require.False(t, ok, text)
	}
}

func TestShareOfIsTheSmallestWholeNumberThatReachesIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, n := rapid.Int64Range(1, 100).Draw(t, "percent"), rapid.IntRange(1, 500).Draw(t, "n")
		k := curriculum.Percent(p).Of(n)
		require.GreaterOrEqual(t, int64(k)*100, p*int64(n))
		require.Less(t, int64(k-1)*100, p*int64(n))
	})
}

func TestNearest(t *testing.T) {
	names := []string{"latency", "duration", "distance", "place", "nose-touch", "mat-rest", "hand-touch"}
	for word, want := range map[string]string{"nose": "nose-touch", "rest": "mat-rest", "touch": "", "no": "", "latncy": "latency", "plcae": "place", "duraton": "duration", "colour": "", "place": "", "": ""} {
		require.Equal(t, want, curriculum.Nearest(word, names), word)
	}
}
