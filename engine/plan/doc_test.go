package plan

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every number of the model in the package's documentation is the one that is reckoned with.
func TestTheModelIsDocumentedWithTheNumbersInUse(t *testing.T) {
	b, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	doc := strings.Join(strings.Fields(strings.ReplaceAll(string(b), "//", " ")), " ")
	words := []string{"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	for _, says := range []string{
		fmt.Sprintf("a review that is due %d, and 2 for each day overdue, at most %d", pointsReview, mostOverdue),
		fmt.Sprintf("lapsed %d, and as for work under way", pointsLapsed),
		fmt.Sprintf("work under way %d, up to %d for nearness to a move: %d times the chance that as many trials running succeed as are missing until a rule moves it on, 1 for each day since it was last trained, at most %d, less %d for each session that had it in the seven days up to now, at most %d:", pointsWork, mostNearness, mostNearness, mostDays, pointsOften, pointsOften*mostOften),
		fmt.Sprintf("newly open %d, less %d while", pointsNew, afterUnbegun),
		fmt.Sprintf("finished, not due %d; only to open or close", pointsKnown),
		fmt.Sprintf("a chain broke at it %d more, from the second time on", pointsPiece),
		fmt.Sprintf("review of %d", pointsWork),
		fmt.Sprintf("asked for (Favour) %d more, and %d as soon as it is in", pointsFavour, pointsAsked),
		fmt.Sprintf("a pair earn %d more each", pointsPair),
		fmt.Sprintf("n trials bring 1 - %v^n of its points", gainPerTrial),
		fmt.Sprintf("at least %s trials where it can (%s, of a pair", words[usualLeast], words[mostApart]),
		fmt.Sprintf("at most %s when new, %s at work, %s in review or as a mere opening or closing", words[mostNew], words[mostWork], words[mostReview]),
		"together over seven days",
		fmt.Sprintf("at least %s in five, and at least %s trials, succeeded", words[steadyPercent*5/100], words[steadyTrials]),
	} {
		require.Contains(t, doc, says)
	}
	require.Equal(t, mostReview, mostKnown)
	require.Equal(t, 2, breaksFirst)
}
