package history

import "slices"

// The codes of reports. They are stable: programs and tests may rely on them.
const (
	codeJSON      = "log-json"
	codeUTF8      = "log-utf8"
	codeLong      = "log-line-length"
	codeNotText   = "log-not-text"
	codeType      = "log-type"
	codeTwice     = "log-field-twice"
	codeMissing   = "log-field-missing"
	codeUnknown   = "log-field-unknown"
	codeOdd       = "log-field-odd"
	codeName      = "log-name"
	codeTime      = "log-time"
	codeOutcome   = "log-outcome"
	codeEvent     = "log-event"
	codeNumber    = "log-number"
	codeLevel     = "log-level"
	codeTwin      = "log-twin"
	codeCopy      = "log-copy"
	codePage      = "log-page-twice"
	codeHeading   = "log-heading"
	codeColumns   = "log-columns"
	codeQuote     = "log-quote"
	codeMark      = "log-mark"
	codeBracket   = "log-bracket"
	codeTallyLine = "log-tally-line"
	codeBy        = "log-by"
	codeMore      = "log-more"
	codeProfile   = "profile-field"
	codeDogTwice  = "profile-twice"
)

var explained = map[string]string{
	codeJSON:      "The line is not one whole JSON object. Each trial stands on a line of its own: {\"dog\":\"okapi\", ...}.",
	codeUTF8:      "The line holds bytes that are not UTF-8, or half a surrogate pair. Save the file as UTF-8.",
	codeLong:      "The line is longer than a history's line may be (1 MiB unless the caller says otherwise).",
	codeNotText:   "The source is not text in UTF-8: a compressed file, a spreadsheet's own format, or UTF-16.",
	codeType:      "The field's value is of another kind than the field wants, such as a text where a number belongs.",
	codeTwice:     "One field is given twice, and only one of the two can be meant.",
	codeMissing:   "A trial needs dog, behaviour, at, and an outcome or a measure that decides it; an event needs its own fields.",
	codeUnknown:   "The field is not one a history has. The line was read without it.",
	codeOdd:       "The field belongs to the other kind of line (trial or event). The line was read without it.",
	codeName:      "A name may not begin or end with white space, nor hold control characters.",
	codeTime:      "Times are written as 2026-03-02T17:10:05Z or with an offset, 2026-03-02T18:10:05+01:00. The offset decides the day.",
	codeOutcome:   "The outcome is success, wrong, silent, opt-out or void.",
	codeEvent:     "An event is sign, clear, move or note, and needs the fields of its kind.",
	codeNumber:    "The number cannot be used: not finite, below nought, or not written as 1.4.",
	codeLevel:     "A level is written as its ramps with their values: turn 30 deg, duration 5 s.",
	codeTwin:      "Another line with the same id and another content was read before; the first stands.",
	codeCopy:      "Lines without ids say the same as lines of another log. They were taken for copies and counted once.",
	codePage:      "A page stands in a tally book twice, heading and marks alike, as when the marks of one sheet are added twice. Both are counted, as more marks may follow a heading that was written before; delete one if it is a copy.",
	codeHeading:   "A session in a tally book begins with dog, day, time, then place and handler: okapi 2026-03-02 17:10 yard owner.",
	codeColumns:   "A row has another number of cells than the heading, or the heading cannot be used.",
	codeQuote:     "A quotation mark is opened and not closed, or stands in the middle of a cell.",
	codeMark:      "Tally marks are + h e - 0 O o! x and ?.",
	codeBracket:   "Brackets behind a mark hold measures and help: +(latency 1.4 s), h(touch).",
	codeTallyLine: "A line of a tally book is a heading, a behaviour with marks, or sign, clear, move or note.",
	codeBy:        "A person should be named.",
	codeMore:      "There were more reports than are listed for one source.",
	codeProfile:   "A field of a dog's profile cannot be used.",
	codeDogTwice:  "A dog has two profiles.",
}

// Codes lists every code a report of this package can carry, sorted.
func Codes() []string {
	out := make([]string, 0, len(explained))
	for c := range explained {
		out = append(out, c)
	}
	slices.Sort(out)
	return out
}

// Explain says in a sentence or two what a code of this package means.
func Explain(code string) (string, bool) {
	s, ok := explained[code]
	return s, ok
}
