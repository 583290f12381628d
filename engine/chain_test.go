package engine_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
)

// textual compiles a curriculum text, and reads a tally book against it.
func textual(t testing.TB, text, tally string) (*engine.Program, []curriculum.Entry) {
	t.Helper()
	c, found := dsl.ReadString("school.rung", "rung 1\n"+text)
	require.NoError(t, found.Err())
	r, err := history.OpenReader(strings.NewReader(tally), "book.tally", history.Options{}.For(c))
	require.NoError(t, err)
	var entries []curriculum.Entry
	var e curriculum.Entry
	for r.Next(&e) == nil {
		entries = append(entries, history.Clone(&e))
	}
	require.Empty(t, r.Reports())
	require.NoError(t, r.Close())
	return compiled(t, c), entries
}

const bring = `
behaviour bring-dropped "hands over what fell" {
  chain backward of turn-to, take-up, carry, deliver {
    prompt word
    advance when 2 in a row
    ease    when 2 misses in a row
  }
}
`

func TestWhichPieceOfAChainFailedIsCountedShownAndSaved(t *testing.T) {
	p, entries := textual(t, bring, `okapi 2026-03-02 17:10 yard Halla
bring-dropped: + + + + - -(failed carry)
bring-dropped at from-carry: - +(touch, failed deliver) + -(failed deliver) - +
`)
	// two misses ease it to from-carry, where a miss and a helped run ease it once more
	f := p.NewFold()
	for i := range entries[:8] {
		require.NoError(t, f.Take(&entries[i]))
	}
	b := f.Standing(f.Now()).Dogs[0].Behaviours[0]
	require.Equal(t, "from-deliver", b.Step, "eased twice")
	require.Nil(t, b.Failed, "counted since the level was entered")
	require.Equal(t, []engine.PieceCount{{Piece: "deliver", Trials: 1}}, b.FailedBefore, "of the level that was left, in the order performed")

	f = p.NewFold()
	for i := range entries[:7] {
		require.NoError(t, f.Take(&entries[i]))
	}
	extra := entries[7].Trial
	extra.ID, extra.Failed, extra.Help = "x", "", nil
	require.NoError(t, f.Record(&extra))
	extra.ID, extra.Outcome, extra.Failed = "y", curriculum.Wrong, "carry"
	require.NoError(t, f.Record(&extra))
	view := f.Dog("okapi", f.Now()).Behaviours[0]
	require.Equal(t, []engine.PieceCount{{Piece: "carry", Trials: 1}}, view.Failed)
	require.Equal(t, []engine.PieceCount{{Piece: "carry", Trials: 1}}, view.FailedBefore)

	w, err := f.Why("okapi", "bring-dropped", f.Now())
	require.NoError(t, err)
	require.Contains(t, w.Text(), "of the chain failed first: carry 1\n")
	require.Contains(t, w.Text(), "before it was eased, failed first: carry 1\n")
	require.Contains(t, w.Words(engine.ForOwner), "What broke first: carry (once).\n")
	answer, err := json.Marshal(w)
	require.NoError(t, err)
	require.Contains(t, string(answer), `"failed":[{"piece":"carry","trials":1}],"failed_before":[{"piece":"carry","trials":1}]`)

	var saved bytes.Buffer
	require.NoError(t, f.Save(&saved))
	again, err := p.Resume(bytes.NewReader(saved.Bytes()))
	require.NoError(t, err)
	for _, fold := range []*engine.Fold{f, again} {
		extra.ID, extra.Outcome = "z", curriculum.Success
		extra.Failed = ""
		require.NoError(t, fold.Record(&extra))
	}
	require.Equal(t, f.Standing(f.Now()), again.Standing(f.Now()))
	require.NotEmpty(t, again.Standing(f.Now()).Dogs[0].Behaviours[0].Failed)

	broken := strings.Replace(saved.String(), `"failed":[{"piece":"carry"`, `"failed":[{"piece":"tug"`, 1)
	_, err = p.Resume(strings.NewReader(broken))
	require.ErrorContains(t, err, `no piece "tug"`)
}

func TestAPieceGoesByTheFormerNameOfItsBehaviour(t *testing.T) {
	p, entries := textual(t, `
behaviour carry {
  formerly lug
  step one {
    prompt word
  }
}
behaviour fetch {
  needs carry at one
  chain backward of carry, give {
    prompt word
  }
}
`, `okapi 2026-03-02 17:10 yard Halla
carry: +
fetch at from-carry: -
`)
	entries[1].Trial.Step, entries[1].Trial.Failed = "from-give", "lug"
	f := p.Replay(entries, time.Time{})
	last := f.Reports()[len(f.Reports())-1]
	require.Equal(t, engine.CodeUnlistedPiece, last.Code, "from-give runs give alone")
	f = p.NewFold()
	require.NoError(t, f.Take(&entries[0]))
	move := curriculum.Event{Dog: "okapi", Behaviour: "fetch", Kind: curriculum.HandMove, Step: "from-carry", By: "Halla", At: entries[0].At()}
	require.NoError(t, f.Note(&move))
	entries[1].Trial.Step = ""
	require.NoError(t, f.Take(&entries[1]))
	require.Equal(t, []engine.PieceCount{{Piece: "carry", Trials: 1}}, f.Standing(f.Now()).Dogs[0].Behaviours[1].Failed)
}

func TestEveryPieceThatIsABehaviourIsADoorWhereverTheChainIsWritten(t *testing.T) {
	p, _ := textual(t, `
ladder run {
  chain backward of carry, give {
    prompt word
  }
}
behaviour carry {
  step one {
    prompt word
  }
}
behaviour give {
  step one {
    prompt word
  }
  step two {
    prompt word
  }
}
behaviour fetch {
  needs give at two
  climb run
}
`, "okapi 2026-03-02 17:10 yard Halla\ncarry: +\n")
	f := p.NewFold(curriculum.Dog{Name: "okapi"})
	b := f.Standing(noon).Dogs[0].Behaviours[2]
	require.Equal(t, curriculum.Waiting, b.State)
	require.Equal(t, []string{"give at two", "carry kept"}, b.Missing, "a need that is stated says how fluent the piece must be")
}
