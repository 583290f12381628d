package main

// guides are the texts of `rung help CALL`, by call.
var guides = map[string]guide{
	"check": {
		usage: "FILE...",
		text: "Reads each curriculum, with the files it uses, and lists every fault at its place, all in one run: what is wrong, what was expected, and the nearest known name. What the engine cannot evaluate is listed too.\n" +
			"Where the text can be read it also looks at the whole: rules that can never hold, behaviours that wait for each other, cues that sound alike, and what experienced trainers advise against, each with the smallest thing to change. Such findings may be kept where they stand, with a reason: allow one-way because \"...\" in the step, the behaviour or the file. rung explain CODE says more about one.\n" +
			"--severity one-way=error,vague=off changes how bad a finding is; --severities FILE takes such lines from a file that a school keeps beside its curricula. Advice is no verdict on any dog, and no finding stands for a vet's or a behaviour professional's.\n" +
			"Exit code 1 if there is an error; with --strict for any finding. - reads standard input. --format sarif is for code hosts, which show findings beside the lines.",
		examples: []string{"rung check house.rung", "rung check --strict --severity vague=off house.rung", "rung check --format sarif house.rung > findings.sarif"},
	},
	"try": {
		usage: "FILE...",
		text: "Runs the examples written in a curriculum, and each row of their tables, as tests of its rules. Where one fails: what was expected and found, the trial at which it parted, what the rules there have counted, and trials that no rule saw. Then: which rules no example ever fired, and which sides of their criteria none shows; a ladder's line and the inside of a named criterion count once, and what no history can show is not asked for. Exit code 1 if an example fails.\n" +
			"--suggest writes the shortest example that fires each of those rules, and one that shows each of those sides, on standard output, ready to paste into the text; the report goes to standard error. Read them before you keep them: they say what the rules do, not what you meant.\n" +
			"--doubt changes one number at a time (4 of last 5 to 3 of last 5, after 40 trials to after 39), one word, or leaves a rule out, and lists the changes that no example notices, with the shortest history that would tell the two apart.\n" +
			"An example begins with an empty history on a Monday. Its lines are: dog 14 months old, 20 kg; start NAME at STEP; session after 1 day in PLACE with HANDLER; NAME: + + - h; expect NAME at STEP, is STATE, notes stop; expect plan has NAME; sign NAME and clear NAME by \"the vet\"; and rows such as case NAME: + - - then at STEP. A dog's name behind dog is looked up in --dogs.\n" +
			"Of several files the last lines say what came of all together, and so do the first fields of --format json: what some of them share, by use, counts once, and a rule has fired where it fired in one of them. --suggest and --doubt go file by file.",
		examples: []string{"rung try house.rung", "rung try house.rung --suggest >> house.rung", "rung try house.rung --doubt", "rung try --only puppy --dogs dogs.json house.rung"},
	},
	"standing": {
		usage: "FILE --log LOG",
		text: "Where each dog stands in each behaviour of the curriculum, and every move so far with the rule and the trials that made it.\n" +
			"A log is JSON Lines, CSV or a tally book; several may be given, and folders. Lines that cannot be used are reported on standard error, the rest is read, and the exit code is 1.\n" +
			"Without --at, now is the time of the last line of the logs, so the same files always give the same answer.\n" +
			"Keep an answer with --format json and give it to --since later: what a sheet that came late has changed, move by move, each with its reason then and now. --by handler or --by place keeps the evidence apart: a dog that does well with one and badly with another shows. --format ics writes the reviews that are due for a calendar; written anew it moves them and doubles none.",
		examples: []string{"rung standing house.rung --log logs", "rung standing house.rung --log okapi.jsonl --log home.tally --dog okapi", "rung standing house.rung --log logs --by handler", "rung standing house.rung --log logs --since monday.json", "rung standing house.rung --log logs --format ics > reviews.ics"},
	},
	"why": {
		usage: "FILE --log LOG --dog NAME BEHAVIOUR",
		text: "Why a dog stands where it stands in one behaviour: each rule of its present level, what it counts and how far it is from holding, and the shortest run of trials that would fire it.\n" +
			"Without --at, now is the time of the last line of the logs. With --for owner the same in plain words, without trial ids and criteria.",
		examples: []string{"rung why house.rung --log logs --dog okapi pivot-left", "rung why house.rung --log logs --dog okapi pivot-left --for owner"},
	},
	"plan": {
		usage: "FILE --log LOG --dog NAME",
		text: "The next session for one dog, in order: what to do, how many trials, which of them are rewarded, what counts, and what to do on which tally; and why each other behaviour is left out.\n" +
			"It keeps every limit of the curriculum, of the dog's profile and of this call. A dog with a welfare sign that nobody has cleared gets no plan but words on whom to turn to; that is an answer, and the exit code is 0.\n" +
			"Without --at the machine's clock is taken, and the plan prints the time it was made for. The same files, time and seed give the same plan.\n" +
			"A new dog needs no log: give its profile with --dogs. With --for owner the sheet says only what to do, how often, when to feed and when to stop.\n" +
			"Where it is warm say so with --celsius 24: lively work that the session rules or the profile do not allow then is left out, and the sheet warns of heat. With --days say one temperature for all of them, or one a day: --days 3 --celsius 18,24,26.\n" +
			"The choice and the order of the session are the best there are under these limits; where there is too much to choose from the plan says how much better the best could be. Where the limits clash it says what would be enough, such as 6 minutes instead of 3. --favour weighs a behaviour up; --if \"settle: + + - +\" shows the plan after such a session and records nothing.\n" +
			"--days 7 looks ahead: sessions spread over the days, with what each day and week allows shared out among them. --format html prints one page, also with --days or --class.\n" +
			"--class FILE plans a class day: who works at which station in which turn, each with a rest between its turns, dogs that must be kept apart never at the same time, and no more equipment in use than there is; then, station by station, what each dog does there, and what to mind of it. What a profile allows a session is shared out over the turns. The file holds, as JSON: at, turns, minutes (a turn), change (minutes between turns), stations (each with station, place, dogs at a time, equipment that stays there, celsius where it is warm), dogs (names, or dog, handler, turns), apart (lists of dogs), equipment (how many there are of what goes round).",
		examples: []string{
			"rung plan house.rung --log logs --dogs dogs.json --dog okapi --minutes 5",
			"rung plan house.rung --log logs --dog okapi --place yard --format markdown",
			"rung plan house.rung --log logs --dog okapi --for owner --format html > okapi.html",
			"rung plan house.rung --log logs --dog okapi --if \"settle: + + + - +\"",
			"rung plan house.rung --log logs --dog okapi --days 7 --sessions 4",
			"rung plan house.rung --log logs --dogs dogs.json --class tuesday.json",
		},
	},
	"tally": {
		usage: `SHEET.json --marks MARKS`,
		text: "Turns what was ticked on a sheet into a log: each trial names the step and level the sheet gave it, and whether it was rewarded as planned. Keep the sheet with rung plan --format json.\n" +
			"Marks are those of the tally book: + right, - wrong, 0 no answer, h helped, e helped early, o! left, x spoiled, with measures in brackets, +(latency 1.4 s). Items are set apart by semicolons and named by their number or behaviour; without a name they follow one another. sign, clear, move and note may stand between them.\n" +
			"The log goes to standard output; add it to the dog's others.",
		examples: []string{`rung tally sheet.json --marks "1: + + - +; 2: + 0 +" >> okapi.tally`, `rung tally sheet.json --marks "settle: + + -; sign limp by Dov" --handler owner --format json >> okapi.jsonl`},
	},
	"odds": {
		usage: "FILE [BEHAVIOUR [STEP]]",
		text: "What the rules promise a dog that is right so often, trial by trial, always alike: the chance that by trial N they have moved it on, or eased it; how many trials that takes on average, how widely it varies, and by when half of such dogs, and nine in ten, have moved. Where an advance and an ease work against each other: at which rate of success they hold a dog. For a whole behaviour: how many trials it takes, with all the ways back, and how soon it lapses once it is kept.\n" +
			"Worked out exactly, not by simulation. At 60% the column \"moved on\" is how many dogs pass that do not know it; at 90% the column \"eased\" is how many are sent back that do.\n" +
			"A session is on a day of its own. Rules that count sessions, days, places or handlers depend on how many trials a session has: --session, --places and --handlers change what is taken for granted, and the answer says what was.\n" +
			"Of a single step every rule is there by itself: of a stop or flag how often it is noted before the dog moves, with --session also how often a stop is in the first session of so many trials; of a skip how often it holds where all trials name its step. The JSON form has them for all steps, each with its line.\n" +
			"These are the numbers of the rules, not of a dog: no real dog is always alike, and none of this says whether a dog is well.",
		examples: []string{
			"rung odds house.rung",
			"rung odds house.rung settle proof --chance 75%,85% --by 30",
			"rung odds --criterion \"4 of last 5\" --chance 70% --by 20",
			"rung odds house.rung settle --format svg > settle.svg",
		},
	},
	"tidy": {
		usage: "FILE...",
		text: "Puts a curriculum text into the one layout: white space and normal forms only. Every remark stays, and a text whose meaning would change is refused.\n" +
			"Prints the tidied text; --write puts it in place of the file, --check only says which files are not tidy and exits with 1 if there is one.",
		examples: []string{"rung tidy --write house.rung", "rung tidy --check *.rung", "rung tidy - < draft.rung"},
	},
	"explain": {
		usage:    "[CODE...]",
		text:     "What codes mean that check or another call printed, with an example and its repair; and why a plan leaves a behaviour out. Without a code, the list of all codes.",
		examples: []string{"rung explain", "rung explain R0102", "rung explain one-way never-with"},
	},
	"demo": {
		usage: "",
		text: "A tour of check, odds, standing, why and plan on the made-up school Pindrift Yard and its dogs. It needs no files and always prints the same.\n" +
			"With --out the school's files are also written to a folder, to play with.",
		examples: []string{"rung demo", "rung demo --out pindrift"},
	},
	"help":    {usage: "[CALL]", text: "The list of calls, or all about one of them."},
	"version": {text: "The build, the language version it reads, and the Go it was built with."},
}
