package naive

import (
	"time"

	"example.com/rung/curriculum"
)

// Standing is where one dog stands in one behaviour.
type Standing struct {
	Behaviour string
	State     curriculum.State
	Place     Place
	Trials    int // evidence since the level was entered
	Sessions  int // sessions with evidence since then
	Moves     []Move
	Noted     []Noted
	Failed    map[string]int // misses since the level was entered, by the piece that failed first
	Before    map[string]int // the same of the stay that the last move, an ease, ended
	Reviews   []Review
	Due       int // date of the next review, 0 where there is none
}

// Answer is everything asked of one dog.
type Answer struct {
	Dog        string
	Behaviours []Standing
	Locks      []Lock
}

// Answers is where every dog stands at now. A session 30 minutes or more over is closed, on a copy.
func (r *Reader) Answers(now time.Time) []Answer {
	var out []Answer
	for _, name := range r.Names() {
		d := r.dogs[name]
		n := r
		if last := d.lastLine(); last != nil && !d.present.closed && now.Sub(last.t.At) >= Gap {
			n, d = r.again(d)
			n.close(d, d.present)
		}
		a := Answer{Dog: name, Locks: d.locks}
		for _, p := range d.progress {
			lines := p.sinceEntry(d)
			s := Standing{Behaviour: p.b.Name, State: p.state(n, d, now), Place: p.place(), Moves: p.moves, Noted: p.noted}
			k := look{lines: lines}
			s.Trials = len(only(lines, isEvidence))
			s.Sessions = len(k.sessionsWorked())
			s.Place.Kept = false
			s.Failed = r.brokenPieces(lines)
			if n := len(p.moves); n > 0 && p.moves[n-1].Rule == "ease" {
				s.Before = r.brokenPieces(p.stay(d, p.visit-1))
			}
			s.Reviews, s.Due = p.reviews(d)
			a.Behaviours = append(a.Behaviours, s)
		}
		out = append(out, a)
	}
	return out
}

// Where is the step and level a dog stands at in a behaviour, and the levels it has of that step.
func (r *Reader) Where(name string, b *curriculum.Behaviour) (step int, at curriculum.Level, levels []curriculum.Level) {
	p := r.dog(name).of(b)
	for _, g := range p.steps[p.step] {
		levels = append(levels, g.level)
	}
	return p.step, p.at.level, levels
}

// brokenPieces: of the misses among lines, how many failed first at each piece of their chain.
func (r *Reader) brokenPieces(lines []*line) map[string]int {
	n := map[string]int{}
	for _, l := range lines {
		if piece := r.pieceOf(l); piece != "" && l.what.miss() {
			n[piece]++
		}
	}
	return n
}

// pieceOf is the piece of its step's chain that a trial says failed, "" where there is none of that name. A behaviour
// that is a piece may go by a former name.
func (r *Reader) pieceOf(l *line) string {
	for _, piece := range l.of.b.Steps[l.step].Chain {
		if b := r.c.Behaviour(l.t.Failed); l.t.Failed == piece || b != nil && b.Name == piece {
			return piece
		}
	}
	return ""
}
