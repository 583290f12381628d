package engine

import (
	"fmt"
	"strings"
)

// Voice is for whom an answer is worded. Both voices say the same of one dog, from one source.
type Voice string

const (
	ForTrainer Voice = "trainer" // steps, criteria, counts, trials, lines of the file
	ForOwner   Voice = "owner"   // what to do and what to look for: no rule spellings, no schedules
)

// phrase is one thing said in both voices. Both take the same values; the owner's names those it uses by number. An
// empty one is left unsaid.
type phrase struct{ trainer, owner string }

func (p phrase) in(v Voice) string {
	if v == ForOwner {
		return p.owner
	}
	return p.trainer
}

// with is the phrase in a voice with its values; "" where the voice says nothing.
func (p phrase) with(v Voice, args ...any) string {
	text := p.in(v)
	if !strings.Contains(text, "%") {
		return text // it takes none of them
	}
	return fmt.Sprintf(text, args...)
}

// The phrases of Why, in the order in which they are said.
var (
	sayHead     = phrase{"%[1]s, %[2]s: %[3]s, at %[4]s", "%[1]s, %[5]s: %[6]s"}
	sayNow      = phrase{"", "Now: %[1]s"}
	saySince    = phrase{"there since %[1]s: %[2]s of evidence in %[3]s", "Since %[4]s: %[5]s in %[3]s."}
	saySpoiled  = phrase{"void: %[1]d of the newest %[2]d trials", "Spoiled by something around, and left out: %[1]d of the newest %[2]d."}
	sayFailed   = phrase{"of the chain failed first: %[1]s", "What broke first: %[2]s."}
	sayBroke    = phrase{"before it was eased, failed first: %[1]s", "Before it was made easier, what broke first: %[2]s."}
	sayLocked   = phrase{"locked: the sign %[1]s was seen on %[2]s and nobody has cleared it", "No training of this: %[1]s was seen on %[3]s. Give room and rest, do not test it, and see a veterinarian. It goes on when a named person has looked at the dog and cleared it."}
	sayStopped  = phrase{"over for the session that is going on", "Enough of this for the session that is going on."}
	sayNeeds    = phrase{"needs %[1]s", "It waits: %[2]s."}
	sayAway     = phrase{"the next trial first eases it, as the file says: %[1]s", "After the long break it begins a little easier than where it was."}
	sayPair     = phrase{"%[1]s", ""}
	sayBehind   = phrase{"so no plan has it until %[1]s catches up", "It waits for %[1]s, which goes with it and is a good way behind."}
	sayFinished = phrase{"finished, and only kept fresh", "Finished. Ask for it now and then, so that it stays."}
	sayReview   = phrase{"review due %[1]s, %[2]s after the last; so far %[3]s", "The first try of a session from %[4]s on is a check that it has stayed: no warming up before it."}
	sayShut     = phrase{"until then its trials count for no rule", "Until then, tries of it change nothing."}
	sayRule     = phrase{"%[1]s when %[2]s%[3]s", ""}
	sayHolds    = phrase{"holds: %[1]s", "%[2]s %[3]s: that is so now."}
	saySkip     = phrase{"", "To leap ahead, try at once: %[1]s. It takes %[2]s."}
	sayNext     = phrase{"%[1]s", "%[2]s %[3]s."}
)

// states are what a state is called.
var stateWords = map[string]phrase{
	"waiting": {"waiting", "has to wait"}, "open": {"open", "can begin"}, "working": {"working", "being practised"},
	"kept": {"kept", "finished"}, "lapsed": {"lapsed", "being freshened up"}, "paused": {"paused", "on hold"},
}

// ruleWords are what a rule brings about; the owner's stand before what it takes.
var ruleWords = map[string]phrase{
	"advance": {"advance", "To go on:"},
	"ease":    {"ease", "It gets easier after"},
	"split":   {"split", "It is cut into smaller pieces after"},
	"lapse":   {"lapse", "It goes back into training after"},
	"stop":    {"stop today", "Enough for today when"},
	"flag":    {"flag", "Ask your trainer to look when"},
	"skip":    {"skip", ""}, // see saySkip
}

// moveWords are the last move; the owner's take the date and the place moved to.
var moveWords = map[string]phrase{
	"advance": {"advance", "On %s it went well enough to go on to: %s."},
	"ease":    {"ease", "On %s it was made easier: %s."},
	"split":   {"split", "On %s it was cut into smaller pieces: %s."},
	"lapse":   {"lapse", "On %s it had faded, and went back to: %s."},
	"skip":    {"skip", "On %s it leapt ahead, to: %s."},
	"hand":    {"hand", "On %s your trainer set it to: %s."},
}

// markWords are the tries of a continuation: what happens, of one and of several.
var markWords = map[string]struct{ one, more phrase }{
	"+":  {phrase{"one more success", "one more that goes well"}, phrase{"%s more in a row", "%s more that go well, one after the other"}},
	"-":  {phrase{"one more miss", "one more that goes wrong"}, phrase{"%s more misses in a row", "%s more that go wrong, one after the other"}},
	"0":  {phrase{"one more without a response", "one more without an answer"}, phrase{"%s more without a response in a row", "%s more without an answer, one after the other"}},
	"h":  {phrase{"one more helped", "one more that needs help"}, phrase{"%s more helped in a row", "%s more that need help, one after the other"}},
	"e":  {phrase{"one more with early help", "one more with your help from the start"}, phrase{"%s more with early help", "%s more with your help from the start"}},
	"o!": {phrase{"one more opt-out", "the dog leaving once more"}, phrase{"%s more opt-outs in a row", "the dog leaving %s times more"}},
}

// countedWords are what a criterion counts: the trainer's stand in the file, the owner's are of one and of several.
var countedWords = [...]struct{ one, more string }{
	{"goes well", "go well"}, {"goes wrong or needs help", "go wrong or need help"}, {"goes wrong", "go wrong"},
	{"gets no answer", "get no answer"}, {"needs help", "need help"}, {"", ""},
}
