package dsl

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// copies makes a tenth of n copies: the texts are then near 100 KB, where anything quadratic takes minutes already.
func copies(s string, n int) string { return strings.Repeat(s, n/10) }

// hostile are texts that cost a careless reader its stack or its time.
var hostile = map[string]string{
	"nested round brackets":               "rung 1\ncriterion a = " + copies("(", 100_000) + "3 in a row" + copies(")", 100_000) + "\n",
	"nested braces":                       "rung 1\n" + copies("behaviour a {", 70_000),
	"nested braces on lines":              "rung 1\n" + copies("behaviour a {\n", 70_000),
	"closing braces":                      "rung 1\n" + copies("}", 1_000_000),
	"nested braces in an expression":      "rung 1\ncriterion a = {" + copies("{", 100_000) + copies("}", 100_000) + "}\n",
	"nested brackets in an expression":    "rung 1\ncriterion a = {" + copies("(", 100_000) + copies(")", 100_000) + "}\n",
	"unclosed expressions":                "rung 1\n" + copies("x when {\n", 110_000),
	"unclosed expressions with quotes":    "rung 1\n" + copies(`x when { "\"`, 80_000),
	"unclosed quotes in an expression":    "rung 1\nflag when {" + copies(`"\`, 500_000),
	"unclosed round brackets":             "rung 1\n" + copies("criterion a = (\n", 60_000),
	"quotes":                              "rung 1\n" + copies("\"\n", 500_000),
	"quotes on one line":                  "rung 1\n" + copies(`" `, 500_000),
	"other quotes":                        "rung 1\n" + copies("“\n", 250_000),
	"nots":                                "rung 1\ncriterion a = " + copies("not ", 250_000) + "b\n",
	"ands":                                "rung 1\ncriterion a = b" + copies(" and b", 170_000) + "\n",
	"ands and ors":                        "rung 1\ncriterion a = b" + copies(" and b or c", 90_000) + "\n",
	"qualifiers":                          "rung 1\ncriterion a = 4 of last 5" + copies(" within 2 s", 90_000) + "\n",
	"in sessions":                         "rung 1\ncriterion a = b" + copies(" in 2 places", 80_000) + "\n",
	"names of a list":                     "rung 1\nplace a" + copies(", a", 340_000) + "\n",
	"one long name":                       "rung 1\nplace " + copies("a", 1_000_000) + "\n",
	"one long unknown word":               "rung 1\n" + copies("a", 1_000_000) + "\n",
	"one long number":                     "rung 1\nfood a " + copies("9", 1_000_000) + " kcal\n",
	"commas":                              "rung 1\nplace a" + copies(",\n", 500_000) + "\n",
	"unknown words":                       "rung 1\n" + copies("foo bar\n", 120_000),
	"slips that are mended":               "rung 1\n" + copies("criterion a is four out of the last five\n", 24_000),
	"words for did-you-mean on one line":  "rung 1\ncriterion a = b" + copies(" adn b", 170_000) + "\n",
	"semicolons":                          "rung 1\n" + copies("; a", 340_000),
	"broken bytes":                        "rung 1\n" + copies("\xff a\n", 250_000),
	"bytes that only go on":               "rung 1\n" + copies("\x9f", 1_000_000) + "@",
	"NULs":                                copies("\x00", 1_000_000),
	"odd letters":                         "rung 1\nplace " + copies("а", 500_000) + "\n",
	"marks":                               "rung 1\nexample \"x\" {\n a:" + copies(" +", 500_000) + "\n}\n",
	"unknown marks":                       "rung 1\nexample \"x\" {\n a:" + copies(" ?", 500_000) + "\n}\n",
	"brackets between marks":              "rung 1\nexample \"x\" {\n a:" + copies(" +(", 300_000) + "\n}\n",
	"remarks":                             "rung 1\n" + copies("#\n", 500_000),
	"blank space":                         "rung 1\n" + copies(" ", 1_000_000) + "x",
	"blocks that are closed too early":    "rung 1\nbehaviour a {\n}\n" + copies("step a {\n}\n}\n", 70_000),
	"numbers":                             "rung 1\n" + copies("4 of 5\n", 140_000),
	"misplaced statements":                "rung 1\nbehaviour a {\n" + copies("use \"x\"\n", 120_000) + "}\n",
	"rules without when":                  "rung 1\nbehaviour a {\nstep b {\n" + copies("advance steady\n", 65_000) + "}\n}\n",
	"lines that begin with statements":    "rung 1\ncriterion a = (" + copies("b or\n", 200_000) + ")\n",
	"open expressions that may not close": "rung 1\n" + copies("criterion a = { ( \n", 55_000),
}

func TestHostileTextsEndAndHaveFewReports(t *testing.T) {
	for name, text := range hostile {
		t.Run(name, func(t *testing.T) {
			file, ds := Parse("hostile.rung", []byte(text))
			require.NotNil(t, file)
			require.LessOrEqual(t, len(ds), DefaultMaxDiagnostics+1)
			require.Less(t, len(ds.Text()), 200_000, "reports stay readable")
			require.Equal(t, ds.HasErrors(), ds.Err() != nil)
		})
	}
}
