package dsl

var criterionCodes = []codeEntry{
	{
		Code: "R1301", Title: "more than there are",
		Means:  "So many of so few cannot be reached: the first number may not be larger than the second.",
		Faulty: "rung 1\ncriterion steady = 6 of last 5\n", Repaired: "rung 1\ncriterion steady = 5 of last 6\n",
		Messages: []messageEntry{{"more-than-all", "%s of %s cannot be"}, {"more-than-all.help", "the first number may not be larger than the second"}},
	},
	{
		Code: "R1302", Title: "none of so many",
		Means:  "None of so many holds from the first trial on, whatever the dog does. To say that something must not happen, write at most 0.",
		Faulty: "rung 1\ncriterion steady = 0 of last 5\n", Repaired: "rung 1\ncriterion steady = at most 0 wrong of last 5\n",
		Messages: []messageEntry{{"none-of", "%s of so many always holds"}, {"none-of.help", "to forbid it, write for instance: at most 0 wrong of last 5"}},
	},
	{
		Code: "R1303", Title: "a share does not go here",
		Means:  "In a row and at most go with counts: a share of one trial after another has no meaning.",
		Faulty: "rung 1\ncriterion steady = 80% in a row\n", Repaired: "rung 1\ncriterion steady = 8 in a row\n",
		Messages: []messageEntry{
			{"share-in-a-row", "%s in a row has no meaning"}, {"share-in-a-row.help", "write a count, such as 5 in a row, or 80% of last 10"},
			{"at-most-share", "at most goes with a count, not with %s"}, {"at-most-share.help", "such as at most 1 wrong of last 4"},
		},
	},
	{
		Code: "R1304", Title: "qualifier does not fit",
		Means:  "even helped, within and holding tighten what counts as a success, so they go with successes. Behind misses, wrong, silent and helped only where and among may stand, behind opt-outs only where.",
		Faulty: "rung 1\ncriterion shaky = 3 misses of last 5 within 2 s\n", Repaired: "rung 1\ncriterion shaky = 3 misses of last 5\n",
		Messages: []messageEntry{
			{"qualifier-misses", "%s goes with successes only"}, {"qualifier-misses.help", "behind misses, wrong, silent and helped only where and among may stand"},
			{"qualifier-opt-outs", "%s does not go with opt-outs"}, {"qualifier-opt-outs.help", "behind opt-outs only where may stand"}, {"counted-here", "counted here"},
			{"session-count-among", "a count in this session has no window that among could fill"}, {"session-count-among.help", "write where"},
		},
	},
	{
		Code: "R1305", Title: "count in this session",
		Means:  "A count in this session holds from so many on. To limit it, turn it round with not.",
		Faulty: "rung 1\ncriterion fine = at most 2 misses in this session\n", Repaired: "rung 1\ncriterion fine = not (3 misses in this session)\n",
		Messages: []messageEntry{{"session-count-at-most", "at most goes with a window only"}, {"session-count-at-most.help", "write for instance: not (3 misses in this session)"}},
	},
	{
		Code: "R1306", Title: "in one",
		Means:  "In one session, place, handler or day says nothing that the criterion alone does not say, or means the present session: then it is written in this session.",
		Faulty: "rung 1\ncriterion steady = 4 of last 5 in 1 session\n", Repaired: "rung 1\ncriterion steady = 4 of last 5 in this session\n",
		Messages: []messageEntry{{"in-one", "in 1 %s says too little"}, {"in-one.help", "write in this session, or leave it out, or name two or more"}, {"in-one-place", "name two or more, or leave it out"}},
	},
	{
		Code: "R1307", Title: "in around what has sessions of its own",
		Means:  "A share of a session and a first trial already look at sessions one by one, and after and eased count from the moment the level was entered, so a further in has no meaning around them.",
		Faulty: "rung 1\ncriterion known = (after 20 trials) in 2 places\n", Repaired: "rung 1\ncriterion known = after 20 trials\n",
		Messages: []messageEntry{
			{"in-around-share", "in does not go around %s"}, {"in-around-share.help", "it has its own: ... in 2 sessions in a row"},
			{"in-around-after", "in does not go around %s"}, {"in-around-after.help", "it counts from the entry of the level; join it with and instead"}, {"part-here", "this part of it"},
		},
	},
	{
		Code: "R1308", Title: "eased in an ease rule",
		Means:  "eased counts the eases out of this level, so it cannot decide on the next of them. It goes with split, stop, flag and advance.",
		Faulty: "rung 1\nbehaviour settle {\n  step a {\n    ease when eased twice\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step a {\n    split when eased twice\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{{"eased-place", "an ease rule cannot count its own eases"}, {"eased-place.help", "use it in split or flag"}},
	},
	{
		Code: "R1309", Title: "sequential test",
		Means:  "A sequential test weighs all evidence at this level between a low and a higher share of successes: it passes a dog up or sends it down, so it stands in advance and ease only and not behind not. Its two chances of error together are less than 100%.",
		Faulty: "rung 1\ncriterion sure = sequential 90% against 60% wrongly up 5% wrongly down 10%\n", Repaired: "rung 1\ncriterion sure = sequential 60% against 90% wrongly up 5% wrongly down 10%\n",
		Messages: []messageEntry{
			{"sequential-order", "the low share comes first, here %s is not below %s"}, {"sequential-order.help", "such as sequential 60% against 90%"},
			{"sequential-errors", "the two chances of error together must be less than 100%"}, {"sequential-errors.help", "such as wrongly up 5% wrongly down 10%"},
			{"sequential-place", "a sequential test stands in advance and ease, not in %s"}, {"sequential-place.help", "use a window instead"},
			{"sequential-not", "a sequential test does not stand behind not"}, {"sequential-not.help", "put it in the other rule: ease takes its lower bound by itself"},
		},
	},
	{
		Code: "R1310", Title: "confidence out of reach",
		Means:  "Even if every one of these trials is a success, so few trials cannot show the share with that confidence. Ask for more trials, a lower share or less confidence.",
		Faulty: "rung 1\ncriterion sure = at least 90% with 95% confidence of last 20\n", Repaired: "rung 1\ncriterion sure = at least 90% with 95% confidence of last 29\n",
		Messages: []messageEntry{{"confidence-never", "%s successes of as many do not show %s with %s confidence"}, {"confidence-needs", "it takes at least %s"}},
	},
	{
		Code: "R1311", Title: "does not go with decide",
		Means:  "decide says when advance, ease and split are looked at. A share of a session is looked at when the session closes, so it does not go with decide every; blocks end at their own trials, so their length must divide the number behind decide every or be a multiple of it, and they do not go with decide each session.",
		Faulty: "rung 1\nbehaviour settle {\n  step a {\n    decide every 4 trials\n    advance when 5 of each 6\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step a {\n    decide every 6 trials\n    advance when 5 of each 6\n  }\n}\n",
		Messages: []messageEntry{
			{"share-decide", "a share of a session does not go with decide every"}, {"share-decide.help", "write decide each session, or a share of the last trials"},
			{"block-session", "blocks do not go with decide each session"}, {"block-session.help", "write of last in place of of each"},
			{"block-decide", "blocks of %s do not fit decisions every %s trials"}, {"block-decide.help", "one number must divide the other"},
		},
	},
	{
		Code: "R1312", Title: "skip takes counts only",
		Means:  "A dog that comes with a history has not entered the step it skips to, so skip knows only windows, done and after N trials.",
		Faulty: "rung 1\nbehaviour settle {\n  step a {\n    advance when 4 of last 5\n  }\n  step b {\n    skip when first trial in 2 sessions\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step a {\n    advance when 4 of last 5\n  }\n  step b {\n    skip when 5 in a row\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{
			{"skip-counts", "skip takes counts of trials only"}, {"skip-counts.help", "such as 5 in a row, 9 of last 10 or after 20 trials"},
			{"skip-first", "%s is the first step, there is nothing to skip"}, {"skip-first.help", "skip stands in a later step and enters it"},
		},
	},
}

var stepCodes = []codeEntry{
	{
		Code: "R1401", Title: "values of a ramp",
		Means:  "The values of a ramp are all amounts of one kind or all names. Amounts of a ramp strictly rise or strictly fall from the easiest to the hardest level, and from a to b by c lands on b.",
		Faulty: "rung 1\nbehaviour settle {\n  step a {\n    ramp duration 2 s, 5 s, 4 s\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step a {\n    ramp duration 2 s, 4 s, 5 s\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{
			{"ramp-mixed", "the values of %s are partly names, partly amounts: %s"}, {"ramp-mixed.help", "write all as amounts with units, or all as names"}, {"first-value", "the first value"},
			{"ramp-measure-names", "%s is measured, so its levels are amounts"}, {"ramp-measure-names.help", "write them with %[2]s, or give the ramp another name"},
			{"ramp-same", "%s stands twice running in %s"}, {"ramp-same.help", "delete one of the two"},
			{"ramp-order", "%s after %s turns back: the values of %s %s"}, {"ramp-order.help", "put them in order from the easiest to the hardest"},
			{"ramp-end", "from %s by %s does not land on %s"}, {"ramp-end.help", "choose a stride that does, or write the values out"},
			{"ramp-name", "%s is no name for a ramp"}, {"ramp-name.help", "for rewards write thin ...; pieces come from split"},
			{"varied-names", "levels of %s are names, which do not vary inside a level"}, {"varied-names.help", "delete varied"},
			{"varied-falls", "the values of %s fall, and only rising ones vary inside a level"}, {"varied-falls.help", "delete varied"},
			{"grain-names", "levels of %s are names, so they have no grain"}, {"grain-names.help", "delete the grain"},
		},
	},
	{
		Code: "R1402", Title: "too large to train",
		Means:  "The ramps of a step make more levels than anybody could train, a chain has more pieces than a dog could be taught, or ladders make more steps than a reader could hold. Take larger strides, fewer ramps or fewer climbs.",
		Faulty: "rung 1\nbehaviour settle {\n  step a {\n    ramp duration 1 s to 100000 s by 1 s\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step a {\n    ramp duration 1 s to 60 s by 1 s\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{
			{"levels-many", "this makes more than %s levels"}, {"levels-many.help", "take larger strides or fewer ramps"},
			{"all-levels", "with this step the curriculum has more than %s levels"}, {"all-levels.help", "take larger strides, or split the curriculum"},
			{"all-steps", "with this the curriculum has more than %s steps"}, {"all-steps.help", "climb fewer ladders, or split the curriculum"},
			{"climbed-much", "with this climb the ladders, written out, are more than %s bytes"}, {"climbed-much.help", "climb fewer ladders, or split the curriculum"},
			{"chain-long", "a chain has at most %s pieces"}, {"chain-long.help", "train parts of it as behaviours of their own and chain those"},
		},
	},
	{
		Code: "R1403", Title: "nothing to raise in turn",
		Means:  "raise one at a time says how several ramps take turns. With one ramp or none it says nothing. This is a warning.",
		Faulty: "rung 1\nbehaviour settle {\n  step a {\n    ramp duration 2 s, 5 s\n    raise one at a time\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step a {\n    ramp duration 2 s, 5 s\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{{"raise-alone", "this step has no two ramps to raise in turn"}, {"raise-alone.help", "delete this line"}},
	},
	{
		Code: "R1404", Title: "no such level",
		Means:  "A level is named by values that the step's ramps list, in a combination that the step's list of levels has. In examples a value half-way may stand where the step splits.",
		Faulty: "rung 1\nbehaviour settle {\n  needs sit at a duration 3 s\n  step a {\n    advance when 4 of last 5\n  }\n}\nbehaviour sit {\n  step a {\n    ramp duration 2 s, 5 s\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  needs sit at a duration 5 s\n  step a {\n    advance when 4 of last 5\n  }\n}\nbehaviour sit {\n  step a {\n    ramp duration 2 s, 5 s\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{
			{"level-unlisted", "step %s has no level with %s %s"}, {"levels-are", "the values are: %s"},
			{"level-together", "step %s has no level with all of %s"}, {"level-together.help", "each value is there, but not together; name fewer of them"},
			{"level-none", "step %s has no ramp, so it has one level without a name"}, {"level-none.help", "name the step alone"},
			{"level-piece", "pieces of step %s belong to single dogs"}, {"level-piece.help", "name a level that every dog meets"},
		},
	},
	{
		Code: "R1405", Title: "ease goes back",
		Means:  "ease to names a step that comes before this one. To go back within the step, write ease alone.",
		Faulty: "rung 1\nbehaviour settle {\n  step a {\n    ease to b when 3 misses of last 5\n    advance when 4 of last 5\n  }\n  step b {\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step a {\n    ease when 3 misses of last 5\n    advance when 4 of last 5\n  }\n  step b {\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{{"ease-earlier", "%s does not come before %s"}, {"ease-earlier.help", "name an earlier step, or write ease alone for the level before"}, {"ease-same", "this is the step itself: write ease alone for the level before"}},
	},
	{
		Code: "R1406", Title: "nothing in it",
		Means:  "A behaviour has at least one step, written out, climbed or as a chain; a ladder too.",
		Faulty: "rung 1\nbehaviour settle {\n  cue \"mat\"\n}\n", Repaired: "rung 1\nbehaviour settle {\n  cue \"mat\"\n  step a {\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{{"behaviour-empty", "%s has no step"}, {"behaviour-empty.help", "add step NAME { ... } or climb LADDER"}, {"ladder-empty", "ladder %s has no step"}, {"ladder-empty.help", "add step NAME { ... }"}},
	},
	{
		Code: "R1407", Title: "chain of one",
		Means:  "A chain has two pieces or more; one piece is a step.",
		Faulty: "rung 1\nbehaviour fetch {\n  chain backward of give {\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour fetch {\n  chain backward of carry, give {\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{{"chain-one", "%s alone is no chain"}, {"chain-one.help", "name all pieces in the order performed, or write step"}},
	},
	{
		Code: "R1410", Title: "choice of one",
		Means:  "A choice has two answers or more, such as left and right. Where the dog has one answer only, nothing is chosen: leave the line out.",
		Faulty: "rung 1\nbehaviour turn {\n  step which-way {\n    choice of left\n    advance when 9 of last 10\n  }\n}\n", Repaired: "rung 1\nbehaviour turn {\n  step which-way {\n    choice of left, right\n    advance when 9 of last 10\n  }\n}\n",
		Messages: []messageEntry{{"choice-one", "%s alone leaves nothing to choose"}, {"choice-one.help", "name the other answers too, or delete the line"}},
	},
	{
		Code: "R1408", Title: "what a ladder is given",
		Means:  "A ladder is climbed with as many values as it has parameters, each of the kind that stands in its place: a number, an amount with its unit, a name or a criterion's name. Climbed a second time, or beside another ladder with a step of the same name, it takes a prefix for its steps.",
		Faulty: "rung 1\nladder up(pass, window) {\n  step a {\n    advance when pass of last window\n  }\n}\nbehaviour settle {\n  climb up(4)\n}\n", Repaired: "rung 1\nladder up(pass, window) {\n  step a {\n    advance when pass of last window\n  }\n}\nbehaviour settle {\n  climb up(4, 5)\n}\n",
		Messages: []messageEntry{
			{"climb-arguments", "ladder %s takes %s values, here are %s"}, {"climb-arguments.help", "give one for each of its parameters, in their order"},
			{"climb-again", "climbing ladder %s here gives the behaviour step %s a second time"}, {"climb-again.help", "give its steps a prefix, such as: climb %s as second"},
			{"argument-name", "%s stands for a name in the ladder, not for %s"}, {"argument-name.help", "give a name"},
		},
	},
	{
		Code: "R1409", Title: "parameter without use",
		Means:  "A parameter of the ladder stands nowhere in its steps, so what is given for it changes nothing. This is a warning.",
		Faulty: "rung 1\nladder up(pass, window) {\n  step a {\n    advance when pass of last 5\n  }\n}\n", Repaired: "rung 1\nladder up(pass) {\n  step a {\n    advance when pass of last 5\n  }\n}\n",
		Messages: []messageEntry{{"parameter-unused", "%s stands nowhere in the ladder's steps"}, {"parameter-unused.help", "use it or delete it"}},
	},
}

var behaviourCodes = []codeEntry{
	{
		Code: "R1601", Title: "reviews grow",
		Means:  "The gaps between reviews grow from one to the next; a failed review goes back to the first.",
		Faulty: "rung 1\nbehaviour settle {\n  review after 3 days, 1 day\n  step a {\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  review after 1 day, 3 days\n  step a {\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{{"review-order", "%s is not longer than %s before it"}, {"review-order.help", "put the gaps in growing order"}},
	},
	{
		Code: "R1602", Title: "limit without meaning",
		Means:  "A limit of sessions is for a day or a week: a session holds one session.",
		Faulty: "rung 1\nbehaviour settle {\n  at most 2 sessions a session\n  step a {\n    advance when 4 of last 5\n  }\n}\n", Repaired: "rung 1\nbehaviour settle {\n  at most 2 sessions a day\n  step a {\n    advance when 4 of last 5\n  }\n}\n",
		Messages: []messageEntry{{"cap-session", "sessions are counted a day or a week"}, {"cap-session.help", "write a day or a week"}},
	},
	{
		Code: "R1603", Title: "the dog of an example",
		Means:  "An example's dog is said once, before anything is done with it. Its age on the first day is a whole number of months, weeks or days; its weights are in kg or g.",
		Faulty: "rung 1\nbehaviour settle {\n  step mat {\n    advance when 4 of last 5\n  }\n}\nexample \"a puppy\" {\n  settle: + +\n  dog 12 weeks old\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step mat {\n    advance when 4 of last 5\n  }\n}\nexample \"a puppy\" {\n  dog 12 weeks old\n  settle: + +\n}\n",
		Messages: []messageEntry{{"dog-late", "which dog it is comes before what it does"}, {"dog-late.help", "move this line to the beginning of the example"},
			{"dog-age", "an age is in months, weeks or days, not %s"}, {"dog-age.help", "for instance 14 months old, 10 weeks old"}},
	},
	{
		Code: "R1604", Title: "a measure of a bar",
		Means:  "A bar between tally marks says that a session ends there. It is no trial, so nothing was measured.",
		Faulty: "rung 1\nbehaviour settle {\n  step mat {\n    advance when 4 of last 5\n  }\n}\nexample \"two days\" {\n  settle: + || (latency 2 s) +\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step mat {\n    advance when 4 of last 5\n  }\n}\nexample \"two days\" {\n  settle: + || + (latency 2 s)\n}\n",
		Messages: []messageEntry{{"bar-measured", "a bar is no trial, so nothing is measured"}, {"bar-measured.help", "put what was measured behind the mark of its trial"}},
	},
	{
		Code: "R1605", Title: "who clears a sign",
		Means:  "Only a named person lifts what a welfare sign locks. An example's clear line says who it is, as a log's line does.",
		Faulty: "rung 1\nsign limp locks everything\nbehaviour settle {\n  step mat {\n    advance when 4 of last 5\n  }\n}\nexample \"a limp\" {\n  sign limp\n  clear limp\n}\n", Repaired: "rung 1\nsign limp locks everything\nbehaviour settle {\n  step mat {\n    advance when 4 of last 5\n  }\n}\nexample \"a limp\" {\n  sign limp\n  clear limp by \"the vet\"\n}\n",
		Messages: []messageEntry{{"clear-nobody", "nobody is named who clears %s"}, {"clear-nobody.help", "say who it is: clear %s by \"the vet\""}},
	},
	{
		Code: "R1606", Title: "paid or not",
		Means:  "A trial was paid or it was not. That is said once behind its mark.",
		Faulty: "rung 1\nbehaviour settle {\n  step mat {\n    advance when 4 of last 5\n  }\n}\nexample \"one\" {\n  settle: + (rewarded, unrewarded)\n}\n", Repaired: "rung 1\nbehaviour settle {\n  step mat {\n    advance when 4 of last 5\n  }\n}\nexample \"one\" {\n  settle: + (rewarded)\n}\n",
		Messages: []messageEntry{{"paid-twice", "it is said already whether this trial was paid"}, {"paid-twice.help", "leave one of them"}},
	},
}
