package engine

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"example.com/rung/curriculum"
)

// Changes is what differs between two standings of one curriculum.
type Changes struct {
	Then time.Time    `json:"then"` // the now of the earlier answer
	Now  time.Time    `json:"now"`
	Dogs []DogChanges `json:"dogs"` // only those with a difference
}

// DogChanges is one dog's part of Changes. Of a dog that only one standing has, nothing else is said.
type DogChanges struct {
	Dog        string             `json:"dog"`
	New        bool               `json:"new,omitempty"`     // not in the earlier one
	Gone       bool               `json:"gone,omitempty"`    // not in the later one
	Locked     []Lock             `json:"locked,omitempty"`  // locks that were not there
	Cleared    []Lock             `json:"cleared,omitempty"` // locks that are not there any more
	Behaviours []BehaviourChanges `json:"behaviours"`        // only those with a difference
}

// BehaviourChanges is where a dog stood and stands, and the moves and notes that differ, in the order of time.
type BehaviourChanges struct {
	Behaviour string       `json:"behaviour"`
	Then      Stand        `json:"then"`
	Now       Stand        `json:"now"`
	Moves     []MoveChange `json:"moves"`
	NotedGone []Noted      `json:"noted_gone,omitempty"`
	NotedNew  []Noted      `json:"noted_new,omitempty"`
}

// Stand is where a dog stands in a behaviour.
type Stand struct {
	State  curriculum.State  `json:"state"`
	Step   string            `json:"step"`
	Level  map[string]string `json:"level"`
	Trials int               `json:"trials"` // evidence at the level
}

// ChangeKind is how a move differs.
type ChangeKind string

const (
	MoveGone    ChangeKind = "gone"    // was made, and is not any more
	MoveNew     ChangeKind = "new"     // was not made then
	MoveChanged ChangeKind = "changed" // the same move, made at another trial or for another reason; or another move at the same trial
)

// MoveChange is one move that differs: Then is what it was, Now what it is.
type MoveChange struct {
	Kind ChangeKind `json:"kind"`
	// Later says that it came after the earlier answer, so that time went on is reason enough. Any other difference
	// comes of lines that were added, mended or taken out since.
	Later bool  `json:"later,omitempty"`
	Then  *Move `json:"then,omitempty"`
	Now   *Move `json:"now,omitempty"`
}

// Since is what changed from one standing to a later one, as when a sheet arrives late: the moves that are gone, new or
// changed, each with its reason then and now. Moves whose trial, rule, places and reason are the same are no difference,
// however they are spelled: lines of the file may differ, 60 s is 1 min, and behaviours and steps renamed in between
// with `formerly` are the same (the answer calls them by their present names). The later standing is of this program;
// the error has ErrOtherCurriculum in its chain where the earlier one was made with a curriculum of another meaning.
func (p *Program) Since(then, now *Standing) (*Changes, error) {
	if p.none() {
		return nil, ErrNoProgram
	}
	if then == nil || now == nil {
		return nil, errors.New("there is no standing to compare: take what Fold.Standing or a saved file gave, both times")
	}
	if now.Fingerprint != p.fingerprint || cmp.Or(then.Origin, then.Fingerprint) != p.origin {
		return nil, fmt.Errorf("the earlier standing of %q cannot be compared: it was %w", then.Curriculum, ErrOtherCurriculum)
	}
	then = p.present(then)
	s := sameness{reasons: p.reasons()}
	out := &Changes{Then: then.At, Now: now.At, Dogs: []DogChanges{}}
	before, after := map[string]*DogStanding{}, map[string]*DogStanding{}
	names := map[string]bool{}
	for i := range then.Dogs {
		before[then.Dogs[i].Dog], names[then.Dogs[i].Dog] = &then.Dogs[i], true
	}
	for i := range now.Dogs {
		after[now.Dogs[i].Dog], names[now.Dogs[i].Dog] = &now.Dogs[i], true
	}
	for _, name := range slices.Sorted(maps.Keys(names)) {
		c := DogChanges{Dog: name, Behaviours: []BehaviourChanges{}}
		switch a, b := before[name], after[name]; {
		case a == nil:
			c.New = true
		case b == nil:
			c.Gone = true
		default:
			c.Locked, c.Cleared = locksBeside(b.Locked, a.Locked), locksBeside(a.Locked, b.Locked)
			c.behaviours(a, b, then.At, &s)
		}
		if c.New || c.Gone || len(c.Locked)+len(c.Cleared)+len(c.Behaviours) > 0 {
			out.Dogs = append(out.Dogs, c)
		}
	}
	return out, nil
}

// locksBeside is the locks of a that b has not.
func locksBeside(a, b []Lock) []Lock {
	var out []Lock
	for _, l := range a {
		same := func(o Lock) bool { return o.Sign == l.Sign && o.At.Equal(l.At) }
		if !slices.ContainsFunc(b, same) {
			out = append(out, l)
		}
	}
	return out
}

func (c *DogChanges) behaviours(then, now *DogStanding, asked time.Time, s *sameness) {
	before := map[string]*BehaviourStanding{}
	for i := range then.Behaviours {
		before[then.Behaviours[i].Behaviour] = &then.Behaviours[i]
	}
	for i := range now.Behaviours {
		b := &now.Behaviours[i]
		a := before[b.Behaviour]
		if a == nil {
			a = &BehaviourStanding{}
		}
		o := BehaviourChanges{Behaviour: b.Behaviour, Then: a.stand(), Now: b.stand(), Moves: s.moveChanges(a.Moves, b.Moves, asked)}
		o.NotedGone, o.NotedNew = s.notesBeside(a.Noted, b.Noted), s.notesBeside(b.Noted, a.Noted)
		same := o.Then.State == o.Now.State && o.Then.Step == o.Now.Step && levelKey(o.Then.Level) == levelKey(o.Now.Level) && o.Then.Trials == o.Now.Trials
		if !same || len(o.Moves)+len(o.NotedGone)+len(o.NotedNew) > 0 {
			c.Behaviours = append(c.Behaviours, o)
		}
	}
}

func (b *BehaviourStanding) stand() Stand { return Stand{b.State, b.Step, b.Level, b.Trials} }

// notesBeside is the notes of a that b has not.
func (s *sameness) notesBeside(a, b []Noted) []Noted {
	var out []Noted
	for _, n := range a {
		same := func(o Noted) bool {
			return o.Trial == n.Trial && o.Rule == n.Rule && s.oneReason(n.Because, o.Because)
		}
		if !slices.ContainsFunc(b, same) {
			out = append(out, n)
		}
	}
	return out
}

// pairings are the ways in which a move then and a move now are the same one, the surest first: the same move at the same
// trial; the same move at another trial; another move at the same trial.
var pairings = []func(*Move) string{
	func(m *Move) string { return m.id() + "\x00" + m.shape() },
	(*Move).shape,
	(*Move).id,
}

// id is the trial that made the move, or when a trainer made it.
func (m *Move) id() string {
	if m.Trial != "" || m.At == nil {
		return "trial " + m.Trial
	}
	return "hand " + m.At.UTC().Format(time.RFC3339Nano)
}

// shape is the rule and the two places.
func (m *Move) shape() string {
	return fmt.Sprintf("%s\x00%s\x00%s", m.Rule, m.From.shape(), m.To.shape())
}

func (p *Place) shape() string { return fmt.Sprintf("%s %s %t", p.Step, levelKey(p.Level), p.Kept) }

// moveChanges pairs the moves of two lists, each way of pairing over what the surer ones left, and lists what differs.
func (s *sameness) moveChanges(then, now []Move, asked time.Time) []MoveChange {
	pair := make([]int, len(now)) // index in then, or -1
	for i := range pair {
		pair[i] = -1
	}
	taken := make([]bool, len(then))
	for _, key := range pairings {
		waiting := map[string][]int{}
		for i := range then {
			if !taken[i] {
				k := key(&then[i])
				waiting[k] = append(waiting[k], i)
			}
		}
		for i := range now {
			if pair[i] >= 0 {
				continue
			}
			if k := key(&now[i]); len(waiting[k]) > 0 {
				pair[i], waiting[k] = waiting[k][0], waiting[k][1:]
				taken[pair[i]] = true
			}
		}
	}
	out := []MoveChange{}
	for i := range then {
		if !taken[i] {
			out = append(out, MoveChange{Kind: MoveGone, Then: &then[i]})
		}
	}
	for i := range now {
		m := &now[i]
		switch {
		case pair[i] < 0:
			out = append(out, MoveChange{Kind: MoveNew, Now: m, Later: m.At != nil && m.At.After(asked)})
		case !s.same(m, &then[pair[i]]):
			out = append(out, MoveChange{Kind: MoveChanged, Then: &then[pair[i]], Now: m})
		}
	}
	slices.SortStableFunc(out, func(a, b MoveChange) int { return a.at().Compare(b.at()) })
	return out
}

// at is when the move is, or was.
func (c *MoveChange) at() time.Time {
	m := cmp.Or(c.Now, c.Then)
	if m.At == nil {
		return time.Time{}
	}
	return *m.At
}
