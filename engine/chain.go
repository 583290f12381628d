package engine

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// PieceCount is how many runs of a chain broke at one piece first.
type PieceCount struct {
	Piece  string `json:"piece"`
	Trials int    `json:"trials"`
}

// piece is the index of the piece of the step's chain that a trial names as failed, -1 where there is none. A piece that
// is a behaviour may go by a former name.
func (f *Fold) piece(s *curriculum.Step, name string) int {
	if i := slices.Index(s.Chain, name); i >= 0 {
		return i
	}
	if b, ok := f.p.names[name]; ok {
		return slices.Index(s.Chain, f.p.behaviours[b].src.Name)
	}
	return -1
}

// failedPiece reports a failed piece that cannot be what it says.
func (f *Fold) failedPiece(ln line, t *curriculum.Trial, k kind, sp *spot) {
	switch s := sp.stage.step; {
	case len(s.Chain) == 0:
		f.report(ln, CodeUnlistedPiece, "%s runs no chain, so no piece %q can have failed in it", s.Name, t.Failed)
	case f.piece(s, t.Failed) < 0:
		f.report(ln, CodeUnlistedPiece, "%s has no piece %q%s; which piece failed is not counted", s.Name, t.Failed, near(t.Failed, s.Chain))
	case k == success:
		f.report(ln, CodeDisagrees, "the outcome says success, yet %s is said to have failed; the outcome stands", t.Failed)
	}
}

// broke counts the piece that failed first in a miss at the present level.
func (f *Fold) broke(st *state, t *curriculum.Trial) {
	s := st.sg().step
	if i := f.piece(s, t.Failed); i >= 0 {
		if st.failed == nil {
			st.failed = make([]uint32, len(s.Chain))
		}
		st.failed[i]++
	}
}

// pieces are the pieces that failed first since the level was entered, in the order performed.
func (st *state) pieces() []PieceCount {
	var out []PieceCount
	for i, n := range st.failed {
		if n > 0 {
			out = append(out, PieceCount{st.sg().step.Chain[i], int(n)})
		}
	}
	return out
}

// loadPieces takes up what Save wrote.
func (st *state) loadPieces(now, before []PieceCount) error {
	s := st.sg().step
	for _, p := range now {
		i := slices.Index(s.Chain, p.Piece)
		if i < 0 || p.Trials < 1 || p.Trials > filledMask {
			return fmt.Errorf("no piece %q of %q", p.Piece, s.Name)
		}
		if st.failed == nil {
			st.failed = make([]uint32, len(s.Chain))
		}
		st.failed[i] = uint32(p.Trials)
	}
	st.failedBefore = before
	return nil
}

// pieceWords are counts of pieces in words.
func pieceWords(list []PieceCount, v Voice) string {
	var out []string
	for _, p := range list {
		text := fmt.Sprintf("%s %d", p.Piece, p.Trials)
		if v == ForOwner {
			text = p.Piece + " (" + times(p.Trials) + ")"
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}
