package schedules

import "math/big"

// maxRewards bounds how far Rewards looks ahead: beyond it the exact fractions grow large, and no session is so long.
const maxRewards = 120

// Rewards is the exact distribution of the number of rewards among the first n successes of a run that begins anew: the
// chance of k rewards stands at index k, up to the last k that can be. nil for n below 0 or above 120.
//
// A variable list is drawn without replacement, so the count is over all orders of the list, each as likely.
func (r *Ratio) Rewards(n int) []*big.Rat {
	r = r.made()
	if n < 0 || n > maxRewards {
		return nil
	}
	switch r.kind {
	case Random:
		if r.cap > 0 {
			return r.capped(n)
		}
		return r.binomial(n)
	case Variable:
		return r.drawn(n)
	}
	paid := int64(n) * r.den / r.num
	out := noughts(int(paid) + 1)
	out[paid].SetInt64(1)
	return out
}

// drawn counts, for each k, the sets of k places of the list whose gaps come to s: in a random order the first k gaps
// are each such set with the same chance. Whole lists before the one in use change nothing but the count.
func (r *Ratio) drawn(n int) []*big.Rat {
	whole := 0
	for _, g := range r.list {
		whole += g
	}
	lists := n / whole
	n -= lists * whole
	size := len(r.list)
	// sets[k][s], one gap after another with as many as the list has of it
	sets := grid(min(size, n)+1, n+1)
	sets[0][0].SetInt64(1)
	for from := 0; from < size; {
		gap, many := r.list[from], 1
		for from+many < size && r.list[from+many] == gap {
			many++
		}
		from += many
		sets = withGap(sets, gap, many)
	}
	// the chance that k gaps or more fit into n
	var fit []*big.Rat
	for k := range sets {
		sum := new(big.Int)
		for _, c := range sets[k] {
			sum.Add(sum, c)
		}
		if sum.Sign() == 0 {
			break
		}
		fit = append(fit, new(big.Rat).SetFrac(sum, new(big.Int).Binomial(int64(size), int64(k))))
	}
	return append(noughts(lists*size), differences(fit)...)
}

// withGap is the counts of sets when `many` gaps of that length are added to choose from.
func withGap(sets [][]*big.Int, gap, many int) [][]*big.Int {
	n := len(sets[0]) - 1
	out := grid(len(sets), n+1)
	term := new(big.Int)
	for j := 0; j <= many && j < len(sets) && j*gap <= n; j++ {
		ways := new(big.Int).Binomial(int64(many), int64(j))
		for k := 0; k+j < len(sets); k++ {
			for s := 0; s+j*gap <= n; s++ {
				if sets[k][s].Sign() > 0 {
					to := out[k+j][s+j*gap]
					to.Add(to, term.Mul(sets[k][s], ways))
				}
			}
		}
	}
	return out
}

func grid(rows, columns int) [][]*big.Int {
	out := make([][]*big.Int, rows)
	for i := range out {
		out[i] = make([]*big.Int, columns)
		for j := range out[i] {
			out[i][j] = new(big.Int)
		}
	}
	return out
}

// binomial is the distribution of a random ratio without a cap.
func (r *Ratio) binomial(n int) []*big.Rat {
	out := make([]*big.Rat, n+1)
	p := r.chanceAt()
	q := new(big.Rat).Sub(big.NewRat(1, 1), p)
	for k := range out {
		out[k] = new(big.Rat).SetInt(new(big.Int).Binomial(int64(n), int64(k)))
		out[k].Mul(out[k], power(p, k)).Mul(out[k], power(q, n-k))
	}
	return out
}

// capped is the distribution of a random ratio with a cap. All that leads to success s is counted in parts of
// chanceParts^s.
func (r *Ratio) capped(n int) []*big.Rat {
	gap := make([]*big.Int, min(n, r.cap)+1)
	over, miss := big.NewInt(1), big.NewInt(chanceParts-r.chance)
	for k := 1; k < len(gap); k++ {
		share := r.chance
		if k == r.cap {
			share = chanceParts
		}
		gap[k] = new(big.Int).Mul(over, big.NewInt(share))
		over = new(big.Int).Mul(over, miss)
	}
	all := new(big.Int).Lsh(big.NewInt(1), uint(n*chanceBits))
	at := grid(1, n+1)[0] // that the k-th reward falls on success s
	at[0].SetInt64(1)
	fit := []*big.Rat{big.NewRat(1, 1)}
	term := new(big.Int)
	for k := 1; k <= n; k++ {
		next, sum := grid(1, n+1)[0], new(big.Int)
		for s := k; s <= n; s++ {
			for g := 1; g < len(gap) && g <= s; g++ {
				next[s].Add(next[s], term.Mul(at[s-g], gap[g]))
			}
			sum.Add(sum, term.Lsh(next[s], uint((n-s)*chanceBits)))
		}
		if sum.Sign() == 0 {
			break
		}
		at, fit = next, append(fit, new(big.Rat).SetFrac(sum, all))
	}
	return differences(fit)
}

// differences turns the chances of k or more into those of exactly k.
func differences(least []*big.Rat) []*big.Rat {
	out := make([]*big.Rat, len(least))
	for k := range least {
		out[k] = new(big.Rat).Set(least[k])
		if k+1 < len(least) {
			out[k].Sub(out[k], least[k+1])
		}
	}
	return out
}

func noughts(n int) []*big.Rat {
	out := make([]*big.Rat, n)
	for i := range out {
		out[i] = new(big.Rat)
	}
	return out
}

// Moments is the mean and the variance of a distribution over 0, 1, 2 ...
func Moments(chances []*big.Rat) (mean, variance *big.Rat) {
	mean, variance = new(big.Rat), new(big.Rat)
	for k, p := range chances {
		mean.Add(mean, new(big.Rat).Mul(p, big.NewRat(int64(k), 1)))
		variance.Add(variance, new(big.Rat).Mul(p, big.NewRat(int64(k)*int64(k), 1)))
	}
	return mean, variance.Sub(variance, new(big.Rat).Mul(mean, mean))
}
