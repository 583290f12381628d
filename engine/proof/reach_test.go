package proof

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
)

// k successes without a miss show a share with confidence c where share^k <= 1 - c: .8^13 = .055, .8^14 = .044;
// .9^28 = .052, .9^29 = .047; .5^4 = .0625, .5^5 = .031 (calculated by hand).
func TestTheFewestSuccessesThatShowAShare(t *testing.T) {
	for _, c := range []struct {
		share, confidence int64
		n, want           int
	}{{80, 95, 30, 14}, {90, 95, 40, 29}, {50, 95, 10, 5}, {50, 50, 10, 1}, {90, 95, 20, 20}} {
		require.Equal(t, c.want, fewest(curriculum.Confidence{Share: curriculum.Percent(c.share), Confidence: curriculum.Percent(c.confidence), N: c.n}))
	}
}
