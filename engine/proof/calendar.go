package proof

import (
	"fmt"
	"math/big"

	"example.com/rung/curriculum"
)

// calendar compares the fewest sessions that the rules allow with those that the course has.
func (s *subject) calendar() {
	course := s.c.Course
	if course.Lasts.IsZero() || course.Sessions == 0 {
		return
	}
	days := course.Lasts.Base()
	days.Quo(days, big.NewRat(86400, 1))
	perDay := big.NewRat(int64(course.Sessions), 1)
	if course.Per == curriculum.PerWeek {
		perDay.Quo(perDay, big.NewRat(7, 1))
	}
	has := ceiling(new(big.Rat).Mul(days, perDay))
	k := &calendar{s: s, perDay: perDay, memo: map[stage]way{}}
	var longest way
	var last *curriculum.Behaviour
	trials := 0
	for _, b := range s.c.Behaviours {
		if w := k.upTo(b, len(b.Steps)); w.sessions > longest.sessions {
			longest, last = w, b
		}
		trials += k.trials(b)
	}
	f := Finding{Code: codeCourseTooShort, Pos: course.Pos, Answer: Disproved}
	switch room := s.sessionTrials(); {
	case longest.sessions > has:
		f.Behaviour = last.Name
		f.Text = fmt.Sprintf("%s is finished after %s at the earliest, without a single miss, and the course has %d", last.Name, plural(longest.sessions, "session"), has)
		switch longest.gates {
		case 0:
		case 1:
			f.Text += ": 1 level on its way asks for another day or session"
		default:
			f.Text += fmt.Sprintf(": %d levels on its way ask for another day or session", longest.gates)
		}
	case room > 0 && trials > room*has:
		f.Text = fmt.Sprintf("all behaviours together take at least %d trials, and %d sessions of at most %d trials hold %d", trials, has, room, room*has)
	default:
		return
	}
	f.Help = "make the course longer, meet more often, or ask for less before the last class"
	s.report(f)
}

// sessionTrials is how many trials the roomiest session has; 0 where nothing limits it.
func (s *subject) sessionTrials() int {
	n := 0
	for _, x := range s.c.Sessions {
		if x.MaxTrials == 0 {
			return 0
		}
		n = max(n, x.MaxTrials)
	}
	return n
}

// calendar works out the fewest sessions that the rules allow to a dog that makes no mistake.
type calendar struct {
	s      *subject
	perDay *big.Rat // sessions a day
	memo   map[stage]way
}

// stage is the beginning of a step of a behaviour; the number of its steps stands for its end.
type stage struct {
	b *curriculum.Behaviour
	n int
}

// way is the fewest sessions from the start of the course to some point, and how many rules on it ask for another
// session or day.
type way struct{ sessions, gates int }

// upTo is the way to the beginning of step n of a behaviour, with all that it waits for.
func (k *calendar) upTo(b *curriculum.Behaviour, n int) way {
	if w, ok := k.memo[stage{b, n}]; ok {
		return w
	}
	start := way{1, 0}
	k.memo[stage{b, n}] = start // a circle of needs is another finding
	for _, e := range k.s.edges(b) {
		at := len(e.to.Steps)
		if i := e.to.Step(e.need.Step); e.need.Step != "" && i >= 0 {
			at = i
		}
		if w := k.upTo(e.to, at); w.sessions > start.sessions {
			start = w
		}
	}
	w := k.climb(b, n, start)
	k.memo[stage{b, n}] = w
	return w
}

// climb goes on from start through the first n steps of a behaviour, or from a later step that the dog may skip to, where
// that is quicker.
func (k *calendar) climb(b *curriculum.Behaviour, n int, start way) way {
	out := k.climbFrom(b, 0, n, start)
	for i := 1; i < n; i++ {
		if (place{b, b.Steps[i], i}).has(curriculum.Skip) {
			if w := k.climbFrom(b, i, n, start); w.sessions < out.sessions {
				out = w
			}
		}
	}
	return out
}

// climbFrom is the way through the steps from one to before another.
func (k *calendar) climbFrom(b *curriculum.Behaviour, from, to int, start way) way {
	out, trials, room := start, 0, 0
	limited := true // every step has a limit of trials a session
	for i := from; i < to; i++ {
		p := place{b, b.Steps[i], i}
		extra, fewest := k.level(p)
		levels := max(1, len(p.step.Levels))
		out.sessions += extra * levels
		if extra > 0 {
			out.gates += levels
		}
		trials += fewest * levels
		r := k.s.roomOf(p).session
		limited = limited && r > 0
		room = max(room, r)
	}
	if limited && room > 0 { // more trials than these sessions hold take more of them
		out.sessions = max(out.sessions, start.sessions-1+(trials+room-1)/room)
	}
	return out
}

// level is how many further sessions one level of a step takes after the one it is entered in, and its fewest trials.
func (k *calendar) level(p place) (extra, trials int) {
	for i, r := range p.rules(curriculum.Advance) {
		e, t := k.extra(r.When), fewest(r.When)
		if i == 0 || e < extra {
			extra = e
		}
		if i == 0 || t < trials {
			trials = t
		}
	}
	return extra, max(trials, 1)
}

// extra is how many further sessions a criterion takes after the one in which its level is entered, at the least.
func (k *calendar) extra(c curriculum.Criterion) int {
	switch c := c.(type) {
	case curriculum.Named:
		return k.extra(c.Is)
	case curriculum.And:
		n := 0
		for _, x := range c.All {
			n = max(n, k.extra(x))
		}
		return n
	case curriculum.Or:
		n := -1
		for _, x := range c.Any {
			if m := k.extra(x); n < 0 || m < n {
				n = m
			}
		}
		return max(n, 0)
	case curriculum.Repeated:
		switch c.Over {
		case curriculum.Sessions:
			return c.N - 1
		case curriculum.Days:
			return k.otherDays(c.N - 1)
		}
	case curriculum.SessionShare:
		return c.N - 1
	case curriculum.FirstTrial:
		return c.N - 1
	case curriculum.After:
		switch c.Unit {
		case curriculum.AfterSessions:
			return c.N
		case curriculum.AfterDays:
			return k.sessionsIn(c.N)
		}
	}
	return 0
}

// otherDays is how many further sessions it takes to come on n other days.
func (k *calendar) otherDays(n int) int {
	if n > 0 && k.perDay.Cmp(big.NewRat(1, 1)) > 0 {
		return k.sessionsIn(n)
	}
	return n
}

// sessionsIn is how many further sessions it takes until n days have gone by, at the least.
func (k *calendar) sessionsIn(n int) int {
	if k.perDay.Cmp(big.NewRat(1, 1)) > 0 { // from the last session of one day to the first of another
		return 1 + ceiling(new(big.Rat).Mul(k.perDay, big.NewRat(int64(n-1), 1)))
	}
	return ceiling(new(big.Rat).Mul(k.perDay, big.NewRat(int64(n), 1)))
}

// trials are the fewest trials of a whole behaviour, skips taken.
func (k *calendar) trials(b *curriculum.Behaviour) int {
	rest, least := 0, -1
	for i := len(b.Steps) - 1; i >= 0; i-- {
		p := place{b, b.Steps[i], i}
		_, fewest := k.level(p)
		rest += fewest * max(1, len(p.step.Levels))
		if (i == 0 || p.has(curriculum.Skip)) && (least < 0 || rest < least) {
			least = rest
		}
	}
	return max(least, 0)
}

func ceiling(r *big.Rat) int {
	q, m := new(big.Int).DivMod(r.Num(), r.Denom(), new(big.Int))
	if m.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return int(q.Int64())
}
