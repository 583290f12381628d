// Package large writes a large curriculum, for benchmarks of what is worked out for a whole one.
package large

import (
	"fmt"
	"strings"
)

// Curriculum is the text of a curriculum of n behaviours of six steps each, with ramps, doors and rules of many kinds and sizes.
func Curriculum(n int) string {
	var b strings.Builder
	b.WriteString("rung 1\nplace yard, lane, hall\nhandler senior, owner\nequipment platform\n" +
		"session {\n  lasts 5 min\n  at most 30 trials, 1 new behaviour, 10 trials of one behaviour\n}\n")
	for i := range n {
		fmt.Fprintf(&b, "behaviour b%d \"does the thing of number %d\" {\n  cue \"%s\", hand \"sign of number %d\"\n  success \"done within 3 s\"\n  equipment platform\n", i, i, cueOf(i), i)
		if i > 3 {
			fmt.Fprintf(&b, "  needs b%d at proof, b%d at paired\n", i-1-i%3, i/2)
		}
		k := 3 + i%4
		fmt.Fprintf(&b, `  step follow {
    prompt lure
    ramp duration 1 s, 2 s, 3 s, 5 s, 8 s
    advance when %d of last %d
    ease when %d misses of last %d
    stop today when 3 silent in a row or 2 opt-outs in this session
  }
  step paired {
    prompt word, lure
    advance when done %d times
  }
  step first-go {
    prompt word
    help lure
    ramp pause 0.5 s, 1 s, 2 s
    advance when %d of last %d
    ease when 2 misses in a row
    split when eased twice
  }
  step alone {
    prompt word
    advance when %d of each 10 and 4 of last 5 in 2 days
    ease to first-go when 5 misses of each 10
    flag when after %d trials
  }
  step places {
    prompt word
    advance when 4 of last 5 in 3 places
    ease when 3 misses of last 5
  }
  step proof {
    prompt word
    advance when 80%% of a session of at least 5 trials in 2 sessions in a row
    ease when first trial in 2 sessions and %d misses of last 6
  }
}
`, k, k+1, 2+i%2, k+1, 6+i%5, k, k+1+i%2, 7+i%3, 40+i, 3+i%3)
	}
	return b.String()
}

// cueOf is a word for each number, far enough from the others.
func cueOf(i int) string {
	parts := []string{"ba", "do", "ki", "mu", "ze", "ro", "fi", "ta", "ne", "lu", "po", "ga", "shi", "vo", "ju"}
	return parts[i%15] + parts[i/15%15] + parts[(i*7+i/15)%15] + parts[(i*4+3)%15]
}

// Examples are examples of the rules of Curriculum(n), ten rows for each behaviour: most rules of its first steps fire.
func Examples(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `example "b%[1]d from the start" {
  start b%[1]d at follow
  case b%[1]d: + + + + + + + then at follow
  case b%[1]d: - - - then at follow duration 1 s
  case b%[1]d: 0 0 0 then notes stop
  case b%[1]d: + - + + - + + then at follow
  case b%[1]d: + + + + + + + + + + + + + + + + + + + + + + + + + + + + + + + + + + + + then at follow and notes no stop
}
example "b%[1]d further on" {
  start b%[1]d at first-go pause 1 s
  case b%[1]d: - - then at first-go pause 0.5 s
  case b%[1]d: + + + + + + then at first-go
  case b%[1]d: - - + + + + + + - - + + + + + + then at first-go
  case b%[1]d: + | + | - | + || + then at first-go
  case b%[1]d: - + - + - + - + - + then at first-go
}
`, i)
	}
	return b.String()
}
