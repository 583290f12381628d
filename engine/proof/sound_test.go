package proof

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
)

func word(text string) signal {
	g := signal{kind: curriculum.WordCue, text: text, sound: soundKey(text)}
	for i, w := range letterWords(text) {
		if i > 0 {
			g.plain += " "
		}
		g.plain += w
	}
	return g
}

// What counts as one sound apart is everyday English; the pairs are minimal pairs of the kind that pronunciation
// exercises use, from memory.
func TestWordsOneSoundApartAreAlike(t *testing.T) {
	for _, p := range [][2]string{
		{"mat", "map"}, {"nose", "toes"}, {"sit", "sick"}, {"bed", "bad"}, {"down", "town"}, {"here", "hear"}, {"right", "write"},
		{"stay", "stray"}, {"chin", "shin"}, {"peek", "peak"}, {"tail", "tale"}, {"wait", "weight"}, {"back", "pack"},
		{"know", "no"}, {"knee", "me"}, {"quick", "kwik"}, {"fetch", "fetched"}, {"sit", "sits"}, {"thin", "fin"}, {"phone", "bone"},
	} {
		require.True(t, alike(word(p[0]), word(p[1])) || word(p[0]).plain == word(p[1]).plain, "%s %s: %s %s", p[0], p[1], soundKey(p[0]), soundKey(p[1]))
	}
}

func TestWordsFurtherApartAreNot(t *testing.T) {
	for _, p := range [][2]string{
		{"mat", "perch"}, {"swing", "bring"}, {"boop", "keep"}, {"pull", "shove"}, {"sit", "down"}, {"left", "right"}, {"take", "give"},
		{"chin", "basket"}, {"have it", "thanks"}, {"tick-tock", "swing"}, {"here-o", "hold"}, {"in", "out"}, {"a", "o"},
	} {
		require.False(t, alike(word(p[0]), word(p[1])), "%s %s: %s %s", p[0], p[1], soundKey(p[0]), soundKey(p[1]))
	}
}

// slowDistance is the edit distance by its definition.
func slowDistance(a, b []rune) int {
	switch {
	case len(a) == 0:
		return len(b)
	case len(b) == 0:
		return len(a)
	case a[0] == b[0]:
		return slowDistance(a[1:], b[1:])
	}
	return 1 + min(slowDistance(a[1:], b), slowDistance(a, b[1:]), slowDistance(a[1:], b[1:]))
}

func TestDistanceIsTheFewestSlips(t *testing.T) {
	require.Equal(t, 3, distance("kitten", "sitting"), "the usual textbook example")
	rapid.Check(t, func(rt *rapid.T) {
		a := rapid.StringMatching(`[abc]{0,6}`).Draw(rt, "a")
		b := rapid.StringMatching(`[abcé]{0,6}`).Draw(rt, "b")
		if got, want := distance(a, b), slowDistance([]rune(a), []rune(b)); got != want {
			rt.Fatalf("%q %q: %d, not %d", a, b, got, want)
		}
	})
}

func TestSoundKeysOfAnyTextAreMade(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) { _ = soundKey(rapid.String().Draw(rt, "text")) })
	rapid.Check(t, func(rt *rapid.T) { _ = soundKey(rapid.StringMatching(`[a-z' ]{0,12}`).Draw(rt, "text")) })
}

// The chances are sums of the binomial distribution; gonum's is an independent one.
func TestTheChanceOfGuessingIsTheBinomialOne(t *testing.T) {
	for n := 1; n <= 20; n++ {
		for k := 0; k <= n; k++ {
			for _, answers := range []int64{2, 3, 4} {
				got, _ := atLeast(k, n, big.NewRat(1, answers)).Float64()
				want := distuv.Binomial{N: float64(n), P: 1 / float64(answers)}.Survival(float64(k) - 1)
				require.InDelta(t, want, got, 1e-12, "%d of %d between %d", k, n, answers)
			}
		}
	}
	half := big.NewRat(1, 2) // by hand: (5+1)/32, (1+10+45)/1024, (10+1)/1024
	require.Equal(t, "3/16", atLeast(4, 5, half).RatString())
	require.Equal(t, "7/128", atLeast(8, 10, half).RatString())
	require.Equal(t, "11/1024", atLeast(9, 10, half).RatString())
}

func TestALevelBetweenTwoIsTheirGeometricMean(t *testing.T) {
	for _, c := range []struct{ a, b, want string }{{"5 s", "15 s", "9 s"}, {"18 s", "50 s", "30 s"}, {"1 min", "4 min", "2 min"}, {"3", "9", "5"}} {
		a, _ := curriculum.ParseQuantity(c.a)
		b, _ := curriculum.ParseQuantity(c.b)
		require.Equal(t, c.want, between(a, b).String())
	}
}
