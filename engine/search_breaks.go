package engine

import "slices"

// mostBroken is the longest run in which breaks are tried one by one: each try plays it all.
const mostBroken = 100

// written is a run as the caller reads it: no new session or day in it that is not needed, since of two runs of one
// length a person wants the one that is done sooner.
func (s *searcher) written(r *rule, run []int) []NextTrial {
	if run == nil {
		return nil
	}
	run = slices.Clone(run)
	if len(run) <= mostBroken {
		s.fewerBreaks(r, run)
	}
	out := make([]NextTrial, len(run))
	for i, li := range run {
		out[i] = s.letters[li].next
	}
	s.datedBreaks(r, run, out)
	return out
}

// fewerBreaks takes out of a run what breaks it can do without: all but one where that will do, else one by one from the
// end, as what is needed comes early.
func (s *searcher) fewerBreaks(r *rule, run []int) {
	broken := func(i int) bool { return s.letters[run[i]].next.NewSession }
	unbroken := make([]int, len(run))
	breaks := 0
	for i := range run {
		unbroken[i] = s.letters[run[i]].plain
		breaks += int(b2u(broken(i)))
	}
	if breaks == 0 {
		return
	}
	with := func(base []int, i, l int) bool { // run becomes base with this letter there, where that fires the rule as well
		if l < 0 {
			return false
		}
		other := slices.Clone(base)
		other[i] = l
		if !s.firesAtEnd(r, other) {
			return false
		}
		copy(run, other)
		return true
	}
	if with(unbroken, 0, unbroken[0]) {
		return
	}
	for i, li := range unbroken {
		if with(unbroken, i, s.letters[li].session) || with(unbroken, i, s.letters[li].day) {
			return
		}
	}
	for i := len(run) - 1; i >= 0; i-- {
		if broken(i) && !with(run, i, unbroken[i]) {
			with(run, i, s.letters[unbroken[i]].session)
		}
	}
}

// firesAtEnd reports whether the last trial of a run, and none before it, fires the rule.
func (s *searcher) firesAtEnd(r *rule, run []int) bool {
	st := s.put(&s.from)
	for i, li := range run {
		if got := s.play(st, &s.letters[li], r); got != nothing || i == len(run)-1 {
			return got == fired && i == len(run)-1
		}
	}
	return false
}

// datedBreaks says of a session that began on another date, where a rule looks at dates, that it has to.
func (s *searcher) datedBreaks(r *rule, run []int, out []NextTrial) {
	if !s.days {
		return
	}
	st := s.put(&s.from)
	day := dayOf(s.d.at)
	for i, li := range run {
		s.play(st, &s.letters[li], r)
		now := dayOf(s.d.at)
		out[i].NextDay = out[i].NewSession && now != day
		day = now
	}
}
