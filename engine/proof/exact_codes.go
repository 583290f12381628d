package proof

// inStep is an example: what stands in the one step of a behaviour.
func inStep(lines string) string {
	return "rung 1\nbehaviour settle {\n  step go \"lies down within 3 s\" {\n" + lines + "  }\n}\n"
}

var exactCodes = []codeEntry{
	{
		Code: codeNever, Severity: Error, Title: "a rule that can never hold",
		Means:    "No history makes it hold: its parts contradict each other. Where it is the advance, nothing behind the step is ever reached.",
		Faulty:   inStep("    advance when 4 of last 5 and 3 misses of last 5\n    ease    when 2 misses in a row\n"),
		Repaired: inStep("    advance when 4 of last 5\n    ease    when 2 misses in a row\n"),
	},
	{
		Code: codeBeaten, Severity: Warning, Title: "a rule that never gets its turn",
		Means:    "It can hold, but never where it would do something: whenever it holds another rule holds too and comes first, or a move has always been made before. At one moment ease comes first, then split, then advance; of one word the first written. A stop is looked at beside the other stops of its step: one that holds only where another has ended the day ends nothing. So is a move that counts inside one session, where a stop has always ended the work before it can hold; the work may be gone on with against the stop, and what comes then still counts.",
		Faulty:   inStep("    advance when 4 of last 5\n    ease    when 2 misses of last 5\n    ease    when 3 misses of last 5\n"),
		Repaired: inStep("    advance when 4 of last 5\n    ease    when 2 misses of last 5\n"),
	},
	{
		Code: codeIdleFlag, Severity: Note, Title: "a flag that never gets its turn",
		Means:    "The moves of this step take every dog on or back before the flag can hold, however it does. A dog that goes up and down is never flagged so: `after 40 trials` counts from the last move, `after 40 trials at this step` does not. Nor does a flag say more that begins to hold only where another does, or only in a session that a stop has ended.",
		Faulty:   inStep("    ramp    duration 2 s, 4 s\n    advance when 5 of last 6\n    ease    when 2 misses of last 4\n    flag    when after 40 trials\n"),
		Repaired: inStep("    ramp    duration 2 s, 4 s\n    advance when 5 of last 6\n    ease    when 2 misses of last 4\n    flag    when after 40 trials at this step\n"),
	},
	{
		Code: codeTogether, Severity: Warning, Title: "two rules that hold at one moment",
		Means:    "There is a history after which both hold, and they ask for different things. Ease comes first, then split, then advance; whoever reads the sheet should not need to know. Marks of the history: + a success, - a miss, | the session ends.",
		Faulty:   inStep("    decide each session\n    advance when 3 of last 5\n    ease    when 2 misses of last 5\n"),
		Repaired: inStep("    decide each session\n    advance when 4 of last 5\n    ease    when 2 misses of last 5\n"),
	},
	{
		Code: codeFirst, Severity: Warning, Title: "a rule that holds at the very first trial",
		Means:    "Before anything was shown the rule holds already: mostly a `not`, or an `or`, that is true of an empty window.",
		Faulty:   inStep("    advance when 4 of last 5\n    ease    when 2 misses in a row\n    flag    when not 3 in a row\n"),
		Repaired: inStep("    advance when 4 of last 5\n    ease    when 2 misses in a row\n    flag    when 3 misses of last 5\n"),
	},
	{
		Code: codeOnAMiss, Severity: Warning, Title: "an advance that can be made at a miss",
		Means:    "What was good enough before is still so at a miss, and only then the rest of the rule comes true. The dog goes on to something harder from a trial that went wrong. A skip is looked at alike. Blocks, and rules decided after so many trials or at the end of a session, are looked at when they end, whatever the last trial was: they are not meant. Nor are goes that are counted whatever comes of them, such as done 8 times.",
		Faulty:   inStep("    advance when 4 of last 5 and after 6 trials\n    ease    when 2 misses in a row\n"),
		Repaired: inStep("    advance when 4 of last 5 and after 6 trials and 1 of last 1\n    ease    when 2 misses in a row\n"),
	},
	{
		Code: codeLongWait, Severity: Warning, Title: "a dog that neither goes on nor back",
		Means:    "At some steady success rate a dog is expected to stay at this level for more than a hundred trials, because the advance asks for much and the ease for little. Nobody is told, as no flag counts trials. The wait is worked out exactly for a dog that succeeds with one chance and otherwise is wrong, in sessions of ten trials or of as many as the limits allow, one on each date.",
		Faulty:   inStep("    advance when 9 of each 10\n    ease    when 9 misses of each 10\n"),
		Repaired: inStep("    advance when 9 of each 10\n    ease    when 9 misses of each 10\n    flag    when after 40 trials\n"),
	},
	{
		Code: codeSwing, Severity: Warning, Title: "up and back again within two trials",
		Means:    "One good trial takes the dog up and one miss takes it back, or so. It learns little at either level, and no trainer can follow.",
		Faulty:   inStep("    advance when 1 in a row\n    ease    when 1 misses in a row\n"),
		Repaired: inStep("    advance when 3 in a row\n    ease    when 1 misses in a row\n"),
	},
	{
		Code: codeBalance, Severity: Warning, Title: "a ramp that holds the dog too low or too high",
		Means:    "On a fine ramp (one ramp of numbers, four or more of them, from the third on none twice the one before) a dog comes to work where going on is as likely as going back: the rules choose its success rate. Trainers mostly want 70 to 85 in a hundred; below 65 it is often wrong, above 90 the next level could have come sooner. 4 of last 5 against 3 misses of last 5 holds it near 59, which few authors mean. The same reckoning is used for staircases in the measuring of perception (Levitt, Journal of the Acoustical Society of America 49 (1971) 467).",
		Faulty:   inStep("    ramp    duration 2 s, 4 s, 6 s, 8 s, 10 s\n    advance when 4 of last 5\n    ease    when 3 misses of last 5\n"),
		Repaired: inStep("    ramp    duration 2 s, 4 s, 6 s, 8 s, 10 s\n    advance when 5 of last 6\n    ease    when 2 misses of last 4\n"),
	},
	{
		Code: codeHolding, Severity: Off, Title: "what the rules of a level come to",
		Means:    "For every level with a way up and a way back: the fewest trials that take a dog up and back again, and the success rate at which both ways are as likely. Nothing is wrong with it; ask for it with --severity holding-rate=note.",
		Faulty:   inStep("    advance when 4 of last 5\n    ease    when 3 misses of last 5\n"),
		Repaired: inStep("    advance when 4 of last 5\n    flag    when after 40 trials\n"),
	},
	{
		Code: codeNotProved, Severity: Note, Title: "rules that are too large to prove",
		Means:    "The rules of a level have more states than are looked at, or conditions that nobody can work out here. What was looked at is sound; longer histories are not known.",
		Faulty:   inStep("    advance when 20 of last 40 and 12 silent of last 40\n    ease    when 15 wrong of last 30\n    flag    when after 60 trials\n"),
		Repaired: inStep("    advance when 4 of last 5\n    ease    when 2 misses in a row\n"),
	},
}
