package plan

import "example.com/rung/engine"

// The headings of a sheet.
const (
	titleNone  = "No training"
	titleStop  = "Stop and mind"
	titleNext  = "Next"
	titleNotes = "Notes"
	titleLeft  = "Left out"
)

// said is one thing a sheet says: for a trainer and for an owner.
type said struct{ trainer, owner string }

func (s said) in(v engine.Voice) string {
	if v == engine.ForOwner {
		return s.owner
	}
	return s.trainer
}

// The labels and lines of a sheet in both voices. An owner's sheet says: do this, like this, this many, stop if, tick. It
// leaves out what is the trainer's to decide (an empty label) and never names a schedule.
var (
	labelStep    = said{"Step", "This time"}
	labelAsk     = said{"Ask for", "Each time"}
	labelTrials  = said{"Trials", "Tick"}
	labelSetUp   = said{"Set-up", "First"}
	labelSide    = said{"Side", "Side"}
	labelKit     = said{"Kit", "Have ready"}
	labelCue     = said{"Cue", "Say or show"}
	labelDo      = said{"Do", "Do this"}
	labelCounts  = said{"Counts", "Right is"}
	labelHelp    = said{"Help", "If stuck"}
	labelMark    = said{"Mark", "When right"}
	labelPay     = said{"Pay", "Food"}
	labelAdvance = said{"Move on", ""}
	labelEase    = said{"Easier", "Not going?"}
	labelStop    = said{"Stop today", "Stop if"}
	labelMind    = said{"Mind", "Mind"}
	labelRest    = said{"Rest first", "First rest"}
	labelAgain   = said{"As before", "Once more"}

	wordsTitle  = said{"Session for ", "Your session with "}
	wordsTell   = said{"Note it in the log, and tell a senior trainer.", "Write it down, and ring your trainer."}
	wordsAsk    = said{"No rule of the curriculum knows this sign, so nothing is locked. Before any work have a senior trainer look at the dog, and a veterinarian where it may be pain or illness; whoever has looked clears it in the log by name.", "Ring your trainer before you begin, and a veterinarian where it may be pain or illness."}
	wordsBefore = said{"like item %d; the tally goes on", "like number %d"}
	wordsFeed   = said{"feed every success", "feed after each right one"}
	wordsFive   = said{"Note in five words:", "In five words, how was it?"}
	wordsRing   = said{"Senior trainer", "Your trainer"}
	wordsDue    = said{"%s to be tested cold on %s", "try %s again on %s, before anything else"}
	wordsLikely = said{"next in turn: ", "next time, likely: "}
	wordsEmpty  = said{"", "Nothing to do today. Your trainer can say why."}
)

// What is asked for in writing, in both voices.
const (
	wordsStrange  = "Seen and not cleared: "
	wordsLeft     = "Times the dog left"
	wordsVet      = "Veterinarian"
	wordsBeforeIt = "The dog before"
	wordsAfterIt  = "and after"
)

// moods is how a dog can look, in three words.
var moods = []string{"keen", "so-so", "flat"}

// The labels of rules that count over sessions.
const (
	labelHalf = "Half-way"
	labelFlag = "Ask senior"
)

const wordsEnd = "Finish while the dog is keen, on something easy and well paid; then water, and time to sniff or play."

// payHoldEnd is the schedule in words where no hold of an item is paid before its end.
const payHoldEnd = "feed every success, at the end of its hold"
