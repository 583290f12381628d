package schedules

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Small Animal Clinical Nutrition (5th ed.), Table 5-2, and recomputed: 70 kg^0.75.
func TestRestingNeed(t *testing.T) {
	for kg, want := range map[float64]float64{1: 70, 2: 117.7255, 3: 159.5655, 5: 234.0591, 8: 332.9780, 10: 393.6389, 12: 451.3194, 15: 533.5394,
		20: 662.0191, 25: 782.6238, 30: 897.3027, 40: 1113.3790, 50: 1316.2111} {
		require.InDelta(t, want, Resting(kg), 0.00006, "%v kg", kg)
	}
}

// Worked examples printed with the life-stage factors: 1059, 999 and 853.66 kcal.
func TestLifeStageFactors(t *testing.T) {
	require.InDelta(t, 1059.23, FactorNeutered*Resting(20), 0.005)
	require.InDelta(t, 998.93, FactorPuppy*Resting(8), 0.005)
	require.InDelta(t, 853.66, FactorNeutered*Resting(15), 0.005)
}

// National Research Council (2006) and FEDIAF (2021) figures at 10 kg; the puppy equation's 1 kg row peaks at 141 kcal
// in a veterinary wiki's table.
func TestMaintenanceAndGrowth(t *testing.T) {
	require.InDelta(t, 731.04, Maintenance(10), 0.005)
	require.InDelta(t, 1.02064, Growing(10, 10)/Maintenance(10), 0.000005)
	require.InDelta(t, 761.2341, Growing(5, 10), 0.0001)
	require.InDelta(t, 1280.2381, Growing(10, 20), 0.0001)
	require.InDelta(t, 141.319, Growing(.703, 1), 0.001)
	require.Equal(t, Growing(10, 10), Growing(10, 8), "above the adult weight counts as grown")
	for adult, want := range map[float64]float64{25: 1180.9, 15: 984.1, 11: 787.3} {
		require.InDelta(t, want, GrowingInBands(10, adult), 0.05)
	}
	for share, factor := range map[float64]float64{.15: 2.5, .30: 2.1, .43: 1.9, .60: 1.6, .71: 1.4, .80: 1.3, 1: 1, .05: 2.5} {
		require.InDelta(t, factor, GrowingLarge(share*40, 40)/Maintenance(share*40), 1e-9, "%v of the adult weight", share)
	}
	require.InDelta(t, 1.75, GrowingLarge(20.6, 40)/Maintenance(20.6), 1e-9, "half-way between two printed points")
}

func TestDailyNeedTakesTheBestKnownFigure(t *testing.T) {
	for _, c := range []struct {
		name string
		f    Facts
		want float64
	}{
		{"the vet's figure overrides all", Facts{VetKcal: 400, Kg: 20, Months: 30}, 400},
		{"a puppy with a known adult weight grows by the equation", Facts{Kg: 4.2, AdultKg: 11, Months: 2}, 753.47},
		{"a puppy without one", Facts{Kg: 8, Months: 3}, 998.93},
		{"a junior without one", Facts{Kg: 10, Months: 8}, 787.28},
		{"a neutered adult", Facts{Kg: 20, Months: 30}, 1059.23},
		{"an intact adult", Facts{Kg: 20, Months: 30, Intact: true}, 1191.63},
		{"age unknown", Facts{Kg: 20}, 1059.23},
		{"age unknown, below its adult weight", Facts{Kg: 20, AdultKg: 22}, 1059.23},
		{"a puppy whose adult weight is not known, written as less than nothing", Facts{Kg: 10, AdultKg: -1, Months: 8}, 787.28},
		{"an adult a little above its weight", Facts{Kg: 26, AdultKg: 24, Months: 60}, 1289.56},
		{"an overweight adult", Facts{Kg: 30, AdultKg: 24, Months: 60}, 910.83},
		{"an adult that is lighter than it was", Facts{Kg: 20, AdultKg: 22, Months: 60}, 1059.23},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, from, err := Daily(c.f)
			require.NoError(t, err)
			require.NotEmpty(t, from)
			require.InDelta(t, c.want, got, 0.06)
		})
	}
	_, _, err := Daily(Facts{Months: 4})
	require.ErrorIs(t, err, ErrWeight)
}

// 95 kg^0.75 at 10 kg, and its share of the resting need; 293 kJ kg^0.75 as Small Animal Clinical Nutrition prints it;
// its factors for bitches in milk with one, two, and three or four pups.
func TestFurtherNeeds(t *testing.T) {
	require.InDelta(t, 534.22, Sedentary(10), 0.005)
	require.InDelta(t, 1.357, Sedentary(10)/Resting(10), 0.0005)
	require.InDelta(t, 293, Kilojoules(Resting(1)), 0.2)
	require.Equal(t, []float64{3, 3.5, 4}, []float64{FactorLactating1, FactorLactating2, FactorLactating34})
	// the straight line 30 kg + 70 of the same books, for 2 to 45 kg, is meant for the back of an envelope: within 17%
	for kg := 2.0; kg <= 45; kg++ {
		require.InEpsilon(t, Resting(kg), 30*kg+70, 0.17, "%v kg", kg)
	}
}

// A widely repeated rule of thumb, attributed to veterinary associations: treats at most a tenth of the day's energy.
func TestTreatBudgetOfNeuteredAdults(t *testing.T) {
	for kg, want := range map[float64]float64{5: 37.4495, 10: 62.9822, 20: 105.9231, 30: 143.5684} {
		day, _, err := Daily(Facts{Kg: kg, Months: 40})
		require.NoError(t, err)
		require.InDelta(t, want, day/10, 0.00006)
	}
	require.Equal(t, 27, Purse(81.1, 3))
	require.Equal(t, 10, Purse(0.3*10, 0.3), "whole pieces are not lost to rounding")
	require.Equal(t, 0, Purse(-1, 3))
	require.Equal(t, -1, Purse(10, 0))
}

// Resting need, 1.6 times it, a tenth of that, and the pieces of 2 and of 3 kcal in it, worked out for the project.
func TestPiecesOfATenthOfTheDay(t *testing.T) {
	for _, c := range [][6]float64{{4, 198, 317, 32, 15, 10}, {9, 364, 582, 58, 29, 19}, {14, 507, 811, 81, 40, 27}, {22, 711, 1138, 114, 56, 37}, {31, 920, 1471, 147, 73, 49}} {
		day, _, err := Daily(Facts{Kg: c[0], Months: 40})
		require.NoError(t, err)
		require.InDelta(t, c[1], Resting(c[0]), 0.5)
		require.InDelta(t, c[2], day, 0.5)
		require.InDelta(t, c[3], day/10, 0.5)
		require.Equal(t, int(c[4]), Purse(day/10, 2), "%v kg", c[0])
		require.Equal(t, int(c[5]), Purse(day/10, 3), "%v kg", c[0])
	}
}

// The worked example of many pages: 900 kcal a day leave 90 for extras.
func TestTwoPurses(t *testing.T) {
	for _, c := range []struct {
		name                      string
		daily, share, fed         float64
		ration, extras            float64
		kcalAPiece, grams, wanted float64
		pieces                    Pieces
	}{
		{"nothing fed yet", 900, .1, 0, 900, 90, 4, 1.2, 30, Pieces{22, 88, 26.4}},
		{"half is gone", 900, .1, 45, 855, 45, 4, 1.2, 5, Pieces{5, 20, 6}},
		{"more than the share is gone", 900, .1, 100, 800, 0, 4, 1.2, 5, Pieces{}},
		{"a food without energy", 900, .1, 90, 810, 0, 0, 1, 5, Pieces{5, 0, 5}},
		{"no extras at all", 900, 0, 0, 900, 0, 4, 0, 5, Pieces{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := NewPurses(c.daily, c.share, c.fed)
			require.NoError(t, err)
			require.Equal(t, Purses{c.daily, c.ration, c.extras}, p)
			got := Take(int(c.wanted), p.Extras, c.kcalAPiece, c.grams)
			require.Equal(t, c.pieces.N, got.N)
			require.InDelta(t, c.pieces.Kcal, got.Kcal, 1e-9)
			require.InDelta(t, c.pieces.Grams, got.Grams, 1e-9)
		})
	}
	for _, bad := range [][3]float64{{0, .1, 0}, {900, 1.1, 0}, {900, .1, -1}, {math.NaN(), .1, 0}, {900, math.NaN(), 0}} {
		_, err := NewPurses(bad[0], bad[1], bad[2])
		require.ErrorIs(t, err, ErrPurse)
	}
	require.Equal(t, Pieces{}, Take(-2, 10, 1, 1))
}

// Whatever is taken, the extras stay within their share of the day.
func TestExtrasStayWithinTheirShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		daily, share := rapid.Float64Range(50, 3000).Draw(t, "daily"), rapid.Float64Range(0, .3).Draw(t, "share")
		fed := 0.0
		for _, n := range rapid.SliceOfN(rapid.IntRange(0, 40), 1, 8).Draw(t, "sessions") {
			p, err := NewPurses(daily, share, fed)
			require.NoError(t, err)
			fed += Take(n, p.Extras, rapid.Float64Range(0.2, 9).Draw(t, "piece"), 1).Kcal
		}
		require.LessOrEqual(t, fed, daily*share+1e-6)
	})
}
