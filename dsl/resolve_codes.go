package dsl

import "slices"

// resolveCodes are the faults found when names are resolved and numbers worked out: R10 files, R11 names, R12 numbers and
// units, R13 criteria, R14 steps and levels, R15 expressions, R16 behaviours and sessions.
var resolveCodes = slices.Concat(fileAndNameCodes, numberCodes, criterionCodes, stepCodes, expressionCodes, behaviourCodes)

var fileAndNameCodes = []codeEntry{
	{
		Code: "R1001", Title: "file cannot be read",
		Means:  "The file named here is not there or may not be read. The path in use is relative to the file that says use. While a used file is missing, names that nobody declared are not reported: they may well stand in it.",
		Faulty: "rung 1\nuse \"comon.rung\"\n", Repaired: "rung 1\nplace yard\n",
		Messages: []messageEntry{
			{"use-missing", "%s cannot be read: %s"}, {"use-missing.help", "the path is relative to this file; mind the spelling and the ending"},
			{"file-unreadable", "%s cannot be read: %s"}, {"file-unreadable.help", "mind the spelling, the ending and the folder"},
		},
	},
	{
		Code: "R1002", Title: "use goes in a circle",
		Means:  "Files that use one another in a circle have no beginning. Put what both need in a third file and use that one from both. A file that uses itself is the shortest circle.",
		Faulty: "rung 1\nuse \"example.rung\"\n", Repaired: "rung 1\nplace yard\n",
		Messages: []messageEntry{{"use-circle", "%s uses this file in turn"}, {"use-circle.help", "put what both need in a third file"}, {"used-here", "used here"}},
	},
	{
		Code: "R1003", Title: "file used twice",
		Means:  "One use of a file is enough; its names are known in the whole curriculum. Two files may each use the same third one.",
		Faulty: "rung 1\nuse \"common.rung\"\nuse \"common.rung\"\n", Repaired: "rung 1\nuse \"common.rung\"\n",
		Messages: []messageEntry{{"use-doubled", "%s is used already"}, {"use-doubled.help", "delete this line"}, {"first-here", "first here"}},
	},
	{
		Code: "R1004", Title: "path of a used file",
		Means:  "A path in use leads from the folder of the file it stands in, with forward slashes, so that a folder of curricula can be moved and read anywhere.",
		Faulty: "rung 1\nuse \"/srv/common.rung\"\n", Repaired: "rung 1\nplace yard\n",
		Messages: []messageEntry{{"use-path", "%s is no path relative to this file"}, {"use-path.help", `write it with forward slashes, such as use "common.rung" or use "shared/common.rung"`}},
	},
	{
		Code: "R1101", Title: "unknown name",
		Means:  "Nothing of this kind has this name. Behaviours, steps, criteria, ladders, markers, cautions, equipment, places, handlers and measures are declared before they are used, anywhere in the curriculum's files. Prompts and help words are free.",
		Faulty: "rung 1\nbehaviour settle {\n  mark yse\n  step follow {\n    advance when 4 of last 5\n  }\n}\nmarker yes releases\n", Repaired: "rung 1\nbehaviour settle {\n  mark yes\n  step follow {\n    advance when 4 of last 5\n  }\n}\nmarker yes releases\n",
		Messages: []messageEntry{
			{"name-unknown", "there is no %s called %s"}, {"declare-it", "declare it at top level, beginning with: %s %s"},
			{"steps-are", "the steps are: %s"}, {"one-of", "there are: %s"}, {"declared-here", "%s stands here"},
		},
	},
	{
		Code: "R1102", Title: "name given twice",
		Means:  "Two things of one kind have the same name, so nobody could tell them apart in a record. Give one of them another name.",
		Faulty: "rung 1\nplace yard, lane, yard\n", Repaired: "rung 1\nplace yard, lane\n",
		Messages: []messageEntry{{"name-doubled", "the %s %s is there already"}, {"name-doubled.help", "give one of them another name, or delete one"}},
	},
	{
		Code: "R1103", Title: "former name taken",
		Means:  "A former name keeps old records valid: they are read as this thing's. So it can be neither the present nor a former name of another of the same kind.",
		Faulty: "rung 1\nbehaviour settle {\n  formerly mat\n  step a {\n    advance when 4 of last 5\n  }\n}\nbehaviour mat {\n  step a {\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step a {\n    advance when 4 of last 5\n  }\n}\nbehaviour mat {\n  step a {\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{{"former-taken", "%s is the name of another one"}, {"former-taken.help", "a former name must have been free ever since"}},
	},
	{
		Code: "R1104", Title: "name of a measure",
		Means:  "Some names have a meaning of their own in records or between braces, so no measure can have them. latency, duration and distance are measures without being declared.",
		Faulty: "rung 1\nmeasure place in m\n", Repaired: "rung 1\nmeasure place-reached in m\n",
		Messages: []messageEntry{{"measure-fact", "%s has a meaning of its own between braces"}, {"measure-fact.help", "give the measure a longer name"}, {"measure-known", "%s needs no declaration"}, {"measure-known.help", "delete this line"}},
	},
	{
		Code: "R1105", Title: "it names itself",
		Means:  "A behaviour cannot wait for itself, be kept apart from itself, be paired with itself or be a piece of its own chain.",
		Faulty: "rung 1\nbehaviour settle {\n  needs settle\n  step a {\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step a {\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{{"self", "%s names its own behaviour, %s"}, {"self.help", "name another behaviour, or delete it"}},
	},
	{
		Code: "R1106", Title: "criteria within criteria",
		Means:  "Named criteria that stand in one another in a circle say nothing: write out one of them. And criteria that name criteria that name criteria grow beyond what anyone could follow.",
		Faulty: "rung 1\ncriterion calm = calm and 3 in a row\n", Repaired: "rung 1\ncriterion calm = 3 in a row\n",
		Messages: []messageEntry{
			{"criterion-large", "with the criteria it names, this one has more than %s parts"}, {"criterion-large.help", "say it with fewer"},
			{"criterion-circle", "%s is defined by itself, here or by way of others"}, {"criterion-circle.help", "write out one of the criteria in the circle"},
		},
	},
	{
		Code: "R1107", Title: "said twice",
		Means:  "A line that has one meaning for its block stands there twice, so that one of the two would have to be passed over. Join them or delete one.",
		Faulty: "rung 1\nbehaviour settle {\n  step a {\n    prompt lure\n    prompt word\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step a {\n    prompt lure, word\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{
			{"line-doubled", "%s stands here twice"}, {"line-doubled.help", "join the two, or delete one"},
			{"limit-doubled", "this limit is set already"}, {"limit-doubled.help", "keep one of the two numbers"},
			{"need-doubled", "this need on %s is stated already"}, {"need-doubled.help", "delete one of the two"},
			{"curriculum-doubled", "the curriculum has its title already"}, {"curriculum-doubled.help", "one file of those read together has the curriculum block"},
			{"session-doubled", "there is an unnamed session already"}, {"session-doubled.help", "give this one a name, such as session puppy {"},
		},
	},
}

var numberCodes = []codeEntry{
	{
		Code: "R1201", Title: "a count",
		Means:  "A whole number stands here, without a unit: so many trials, sessions or levels. It may not be smaller than the smallest that makes sense, nor so large that nobody would live to see it.",
		Faulty: "rung 1\ncriterion steady = 2.5 of last 5\n", Repaired: "rung 1\ncriterion steady = 3 of last 5\n",
		Messages: []messageEntry{
			{"count-wanted", "a count stands here, not %s"}, {"count-wanted.help", "write a whole number without a unit"},
			{"count-whole", "%s is no whole number"}, {"count-low", "%s is too small"}, {"count-low.help", "the smallest that makes sense is %[2]s"},
			{"count-high", "%s is too large"}, {"count-high.help", "the largest that is read is %[2]s"},
		},
	},
	{
		Code: "R1202", Title: "a percentage",
		Means:  "A percentage stands here, more than 0% and not more than 100%; the bounds of a test of chance must be less than 100%.",
		Faulty: "rung 1\ncriterion known = 120% of last 20\n", Repaired: "rung 1\ncriterion known = 90% of last 20\n",
		Messages: []messageEntry{
			{"share-wanted", "a percentage stands here, not %s"}, {"share-wanted.help", "such as 80%"},
			{"share-range", "%s is not between 0% and 100%"}, {"share-range.help", "write more than 0% and no more than 100%"},
			{"share-open", "%s is not more than 0% and less than 100%"}, {"share-open.help", "write a percentage between them: nothing about chance is ever quite certain"},
		},
	},
	{
		Code: "R1203", Title: "unit does not fit",
		Means:  "Every amount has a unit that fits what it is of: time in s, min, h, days, weeks; length in cm, m; angles in deg; energy in kcal; mass in g, kg. m is metres; minutes are min.",
		Faulty: "rung 1\nbehaviour settle {\n  step stay {\n    ramp duration 10 s, 1 m\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step stay {\n    ramp duration 10 s, 1 min\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{
			{"unit-fit", "%s is no unit of %s"}, {"unit-fit.help", "here stands %[3]s"}, {"unit-min", "min? m is metres"},
			{"unit-none", "%[2]s has no unit, here is %[1]s"}, {"unit-none.help", "write the number alone"},
			{"unit-unknown", "%s is no unit"}, {"units-are", "the units are: %s"},
		},
	},
	{
		Code: "R1204", Title: "unit missing",
		Means:  "An amount of time, length, angle, energy or mass is written with its unit, so that nobody has to guess.",
		Faulty: "rung 1\nbehaviour settle {\n  takes 20\n  step a {\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  takes 20 s\n  step a {\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{{"unit-missing", "the unit of %s is missing"}, {"unit-missing.help", "add %[2]s"}},
	},
	{
		Code: "R1205", Title: "an amount",
		Means:  "A number, with its unit where it has one, stands here: more than nothing, and for days a whole number of them.",
		Faulty: "rung 1\nsession {\n  lasts long\n}\n", Repaired: "rung 1\nsession {\n  lasts 5 min\n}\n",
		Messages: []messageEntry{
			{"amount-wanted", "an amount stands here, not %s"}, {"amount-wanted.help", "such as 10 s or 30 deg"},
			{"amount-nothing", "%s must be more than nothing"}, {"days-whole", "%s is no whole number of days"}, {"days-whole.help", "such as 7 days or 2 weeks"},
		},
	},
	{
		Code: "R1206", Title: "reward schedule",
		Means:  "A ratio is at least 1 (every success); a fixed one is a whole number; thinned rewards grow rarer from level to level. Ratios may be fixed, variable or random, with a bound on the successes in a row that go unpaid; intervals and durations fixed or variable. The bar of the better part goes from the easiest to the hardest.",
		Faulty: "rung 1\nbehaviour settle {\n  step a {\n    thin variable ratio 3, 2\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step a {\n    thin variable ratio 2, 3\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{
			{"schedule-random", "only a ratio can be random, not %s"}, {"schedule-random.help", "write variable %s"},
			{"ratio-low", "a ratio of %s would reward more than every success"}, {"ratio-low.help", "the smallest is 1; write every success for that"},
			{"thin-order", "%s is not thinner than %s"}, {"thin-order.help", "thinned rewards grow rarer from level to level"}, {"value-before", "the value before"},
			{"unpaid-few", "a ratio of %s cannot leave at most %s successes in a row unpaid"}, {"unpaid-few.help", "the least is %s"}, {"the-ratio", "the ratio"},
			{"unpaid-times", "%s counts time, not successes"}, {"unpaid-times.help", "leave `with at most ... unpaid` out, or use a ratio"},
			{"best-order", "%s is easier than %s"}, {"best-order.help", "from the easiest bar to the hardest, such as from 30 deg to 90 deg"},
			{"reward-and-thin", "this step thins its rewards, so it has no other schedule"}, {"reward-and-thin.help", "delete one of the two lines"}, {"thin-here", "thinned here"},
		},
	},
}

var expressionCodes = []codeEntry{
	{
		Code: "R1501", Title: "expression cannot be read",
		Means:  "Between braces facts are compared with numbers, texts in quotes and one another: == != < <= > >=, + - *, and, or, not, in [ ], a ? b : c. There is no division, no pattern, no loop.",
		Faulty: "rung 1\ncriterion quick = { latency = 2 }\n", Repaired: "rung 1\ncriterion quick = { latency == 2 }\n",
		Messages: []messageEntry{{"expression-form", "%s"}, {"as-said", "%s"}, {"parameter-braces", "a ladder's parameters do not reach into braces; give the ladder a criterion's name instead"}},
	},
	{
		Code: "R1502", Title: "unknown fact",
		Means:  "Between braces stand facts of the trial (success, wrong, silent, helped, early, rewarded, full_value, place, handler, step, latency, duration, distance and every declared measure), facts of the dog (dog.age_days, dog.age_weeks, dog.age_months, dog.weight_kg, dog.adult_weight_kg, dog.neutered, dog.name) and functions of the program that reads the curriculum. Where no trial is at hand only the dog's are known.",
		Faulty: "rung 1\ncriterion quick = { latncy < 2 }\n", Repaired: "rung 1\ncriterion quick = { latency < 2 }\n",
		Messages: []messageEntry{{"expression-name", "%s"}},
	},
	{
		Code: "R1503", Title: "hyphen between braces",
		Means:  "Between braces a hyphen subtracts, so a measure's name is written there with underscores.",
		Faulty: "rung 1\nmeasure ear-angle in deg\ncriterion pricked = { ear-angle > 20 }\n", Repaired: "rung 1\nmeasure ear-angle in deg\ncriterion pricked = { ear_angle > 20 }\n",
		Messages: []messageEntry{{"expression-hyphen", "%s"}},
	},
	{
		Code: "R1504", Title: "unit between braces",
		Means:  "Between braces numbers are plain: latency and duration in seconds, distance in metres, a measure in its declared unit, ages and weights as their names say.",
		Faulty: "rung 1\ncriterion quick = { latency < 2 s }\n", Repaired: "rung 1\ncriterion quick = { latency < 2 }\n",
		Messages: []messageEntry{{"expression-unit", "%s"}},
	},
	{
		Code: "R1505", Title: "expression of the wrong kind",
		Means:  "Numbers are compared with numbers, texts with texts, and the whole must be true or not true. not binds more tightly than a comparison: not (latency < 2).",
		Faulty: "rung 1\ncriterion quick = { latency + 1 }\n", Repaired: "rung 1\ncriterion quick = { latency + 1 < 3 }\n",
		Messages: []messageEntry{{"expression-type", "%s"}},
	},
	{
		Code: "R1506", Title: "expression too large",
		Means:  "An expression has a limited number of parts, since each of them is looked at in every trial. Split it into several criteria joined by and or or. A program that embeds the reader can raise the limit.",
		Faulty: "rung 1\ncriterion odd = { success" + repeat(" and success", 110) + " }\n", Repaired: "rung 1\ncriterion odd = { success }\n",
		Messages: []messageEntry{{"expression-limit", "%s"}},
	},
	{
		Code: "R1507", Title: "place or handler nobody declared",
		Means:  "The expression compares with a place or a handler that is not declared, so a spelling slip would make it never true. This is a warning: records may carry other places.",
		Faulty: "rung 1\nplace yard, lane\ncriterion outside = 4 of last 5 among { place == \"laen\" }\n", Repaired: "rung 1\nplace yard, lane\ncriterion outside = 4 of last 5 among { place == \"lane\" }\n",
		Messages: []messageEntry{{"literal-unknown", "there is no %s called %s"}, {"literal-unknown.help", "declare it, or mend the spelling"}},
	},
}

func repeat(s string, n int) (out string) {
	for range n {
		out += s
	}
	return out
}
