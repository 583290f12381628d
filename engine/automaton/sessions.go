package automaton

import (
	"fmt"

	"example.com/rung/curriculum"
)

// evidenceOnly is an input that tells evidence from other trials.
func evidenceOnly(c *Case) string { return bit(c.Kind.Evidence()) }

// inSession is a part that begins anew with each session.
type inSession struct{ part }

func (s inSession) id() string { return "in this session: " + s.part.id() }

func (s inSession) edge(at string, e edge) string {
	if e == sessionEnd {
		return s.start(Entry{})
	}
	return s.part.edge(at, e)
}

// sessionsSince counts sessions, closed and worked, since entry.
type sessionsSince struct{ n int }

func (s *sessionsSince) id() string           { return fmt.Sprint("sessions ", s.n) }
func (s *sessionsSince) start(Entry) string   { return string(state{}.num(0).yes(false)) }
func (s *sessionsSince) input(c *Case) string { return evidenceOnly(c) }

func (s *sessionsSince) close(at string) bool {
	r := reading{s.edge(at, sessionEnd)}
	return r.num() >= s.n
}

func (s *sessionsSince) trial(at, in string) (string, bool) {
	r := reading{at}
	closed, worked := r.num(), r.yes()
	return string(state{}.num(closed).yes(closed < s.n && (worked || in == "1"))), closed >= s.n
}

func (s *sessionsSince) edge(at string, e edge) string {
	r := reading{at}
	closed, worked := r.num(), r.yes()
	if e == sessionEnd && worked {
		return string(state{}.num(min(closed+1, s.n)).yes(false))
	}
	return at
}

// daysSince counts dates since entry. When a session ends its last evidence is the present trial, so its date is kept
// where closing asks for it. The state begins with -1 where the first trial is to enter the level.
type daysSince struct {
	n       int
	closing bool
}

func (d *daysSince) id() string { return fmt.Sprint("days ", d.n, d.closing) }

func (d *daysSince) start(e Entry) string {
	if e.Fresh {
		return string(state{}.num(-1).num(0))
	}
	return string(state{}.num(0).num(0))
}

func (d *daysSince) input(c *Case) string { return evidenceOnly(c) }
func (d *daysSince) close(at string) bool { r := reading{at}; r.num(); return r.num() >= d.n }

func (d *daysSince) trial(at, in string) (string, bool) {
	r := reading{at}
	days, last := max(r.num(), 0), r.num()
	if d.closing && in == "1" {
		last = days
	}
	return string(state{}.num(days).num(last)), days >= d.n
}

func (d *daysSince) edge(at string, e edge) string {
	r := reading{at}
	days, last := r.num(), r.num()
	switch {
	case e == sessionEnd:
		last = 0
	case days >= 0:
		days = min(days+1, d.n)
	}
	return string(state{}.num(days).num(last))
}

// firstTrials is the first trials of sessions that were evidence: n successes, in a row or not.
type firstTrials struct {
	n   int
	row bool
}

func (f *firstTrials) id() string { return fmt.Sprint("first ", f.n, f.row) }

// the state is whether the session has had its first trial, and how many
func (f *firstTrials) start(e Entry) string { return string(state{}.yes(!e.Fresh).num(0)) }

func (f *firstTrials) input(c *Case) string {
	if !c.Kind.Evidence() {
		return ""
	}
	return bit(c.Kind == Success)
}

func (f *firstTrials) close(at string) bool { r := reading{at}; r.yes(); return r.num() >= f.n }

func (f *firstTrials) trial(at, in string) (string, bool) {
	r := reading{at}
	if tried, n := r.yes(), r.num(); !tried && (f.row || n < f.n) {
		switch {
		case in == "1":
			n = min(n+1, f.n)
		case in == "0" && f.row:
			n = 0
		}
		at = string(state{}.yes(true).num(n))
	}
	return at, f.close(at)
}

func (f *firstTrials) edge(at string, e edge) string {
	r := reading{at}
	if r.yes(); e == sessionEnd && (f.row || !f.close(at)) {
		return string(state{}.yes(false).num(r.num()))
	}
	return at
}

// share is a whole-session share: the session's evidence and successes, and how many sessions before reached it.
type share struct {
	sees
	of curriculum.SessionShare
}

func (s *share) id() string {
	return fmt.Sprintf("share %v %d %d %v %s", s.of.Share, s.of.MinTrials, s.of.N, s.of.InARow, s.key)
}

func (s *share) start(Entry) string { return string(state{}.num(0).num(0).num(0)) }

// session is whether the session is long enough, and whether it reaches the share.
func (s *share) session(trials, good int) (long, met bool) {
	r := s.of.Share.Rat()
	return trials > 0 && trials >= s.of.MinTrials, r.Denom().Int64()*int64(good) >= r.Num().Int64()*int64(trials)
}

// counted is how many sessions reach the share once the present one has ended.
func (s *share) counted(trials, good, before int) int {
	long, met := s.session(trials, good)
	switch {
	case long && met:
		return min(before+1, s.of.N)
	case s.of.N <= 1, long && s.of.InARow:
		return 0
	}
	return before
}

func (s *share) close(at string) bool {
	r := reading{at}
	return s.counted(r.num(), r.num(), r.num()) >= max(1, s.of.N)
}

func (s *share) trial(at, in string) (string, bool) {
	if in == "" {
		return at, false
	}
	r := reading{at}
	trials, good, before := r.num()+1, r.num(), r.num()
	if in == "1" {
		good++
	}
	return string(state{}.num(trials).num(good).num(before)), false
}

func (s *share) edge(at string, e edge) string {
	if e != sessionEnd {
		return at
	}
	r := reading{at}
	n := 0
	if trials, good, before := r.num(), r.num(), r.num(); s.of.N > 1 {
		n = s.counted(trials, good, before)
	}
	return string(state{}.num(0).num(0).num(n))
}

// worked is whether the session has had evidence: rules that wait for its end are looked at only then.
type worked struct{}

func (worked) id() string           { return "worked" }
func (worked) start(Entry) string   { return "0" }
func (worked) input(c *Case) string { return evidenceOnly(c) }
func (worked) close(at string) bool { return at == "1" }
func (worked) trial(at, in string) (string, bool) {
	if in == "1" {
		at = in
	}
	return at, false
}

func (worked) edge(at string, e edge) string {
	if e == sessionEnd {
		return "0"
	}
	return at
}

// every counts evidence to n and begins anew: `decide every n trials`. It holds at the n-th.
type every struct{ n int }

func (v *every) id() string           { return fmt.Sprint("every ", v.n) }
func (v *every) start(Entry) string   { return string(state{}.num(0)) }
func (v *every) input(c *Case) string { return evidenceOnly(c) }
func (v *every) close(string) bool    { return false }
func (v *every) trial(at, in string) (string, bool) {
	if in != "1" {
		return at, false
	}
	r := reading{at}
	n := (r.num() + 1) % v.n
	return string(state{}.num(n)), n == 0
}
func (v *every) edge(at string, _ edge) string { return at }

// limit counts the trials of a session. It holds as long as the session may have one more.
type limit struct{ n int }

func (l *limit) id() string         { return fmt.Sprint("limit ", l.n) }
func (l *limit) start(Entry) string { return string(state{}.num(0)) }
func (l *limit) input(*Case) string { return "" }
func (l *limit) close(string) bool  { return false }
func (l *limit) trial(at, _ string) (string, bool) {
	r := reading{at}
	n := r.num() + 1
	return string(state{}.num(n)), n <= l.n
}

func (l *limit) edge(at string, e edge) string {
	if e == sessionEnd {
		return l.start(Entry{})
	}
	return at
}
