package engine

import (
	"math/big"
	"slices"
	"time"

	"example.com/rung/curriculum"
)

// Review is one cold test of a kept behaviour: the first trial of a session on or after the date it was due, where that
// trial was evidence.
type Review struct {
	Trial  string    `json:"trial"`
	At     time.Time `json:"at"`
	Passed bool      `json:"passed"`
	Gap    string    `json:"gap"` // that had run out, as "3 days"
}

// review is where the cold tests of a kept behaviour stand.
type review struct {
	gap  int // index of the one that runs
	from int // date it runs from
}

// maxGap is a hundred years: whatever is longer never comes.
const maxGap = 36500

// reviews compiles the gaps, in whole days: a day is the least there is between two dates.
func (cp *compiler) reviews(b *behaviour) {
	for _, q := range b.src.Review {
		if q.Unit.Dimension() != curriculum.Time || q.Base().Sign() <= 0 {
			cp.refuse(b.src.Pos, CodeBroken, "review", b.src.Name, "", "a review after %q, which is no time to come", q).fix("write a gap that is a time, such as 3 days")
			continue
		}
		days := new(big.Rat).Quo(q.Base(), curriculum.Q(1, curriculum.Day).Base())
		gap := maxGap
		if days.Cmp(big.NewRat(maxGap, 1)) < 0 {
			up := new(big.Int).Add(days.Num(), new(big.Int).Sub(days.Denom(), big.NewInt(1)))
			gap = int(up.Quo(up, days.Denom()).Int64())
		}
		b.reviews = append(b.reviews, gap)
	}
}

// reviewed takes a cold first trial of a kept behaviour for its review, if one is due on its date.
func (f *Fold) reviewed(st *state, t *curriculum.Trial, k kind) {
	if len(st.b.reviews) == 0 || f.day < st.reviewDay() {
		return
	}
	passed := k == success
	if !f.trying {
		st.reviews = append(st.reviews, Review{t.ID, t.At, passed, st.reviewGap()})
	}
	st.review = review{st.b.reviews.After(st.review.gap, passed), f.day}
}

// reviewDay is the date on which the next review is due.
func (st *state) reviewDay() int { return st.review.from + st.b.reviews[st.review.gap] }

// reviewGap is the gap that runs.
func (st *state) reviewGap() string { return count(st.b.reviews[st.review.gap], "day") }

// reviewDue is the date on which the next review is due, at midnight UTC; zero where none is.
func (st *state) reviewDue() time.Time {
	if st == nil || !st.kept() || len(st.b.reviews) == 0 {
		return time.Time{}
	}
	return time.Unix(int64(st.reviewDay())*86400, 0).UTC()
}

// reviewing adds what is to be said of a behaviour's reviews.
func (s *BehaviourStanding) reviewing(st *state) {
	if st == nil {
		return
	}
	s.Reviews = slices.Clone(st.reviews)
	if due := st.reviewDue(); !due.IsZero() {
		s.ReviewDue, s.ReviewGap = due.Format(time.DateOnly), st.reviewGap()
	}
}

// resumeReview is where the reviews of a kept behaviour stand.
type resumeReview struct {
	Gap  int `json:"gap"`
	From int `json:"from"` // a date
}

func (st *state) saveReview() *resumeReview {
	if st.reviewDue().IsZero() {
		return nil
	}
	return &resumeReview{st.review.gap, st.review.from}
}

// loadReview reports whether what was saved fits the curriculum's gaps.
func (st *state) loadReview(r *resumeReview) bool {
	if r == nil {
		return st.reviewDue().IsZero()
	}
	if st.reviewDue().IsZero() || r.Gap < 0 || r.Gap >= len(st.b.reviews) {
		return false
	}
	st.review = review{r.Gap, r.From}
	return true
}
