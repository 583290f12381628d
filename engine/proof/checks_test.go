package proof_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/proof"
)

// step and behaviour wrap lines into a text that has no other finding.
func step(lines string) string {
	return "rung 1\nbehaviour settle {\n  success \"down within 3 s\"\n  step go {\n" + lines + "\n  }\n}\n"
}

const fine = "    advance when 4 of last 5\n    flag when after 40 trials\n"

// up are moves that end a stay within nine trials.
const up = "    advance when 5 of last 6\n    ease when 2 misses of last 4\n"

func behaviour(lines string) string {
	return "rung 1\nbehaviour settle {\n  success \"down within 3 s\"\n" + lines + "\n  step go {\n" + fine + "  }\n}\n"
}

// two are two behaviours, each with lines of its own.
func two(a, b string) string {
	return "rung 1\nbehaviour hold {\n  success \"held 3 s\"\n" + a + "\n  step go {\n" + fine + "  }\n  step on {\n" + fine + "  }\n}\n" +
		"behaviour give {\n  success \"given within 3 s\"\n" + b + "\n  step go {\n" + fine + "  }\n  step on {\n" + fine + "  }\n}\n"
}

func TestFindings(t *testing.T) {
	session := func(limits, rest string) string {
		return strings.Replace(rest, "rung 1\n", "rung 1\nsession {\n  "+limits+"\n}\n", 1)
	}
	for _, c := range []struct {
		name, text, want string
	}{
		// reach
		{"eight of ten in a session of eight can be had", session("at most 8 trials", step("advance when 8 of last 10 in this session\nflag when after 40 trials")), ""},
		{"nine cannot", session("at most 8 trials", step("advance when 9 of last 10 in this session\nflag when after 40 trials")), "out-of-reach"},
		{"a window that runs on over sessions may be wider", session("at most 8 trials", step("advance when 9 of last 10\nflag when after 40 trials")), ""},
		{"without a limit nothing is out of reach", step("advance when 9 of last 10 in this session\nflag when after 40 trials"), ""},
		{"the roomiest session counts", session("at most 8 trials\n}\nsession long {\n  at most 20 trials", step("advance when 9 of last 10 in this session\nflag when after 40 trials")), ""},
		{"the limit of one behaviour counts too", session("at most 30 trials, 5 trials of one behaviour", step("advance when 6 in a row in this session\nflag when after 40 trials")), "out-of-reach"},
		{"a step's own limit is the nearer one", step("at most 3 trials a session\nadvance when 4 of last 5 in 2 sessions\nflag when after 40 trials"), "out-of-reach"},
		{"days have limits as well", step("at most 3 trials a day\nadvance when 4 of last 5 in 2 days\nflag when after 40 trials"), "out-of-reach"},
		{"so have sessions of days", behaviour("at most 2 trials a session, 1 session a day\n  step early {\n    advance when 4 of last 5 in 2 days\n    flag when after 40 trials\n  }"), "out-of-reach"},
		{"blocks end with their last trial", step("at most 8 trials a session\nadvance when 4 of each 5 twice in a row in this session\nflag when after 40 trials"), "out-of-reach"},
		{"a share wants its trials", step("at most 8 trials a session\nadvance when 80% of a session of at least 10 trials\nflag when after 40 trials"), "out-of-reach"},
		{"one open way is enough", step("at most 3 trials a session\nadvance when 4 of last 5 in this session or 3 in a row\nflag when after 40 trials"), ""},
		{"both must be open", step("at most 3 trials a session\nadvance when 4 of last 5 in this session and done 9 times\nflag when after 40 trials"), "out-of-reach"},
		{"a stop that never comes", step("at most 3 trials a session\nadvance when 4 of last 5\nease when 2 misses in a row\nstop today when 4 misses in this session"), "out-of-reach"},
		{"three places of two", "rung 1\nplace yard, lane, hall\n" + step("place yard, lane\nadvance when 3 in a row in 3 places\nflag when after 40 trials")[7:], "out-of-reach"},
		{"no way on in the last step of a behaviour that is reviewed", "rung 1\nbehaviour settle {\n  success \"down 3 s\"\n  review after 1 day\n  step go {\n    flag when after 40 trials\n  }\n}\n", "no-way-on"},
		{"no way on where nobody minds", "rung 1\nbehaviour settle {\n  success \"down 3 s\"\n  step go {\n    flag when after 40 trials\n  }\n}\n", ""},
		{"a skip leads past it", "rung 1\nbehaviour settle {\n  success \"down 3 s\"\n  step go {\n    flag when after 40 trials\n  }\n  step on {\n    skip when 5 in a row\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n", ""},

		// rules that others always come before
		{"a stop behind one that is always there before", step(up + "stop today when 2 misses in a row\nstop today when 3 misses in a row"), "always-beaten"},
		{"a stop behind two that are together always there before", step(up + "stop today when 2 misses in a row\nstop today when 2 misses of last 3\nstop today when 4 misses of last 7\nstop today when 3 misses in this session"), "always-beaten always-beaten"},
		{"two stops of which each ends days that the other does not", step(up + "stop today when 2 misses in a row\nstop today when 3 misses of last 5"), ""},
		{"two stops that are one", "rung 1\ncriterion bad = 2 misses in a row\n" + step(up + "stop today when bad\nstop today when 2 misses in a row")[7:], "always-beaten"},
		{"a stop that counts longer from the level's entry than any dog stays", step(up + "stop today when 2 misses in a row and after 40 trials"), "always-beaten"},
		{"a stop that counts at the step", step("ramp duration 2 s, 3 s\n" + up + "stop today when 2 misses in a row and after 40 trials at this step"), ""},
		{"an ease that counts longer in a session than a stop lets it last", step("advance when 5 of last 6\nease when 3 misses in a row in this session\nstop today when 2 misses in a row"), "always-beaten"},
		{"an ease that counts over sessions beside the same stop", step("advance when 5 of last 6\nease when 3 misses in a row\nstop today when 2 misses in a row"), ""},
		{"an ease at the trial that a stop ends the day at", step("advance when 5 of last 6\nease when 2 misses in this session\nstop today when 2 misses in a row"), ""},
		{"a flag that only work against a stop brings about", step(up + "stop today when 1 misses in this session\nflag when 2 misses in this session"), "idle-flag"},
		{"the same beside a share of whole sessions", session("at most 30 trials", step("advance when 80% of a session of at least 5 trials\nease when 2 misses in a row\nstop today when 3 misses in this session\nflag when 6 misses in this session")), "idle-flag"},
		{"two flags that always begin at the same trial", step("advance when 5 of last 6\nflag when 3 misses in a row\nflag when 3 misses of last 3"), "idle-flag"},
		{"a flag and a reminder", step("advance when 5 of last 6\nflag when after 40 trials\nflag when after 80 trials"), ""},
		{"a stop and a flag at the same trial do two things", step(up + "stop today when 2 misses in a row\nflag when 2 misses in a row"), ""},
		{"a flag at a first level that an ease leads back to", step(up + "flag when after 40 trials at this step"), ""},

		// doors
		{"three that wait in a circle are one finding", "rung 1\n" + strings.ReplaceAll("behaviour a {\n  needs b at go\nX}\nbehaviour b {\n  needs c\nX}\nbehaviour c {\n  needs a at go\nX}\n", "X", "  success \"down 3 s\"\n  step go {\n"+fine+"  }\n"), "circle"},
		{"one that waits behind a circle is no second one", "rung 1\n" + strings.ReplaceAll("behaviour a {\n  needs b\nX}\nbehaviour b {\n  needs c\nX}\nbehaviour c {\n  needs b\nX}\n", "X", "  success \"down 3 s\"\n  step go {\n"+fine+"  }\n"), "circle"},
		{"a need and a never before the two may meet", two("needs give at go\nnever with give until on", ""), ""},
		{"a need beyond the step until which they stay apart", two("needs give at on\nnever with give until on", ""), "needs-against-never"},
		{"the same, said in the other", two("needs give at on", "never with hold until on"), "needs-against-never"},
		{"the same, said in both, is one finding", two("needs give at on\nnever with give until on", "never with hold until on"), "needs-against-never"},
		{"a pair with one door on the dog", two("pairs with give within 1 steps", "needs dog { age_months >= 3 }\npairs with hold within 1 steps"), "unequal-doors"},
		{"a pair with the same door", two("needs dog { age_months >= 3 }\npairs with give within 1 steps", "needs dog { age_months >= 3 }\npairs with hold within 1 steps"), ""},
		{"one of a pair that needs the other's last step of two", two("needs give at on\npairs with give within 1 steps", ""), ""},
		{"one of a pair that needs the other further on than a plan lets it come", strings.Replace(two("needs give\npairs with give within 1 steps", ""), "behaviour give {", "behaviour give {\n  step early {\n"+fine+"  }", 1), "unequal-doors"},
		{"a wish of which the other is the need", two("better after give", "needs hold at on"), "idle-wish"},
		{"a wish beside the need itself", two("needs give at go\nbetter after give", ""), "idle-wish"},
		{"a wish beside a need that leads there", strings.Replace(two("needs give\nbetter after spin", "needs spin"), "behaviour give", "behaviour spin {\n  success \"once round\"\n  step go {\n"+fine+"  }\n}\nbehaviour give", 1), "idle-wish"},
		{"two wishes against each other are one finding", two("better after give", "better after hold"), "idle-wish"},
		{"a wish by itself", two("better after give", ""), ""},

		// steps
		{"a first step without a way back", step("advance when 4 of last 5"), "one-way"},
		{"a step that counts only", step("advance when done 8 times"), ""},
		{"a pause that begins at nought", step("prompt word\nhelp lure\nramp pause 0 s, 1 s, 2 s\nadvance when 4 of last 5\nflag when after 40 trials"), "no-chance"},
		{"a pause that does not", step("prompt word\nhelp lure\nramp pause 0.5 s, 1 s, 2 s\nadvance when 4 of last 5\nflag when after 40 trials"), ""},
		{"two prompts that stay are no pairing", step("prompt platform, palm\nadvance when 4 of last 5\nflag when after 40 trials"), ""},
		{"a time held, ramped over, is on the card", step("ramp duration 3 s, 5 s\nadvance when 4 of last 5 holding 3 s\nflag when after 40 trials"), ""},
		{"a statistic that nobody writes down", step("advance when median latency of last 5 successes <= 2 s\nflag when after 40 trials"), "unmeasured"},
		{"a condition in braces asks too", step("advance when 4 of last 5 where { latency < 2 }\nflag when after 40 trials"), "unmeasured"},
		{"a place is always written down", "rung 1\nplace yard, lane\n" + step("advance when 4 of last 5 among { place == \"lane\" }\nflag when after 40 trials")[7:], ""},
		{"nine of ten between two, mixed", step("choice of left, right\ndo \"mixed order\"\nadvance when 9 of last 10\nflag when after 40 trials"), ""},
		{"nine of ten between two, in an order", step("choice of left, right\nadvance when 9 of last 10\nflag when after 40 trials"), "guessable"},
		{"four of five twice is enough between three", step("choice of left, right, none\ndo \"mixed order\"\nadvance when 4 of each 5 twice in a row\nflag when after 40 trials"), ""},
		{"eight of ten is not", step("choice of left, right\ndo \"mixed order\"\nadvance when 8 of last 10\nflag when after 40 trials"), "guessable"},

		// rules, every history
		{"an advance after so many trials, and an ease at them", step("advance when after 5 trials\nease when 5 wrong in a row"), "advance-on-a-miss both-at-once"},
		{"an advance after so many trials, whatever they were", step("advance when after 5 trials"), "advance-on-a-miss"},
		{"an advance after so many days", step("advance when after 2 days"), "advance-on-a-miss"},
		{"a miss that looks to the rules like a slow success", step("set-up \"write down the seconds\"\nadvance when 4 of last 5 within 2 s and after 6 trials\nflag when after 40 trials"), "advance-on-a-miss"},
		{"goes that are counted, and an ease", step("advance when done 8 times\nease when 3 misses of last 5"), "both-at-once"},
		{"goes that are counted unless the ease holds", step("advance when done 8 times and not 3 misses of last 5\nease when 3 misses of last 5"), ""},
		{"an advance that counts misses", step("advance when 3 misses in a row\nflag when after 40 trials"), "advance-on-a-miss"},
		{"a condition that a miss meets as well", "rung 1\nmeasure turn in deg\n" + step("ramp turn 90 deg, 180 deg\nadvance when { turn >= 90 }\nflag when after 40 trials")[7:], "advance-on-a-miss"},
		{"a skip that counts misses", step(fine + "}\nstep on {\nskip when 3 misses in a row\n" + fine), "advance-on-a-miss"},
		{"a skip that contradicts itself", step(fine + "}\nstep on {\nskip when 4 misses of last 6 and 4 of last 6\n" + fine), "never-holds"},
		{"a condition that no dog meets", step("advance when 4 of last 5\nflag when { dog.age_months > 20 and dog.age_months < 10 }\nflag when after 40 trials"), "never-holds"},
		{"nothing is said of a wait for what is out of reach", step("at most 6 trials a session\nadvance when 9 of last 10 in this session\nease when 2 misses in a row"), "out-of-reach"},

		// ramps
		{"small beginnings may jump", step("ramp duration 0.5 s, 2 s, 4 s, 8 s\nadvance when 4 of last 5\nflag when after 40 trials"), ""},
		{"a falling ramp is looked at the other way round", step("ramp size 12, 10, 3\nadvance when 4 of last 5\nflag when after 40 trials"), "big-jump"},
		{"names do not jump", step("ramp distraction none, toys, dogs\nadvance when 4 of last 5\nflag when after 40 trials"), ""},
		{"half a metre apart beyond a metre", step("ramp distance 1 m, 1.2 m, 1.4 m\nadvance when 4 of last 5\nflag when after 40 trials"), "too-fine"},
		{"said to be seen, it is fine", step("ramp distance 1 m, 1.2 m, 1.4 m grain 0.1 m\nadvance when 4 of last 5\nflag when after 40 trials"), ""},
		{"finer than its own grain", step("ramp distance 1 m, 1.2 m, 1.4 m grain 0.5 m\nadvance when 4 of last 5\nflag when after 40 trials"), "too-fine"},
		{"thinning while it gets harder", step("prompt word\nadvance when 4 of last 5\nflag when after 40 trials\n  }\n  step more {\n    prompt word\n    ramp duration 3 s, 5 s\n    thin variable ratio 1.5, 2\n    advance when 4 of last 5\n    flag when after 40 trials"), "nothing-lowered"},

		// pay
		{"in-hold pay is no thinning", step("reward variable duration 10 s\nadvance when 4 of last 5\nflag when after 40 trials"), ""},
		{"the better share is none either", "rung 1\nmeasure turn in deg\n" + step("reward best 60% of last 10 for turn\nadvance when 4 of last 5\nflag when after 40 trials")[7:], ""},
		{"a bound that the ratio does not reach by itself", step("prompt word\n" + fine + "  }\n  step more {\n    prompt word\n    reward variable ratio 2 with at most 9 unpaid\n" + fine), ""},
		{"a bound that is too wide", step("prompt word\n" + fine + "  }\n  step more {\n    prompt word\n    reward variable ratio 6 with at most 9 unpaid\n" + fine), "long-unpaid"},
		{"a random ratio knows no longest run", step("prompt word\n" + fine + "  }\n  step more {\n    prompt word\n    reward random ratio 2\n" + fine), "long-unpaid"},
		{"unless it is bounded", step("prompt word\n" + fine + "  }\n  step more {\n    prompt word\n    reward random ratio 2 with at most 4 unpaid\n" + fine), ""},
		{"fluent with another prompt is not fluent", step("prompt lure\n" + fine + "  }\n  step more {\n    prompt word\n    reward fixed ratio 2\n" + fine), "thin-too-soon"},

		// gates; the chances of a dog that is right 60% of the time, calculated: 4 of 5 by trial 20 .922, 8 of 10 .454,
		// 3 in a row .928, 5 in a row .478, and one block of 4 of 5 .337, so four of them 1 - .663^4 = .807
		{"eight of ten sliding is strong enough", "rung 1\ncriterion known = 8 of last 10\n" + step("advance when known\nflag when after 40 trials")[7:], ""},
		{"five in a row is strong enough", "rung 1\ncriterion known = 5 in a row\n" + step("advance when known\nflag when after 40 trials")[7:], ""},
		{"three in a row is not", "rung 1\ncriterion known = 3 in a row\n" + step("advance when known\nflag when after 40 trials")[7:], "weak-gate"},
		{"four of each five is not", "rung 1\ncriterion fluent = 4 of each 5\n" + step("advance when fluent\nflag when after 40 trials")[7:], "weak-gate"},
		{"a step may promise it as well", strings.Replace(step("advance when 3 in a row\nflag when after 40 trials"), "step go", "step known", 1), "weak-gate"},
		{"and keep it", strings.Replace(step("advance when 8 of last 10\nflag when after 40 trials"), "step go", "step known-well", 1), ""},
		{"a name that promises less may be weaker", "rung 1\ncriterion steady = 3 in a row\n" + step("advance when steady\nflag when after 40 trials")[7:], ""},
		{"what is added makes it stronger", "rung 1\ncriterion known = 3 in a row\n" + step("advance when known and 8 of last 10\nflag when after 40 trials")[7:], ""},

		{"thinned before the cue is put on", "rung 1\nbehaviour settle {\n  success \"down 3 s\"\n  step follow {\n    prompt lure\n" + fine + "  }\n  step now-and-then {\n    prompt lure\n    reward fixed ratio 2\n" + fine + "  }\n  step paired {\n    prompt word, lure\n    advance when done 8 times\n  }\n  step alone {\n    prompt word\n" + fine + "  }\n}\n", "thin-too-soon"},

		// names
		{"a caution that nothing names", "rung 1\ncaution slow \"Slowly.\"\n" + behaviour("")[7:], "unused"},
		{"a criterion used by another that is used", "rung 1\ncriterion a = 4 of last 5\ncriterion b = a and 2 in a row\n" + step("advance when b\nflag when after 40 trials")[7:], ""},
		{"a ladder that nobody climbs", "rung 1\nladder up {\n  step go {\n" + fine + "  }\n}\n" + behaviour("")[7:], "unused"},
		{"a measure that is only paid for", "rung 1\nmeasure turn in deg\n" + step("reward best 60% of last 10 for turn\nadvance when 4 of last 5\nflag when after 40 trials")[7:], ""},
		{"steps that differ by capitals", "rung 1\nbehaviour settle {\n  success \"down 3 s\"\n  step go {\n" + fine + "  }\n  step Go {\n" + fine + "  }\n}\n", "names-look-alike"},
		{"steps of different behaviours may be called alike", two("", ""), ""},

		// cues
		{"a marker's word that is a cue", "rung 1\nmarker yes releases\nbehaviour settle {\n  cue \"Yes!\"\n  mark yes\n  success \"down 3 s\"\n  step go {\n" + fine + "  }\n}\n", "same-cue"},
		{"a marker that is said otherwise than it is called", "rung 1\nmarker yes \"click\" releases\nbehaviour settle {\n  cue \"yes\"\n  mark yes\n  success \"down 3 s\"\n  step go {\n" + fine + "  }\n}\n", ""},
		{"words that sound the same", two("cue \"write\"", "cue \"right\""), "cues-alike"},
		{"a word that sounds like one with a mark in it that nobody sees", two("cue \"wait\u200b\"", "cue \"weight\""), "hidden-marks cues-alike"},
		{"a word that looks like another for a letter of another alphabet", two("cue \"here\"", "cue \"h\u0435re\""), "mixed-letters same-cue"},
		{"a word of another alphabet throughout", two("cue \"cop\"", "cue \"\u0441\u043e\u0440\""), ""},
		{"a word and a gesture in the same words", two("cue \"flat palm\"", "cue hand \"flat palm\""), ""},
		{"gestures of two kinds", two("cue hand \"circle\"", "cue light \"circle\""), ""},
		{"one gesture", two("cue \"keep\", hand \"a flat palm\"", "cue \"thanks\", hand \"A flat palm.\""), "same-gesture"},
		{"gestures a word apart", two("cue hand \"left hand sweeps\"", "cue hand \"right hand sweeps\""), ""},
		{"one cue in all steps of a behaviour", "rung 1\nbehaviour settle {\n  cue \"mat\"\n  success \"down 3 s\"\n  step go {\n    cue \"map\"\n" + fine + "  }\n}\n", ""},
		{"a step's own cue against another behaviour", strings.Replace(two("", "cue \"map\""), "  step go {\n", "  step go {\n    cue \"mat\"\n", 1), "cues-alike"},

		{"a gesture that others have and this one does not say", "rung 1\ncurriculum \"x\" {\n}\n" + two("cue hand \"flat palm\"\nreview after 1 day", "cue \"give\"\nreview after 1 day\nstep early {\n    prompt hand\n"+fine+"  }")[7:], "cue-missing"},
		{"an exercise without a name need not say its cues", step("prompt word\nadvance when 4 of last 5\nflag when after 40 trials"), ""},

		// sheet
		{"an opinion with a number", "rung 1\nbehaviour settle {\n  success \"stands well for 3 s\"\n  step go {\n" + fine + "  }\n}\n", ""},
		{"an opinion with a number in words", "rung 1\nbehaviour settle {\n  success \"stands well on all four feet\"\n  step go {\n" + fine + "  }\n}\n", ""},
		{"an opinion alone", "rung 1\nbehaviour settle {\n  success \"pays attention and behaves\"\n  step go {\n" + fine + "  }\n}\n", "vague"},
		{"other opinions", "rung 1\nbehaviour settle {\n  success \"focuses, relaxed and polite\"\n  step go {\n" + fine + "  }\n}\n", "vague"},
		{"a verb that can be seen", "rung 1\nbehaviour settle {\n  success \"lies down and puts its head on the mat\"\n  step go {\n" + fine + "  }\n}\n", ""},
		{"one sentence for many steps is one finding", "rung 1\nbehaviour settle {\n  success \"looks happy\"\n  step go {\n" + fine + "  }\n  step on {\n" + fine + "  }\n}\n", "vague"},

		// body
		{"care that only counts needs no way out", step("advance when done 10 times\n  }\n}\nbehaviour file {\n  counts as care\n  success \"one stroke\"\n  step near {\n    advance when done 10 times"), ""},
		{"care with a limit of time", "rung 1\nbehaviour file {\n  counts as care\n  success \"one stroke; write down the seconds\"\n  step near {\n    advance when 4 of last 5 within 2 s\n    ease when 1 opt-out in this session\n    stop today when 2 opt-outs in this session\n  }\n}\n", "care-hurried"},
		{"impact with a cap in each step and a caution about age", "rung 1\ncaution young \"Low.\" when { dog.age_months < 14 }\nbehaviour hop {\n  counts as impact\n  caution young\n  success \"over 5 cm\"\n  step go {\n    at most 5 trials a session\n" + fine + "  }\n}\n", ""},
		{"impact under a cap of the whole session", session("at most 20 impact trials a day", "rung 1\nbehaviour hop {\n  counts as impact\n  needs dog { age_months >= 12 }\n  success \"over 5 cm\"\n  step go {\n"+fine+"  }\n}\n"), ""},
		{"impact that only one kind of session caps", session("at most 20 impact trials a day\n}\nsession long {\n  lasts 8 min", "rung 1\nbehaviour hop {\n  counts as impact\n  needs dog { age_months >= 12 }\n  success \"over 5 cm\"\n  step go {\n"+fine+"  }\n}\n"), "body-unguarded"},
		{"impact trials of a session are a limit as well", session("at most 5 impact trials a session", "rung 1\nbehaviour hop {\n  counts as impact\n  needs dog { age_months >= 12 }\n  success \"over 5 cm\"\n  step go {\n    advance when 6 in a row in this session\n    flag when after 40 trials\n  }\n}\n"), "out-of-reach"},
		{"but not for what is easy on the body", session("at most 5 impact trials a session", step("advance when 6 in a row in this session\nflag when after 40 trials")), ""},
		{"a side that is said, not named", "rung 1\nbehaviour roll {\n  counts as impact\n  side left\n  at most 6 trials a session\n  needs dog { age_months >= 12 }\n  success \"over once\"\n  step go {\n" + fine + "  }\n}\n", "one-sided"},

		{"both sides, but no pair", "rung 1\nbehaviour roll-left {\n  counts as impact\n  at most 6 trials a session\n  needs dog { age_months >= 12 }\n  success \"over once\"\n  step go {\n" + fine + "  }\n}\n" +
			"behaviour roll-right {\n  counts as impact\n  at most 6 trials a session\n  needs dog { age_months >= 12 }\n  success \"over once\"\n  step go {\n" + fine + "  }\n}\n", "one-sided"},

		// course
		{"minutes too few for the trials", "rung 1\nsession {\n  lasts 1 min\n  at most 13 trials\n}\n" + behaviour("")[7:], "over-full"},
		{"minutes just enough", "rung 1\nsession {\n  lasts 1 min\n  at most 12 trials\n}\n" + behaviour("")[7:], ""},
		{"extras that fit", "rung 1\nfood cheese 2 kcal, extra\nsession {\n  at most 30 trials\n  extras at most 10% of daily energy\n}\n" + behaviour("")[7:], ""},
		{"a part of a curriculum need not hand over", "rung 1\nhandler senior, owner\n" + behaviour("")[7:], ""},
		{"one behaviour without a review among others", "rung 1\ncurriculum \"x\" {\n}\n" + two("review after 1 day", "")[7:], "no-upkeep"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := proof.Check(program(t, c.text), proof.Options{})
			require.Equal(t, strings.Fields(c.want), codesOf(found), linesOf(found)+c.text)
		})
	}
}

func TestWhatWaitsForALevelOutOfReachIsNamed(t *testing.T) {
	found := proof.Check(program(t, `rung 1
behaviour hold {
  success "held 3 s"
  needs give at go duration 5 s
  step go {
    advance when 4 of last 5
    flag when after 40 trials
  }
}
behaviour give {
  success "given 3 s"
  at most 3 trials a session
  step go {
    ramp duration 3 s, 5 s
    advance when 4 of last 5 in this session
    flag when after 40 trials at this step
  }
}
`), proof.Options{})
	require.Equal(t, []string{"out-of-reach"}, codesOf(found), linesOf(found))
	require.Contains(t, found[0].Text, "and hold, which waits for it, never begins")
	require.Equal(t, curriculum.Pos{File: "a.rung", Line: 12, Column: 11}, found[0].Related[0].Pos)
}

// The reader takes only plain letters in names; a program may build any.
func TestNamesOfCurriculaBuiltByProgramsAreLookedAtToo(t *testing.T) {
	step := func() []*curriculum.Step {
		return []*curriculum.Step{{Name: "go", Text: "down 3 s", Rules: []curriculum.Rule{
			{Word: curriculum.Advance, When: curriculum.Window{K: 4, N: 5}}, {Word: curriculum.Flag, When: curriculum.After{N: 40}},
		}, Levels: []curriculum.Level{{}}}}
	}
	c := &curriculum.Curriculum{Behaviours: []*curriculum.Behaviour{
		{Name: "settle", Steps: step()},
		{Name: "s\u0435ttle", Steps: step()},              // a Cyrillic letter
		{Name: "settle\u200f", Steps: step()},             // a right-to-left mark
		{Name: "\u202eelttes", Steps: step()},             // an override
		{Name: "\u03c3\u03ae\u03bc\u03b1", Steps: step()}, // Greek throughout, as it may be
	}}
	found := proof.Check(compiled(t, c), proof.Options{})
	require.ElementsMatch(t, []string{"mixed-letters", "names-look-alike", "hidden-marks", "hidden-marks"}, codesOf(found), linesOf(found))
}

func TestACountOfEasesWhereNothingEasesIsSaidAsSuch(t *testing.T) {
	fs := proof.Check(program(t, step("    advance when 4 of last 5\n    flag when eased twice\n    flag when after 40 trials")), proof.Options{})
	require.Equal(t, []string{"never-holds"}, codesOf(fs), linesOf(fs))
	require.Contains(t, fs[0].Text, "nothing eases here")
}

// Steps with the same rules but for their skips share what is found of the others; each finding stands at its own line.
func TestRulesThatStandBesideASkipKeepTheirLines(t *testing.T) {
	rules := "    advance when 4 of last 5\n    ease when 2 misses in a row\n    ease when 3 misses in a row\n"
	found := proof.Check(program(t, "rung 1\nbehaviour settle {\n  success \"down within 3 s\"\n"+
		"  step near {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n"+
		"  step mid {\n    skip when 3 in a row\n    skip when 4 in a row\n"+rules+"  }\n  step far {\n"+rules+"  }\n}\n"), proof.Options{})
	require.Equal(t, []string{"always-beaten", "always-beaten"}, codesOf(found), linesOf(found))
	for i, line := range []int{13, 18} {
		require.Equal(t, line, found[i].Pos.Line)
		require.Len(t, found[i].Related, 1)
		require.Equal(t, line-1, found[i].Related[0].Pos.Line)
	}
}

func TestWhyARuleCanNeverHoldIsSaid(t *testing.T) {
	for _, c := range []struct{ when, why string }{
		{"4 of last 5 and 3 misses of last 5", "`4 of last 5` and `3 misses of last 5` contradict each other"},
		{"3 of last 4 where { latency < 2 and latency > 3 }", "no trial meets `where { latency < 2 and latency > 3 }`"},
		{"3 of last 4 within 2 s where { latency > 3 and place == \"yard\" }", "no trial meets `within 2 s where { latency > 3 and place == \"yard\" }`"},
		{"3 of last 4 holding 2 s among { place == \"yard\" and place == \"lane\" }", "no trial meets `among { place == \"yard\" and place == \"lane\" }`"},
		{"3 of last 4 where { dog.age_weeks < 8 and dog.age_weeks > 9 } in this session", "no dog meets `where { dog.age_weeks < 8 and dog.age_weeks > 9 }`"},
		{"2 in a row and { place == \"yard\" and place == \"lane\" }", "no trial meets `{ place == \"yard\" and place == \"lane\" }`"},
		{"12 misses of last 14", "a session has at most 9 trials of it"},
	} {
		t.Run(c.when, func(t *testing.T) {
			text := "rung 1\nplace yard, lane\n" + step("at most 9 trials a session\nset-up \"write down the seconds\"\nadvance when 4 of last 5\nease when 2 misses in a row\nstop today when " + c.when)[7:]
			found := proof.Check(program(t, text), proof.Options{})
			require.Equal(t, []string{"never-holds"}, codesOf(found), linesOf(found))
			require.True(t, strings.HasSuffix(found[0].Text, c.why), found[0].Text)
		})
	}
}

// What is said to be the same as it is taken now is: the finding is gone, and no other has come.
func TestTheRepairOfTwoRulesAtOneMomentRepairsIt(t *testing.T) {
	for _, rules := range []string{
		"decide every 4 trials\nadvance when 2 of last 4 or 4 in a row\nease when 2 wrong of last 4",
		"advance when done 8 times\nease when 3 misses of last 5",
		"decide each session\nadvance when 3 of last 5\nease when 2 misses of last 5 and 1 wrong of last 4",
	} {
		text := step(rules)
		found := proof.Check(program(t, text), proof.Options{})
		require.Equal(t, []string{"both-at-once"}, codesOf(found), linesOf(found))
		repair := strings.Split(found[0].Help, "`")[1]
		old := strings.Split(found[0].Text, "`")[1]
		require.Contains(t, text, old)
		found = proof.Check(program(t, strings.Replace(text, old, repair, 1)), proof.Options{})
		require.Empty(t, codesOf(found), linesOf(found))
	}
}

// What is said to be provable is: the note is gone once it is done.
func TestWhatIsNotProvedSaysWhatCanBe(t *testing.T) {
	const uneven, even = "sequential 50% against 80% wrongly up 5% wrongly down 10%", "sequential 30% against 70% wrongly up 5% wrongly down 10%"
	for _, c := range []struct{ name, advance, ease, help, instead, easing string }{
		{"a test between uneven shares", uneven, uneven, "30% against 70%", even, even},
		{"a test in one direction", even, "3 wrong in a row", "the same test in the ease", even, even},
		{"a wide window of a sure share", "at least 80% with 95% confidence of last 30", "3 misses in a row", "of last 15 or so", "at least 80% with 95% confidence of last 15", "3 misses in a row"},
		{"two wide windows", "20 of last 40 and 12 silent of last 40", "3 wrong in a row", "`20 of last 40` and `12 silent of last 40`", "20 of each 40 and 12 silent of each 40", "3 wrong in a row"},
	} {
		t.Run(c.name, func(t *testing.T) {
			rules := func(advance, ease string) string {
				return step("advance when " + advance + "\nease when " + ease + "\nflag when after 40 trials")
			}
			o := proof.Options{States: 60_000}
			found := proof.Check(program(t, rules(c.advance, c.ease)), o)
			require.Equal(t, []string{"not-proved"}, codesOf(found), linesOf(found))
			require.Contains(t, found[0].Help, c.help)
			found = proof.Check(program(t, rules(c.instead, c.easing)), o)
			require.NotContains(t, codesOf(found), "not-proved")
		})
	}
}

// Where the states ran out nobody knows how long a dog stays, so nothing is said of it.
func TestNoLongWaitIsMadeOfStatesThatRanOut(t *testing.T) {
	found := proof.Check(program(t, step("advance when at least 80% with 95% confidence of last 30\nease when 3 misses in a row")), proof.Options{States: 5_000})
	require.Equal(t, []string{"not-proved"}, codesOf(found), linesOf(found))
}

// What a rule that never holds keeps from ever being reached is said; in a ladder that several climb, at the first.
func TestWhatIsNeverReachedIsSaid(t *testing.T) {
	rungs := func(advance string) string {
		return "  step near {\n    advance when " + advance + "\n    ease when 3 of last 4 or 2 misses in a row\n  }\n  step far {\n" + fine + "  }\n"
	}
	waits := "behaviour wait {\n  success \"down within 3 s\"\n  needs settle at far\n  step go {\n" + fine + "  }\n}\n"
	for _, c := range []struct{ advance, code, tail string }{
		{"4 of last 5 and 3 misses of last 5", "never-holds", "contradict each other, so settle never gets past near, and wait, which waits for it, never begins"},
		{"4 of last 5", "always-beaten", "before it can hold, so settle never gets past near, and wait, which waits for it, never begins"},
	} {
		found := proof.Check(program(t, "rung 1\nbehaviour settle {\n  success \"down within 3 s\"\n"+rungs(c.advance)+"}\n"+waits), proof.Options{})
		require.Equal(t, []string{c.code}, codesOf(found), linesOf(found))
		require.True(t, strings.HasSuffix(found[0].Text, c.tail), found[0].Text)

		climbs := "behaviour lie {\n  success \"down within 3 s\"\n  climb up\n}\n"
		found = proof.Check(program(t, "rung 1\nladder up {\n"+rungs(c.advance)+"}\nbehaviour settle {\n  success \"down within 3 s\"\n  climb up\n}\n"+climbs+waits), proof.Options{})
		require.Equal(t, []string{c.code}, codesOf(found), linesOf(found))
		require.Equal(t, []proof.Where{{Behaviour: "lie", Step: "near"}}, found[0].Also)
		require.True(t, strings.HasSuffix(found[0].Text, c.tail), found[0].Text)
	}
}

func TestACountOfEasesThatASplitBeginsAnewIsSaidAsSuch(t *testing.T) {
	for when, codes := range map[string][]string{"eased 3 times": {"never-holds"}, "eased twice": {}} {
		fs := proof.Check(program(t, step("    ramp duration 3 s, 5 s, 8 s\n    advance when 4 of last 5\n    ease when 3 misses of last 5\n    split when eased twice\n    flag when "+when)), proof.Options{})
		require.Equal(t, codes, codesOf(fs), linesOf(fs))
		for _, f := range fs {
			require.Contains(t, f.Text, "`split when eased twice` comes before and begins that count anew")
			require.Equal(t, 8, f.Related[0].Pos.Line)
		}
	}
}

// A rule that tells too many kinds of trial apart is named, wherever it stands.
func TestARuleThatCannotBeLookedAtIsNamed(t *testing.T) {
	measures, asks := "", []string{}
	for _, m := range strings.Fields("a b c d e f g h") {
		measures += "measure " + m + "-of-it in cm\n"
		asks = append(asks, m+"_of_it > 5 and "+m+"_of_it < 9")
	}
	text := "rung 1\n" + measures + step("    set-up \"write down all of it\"\n    advance when 4 of last 5\n    ease when 2 misses in a row\n    flag when 3 of last 4 where { " + strings.Join(asks, " and ") + " }")[7:]
	fs := proof.Check(program(t, text), proof.Options{})
	require.Equal(t, []string{"not-proved"}, codesOf(fs), linesOf(fs))
	require.Contains(t, strings.Split(text, "\n")[fs[0].Pos.Line-1], "flag when")
	require.Contains(t, fs[0].Because, "too many kinds of trial")
}

// What is offered in place of a flag that never gets its turn helps: the note is gone, and where counting at the step would
// not help it is not offered.
func TestTheCountAtTheStepIsOfferedWhereItHelps(t *testing.T) {
	for _, c := range []struct{ name, text, offer string }{
		{"two levels", step("ramp duration 2 s, 4 s\n" + up + "flag when after 40 trials"), "after 40 trials at this step"},
		{"one level that an ease leads back to", step(up + "flag when after 40 trials"), "after 40 trials at this step"},
		{"one level that every dog leaves for good", step("advance when done 8 times\nflag when after 40 trials"), ""},
	} {
		found := proof.Check(program(t, c.text), proof.Options{})
		require.Equal(t, []string{"idle-flag"}, codesOf(found), c.name+"\n"+linesOf(found))
		if c.offer == "" {
			require.NotContains(t, found[0].Help, "at this step", c.name)
			continue
		}
		require.True(t, strings.HasSuffix(found[0].Help, c.offer), found[0].Help)
		require.Empty(t, linesOf(proof.Check(program(t, strings.Replace(c.text, "after 40 trials", c.offer, 1)), proof.Options{})), c.name)
	}
}
