package schedules

import "testing"

// The exact distribution of rewards in a session, beside drawing as many sessions as give its chances to two digits.
func BenchmarkRewardsOfASession(b *testing.B) {
	r := ratio(b, Variable, 4, 1)
	b.Run("exactly", func(b *testing.B) {
		for b.Loop() {
			r.Rewards(20)
		}
	})
	b.Run("by 10,000 draws", func(b *testing.B) {
		for b.Loop() {
			var seen [21]int
			for seed := range uint64(10_000) {
				n := 0
				for _, paid := range r.Session(State{}, 20, seed) {
					if paid {
						n++
					}
				}
				seen[n]++
			}
		}
	})
}
