// Package history reads and writes what was recorded of dogs: histories of trials and events as JSON Lines, CSV or a
// tally book, and the dogs' profiles.
//
// [Open] is the usual way in: it takes files, folders and standard input in any mixture of formats and gives one
// [History], a stream of entries in time order with ids unique over all logs. [Reader] is the layer below: one source,
// in the order of its lines. What is wrong with a line becomes an [engine.Report] with source, line, column and a stable
// code, and reading goes on; nothing is passed over in silence.
//
// # The formats
//
// JSON Lines hold one object a line: a trial or, with the field event, an event. A trial has dog, behaviour, at and
// outcome (success, wrong, silent, opt-out, void) or a measure that decides it; further id, session, place, handler, help
// (a word or a list), early, latency and duration in seconds, distance in metres, measures (numbers by name, each in its
// declared unit), step, level (texts by ramp), rewarded, failed (the piece of a chain) and note. An event has dog, at and
// event, which is sign, clear (both with sign; clear also with by), move (with behaviour, and step and level or kept) or
// note; further id, behaviour, session, by and note. null stands for a field that is not there. Fields that are unknown,
// or belong to the other kind of line, are mentioned once a source; anything else that is wrong makes the line unusable.
//
// CSV has the same names as columns, in any order: measures as measures.NAME (or NAME, where it is declared), a level as
// one column level, "turn 30 deg, duration 5 s", or as level.NAME, help words with semicolons or blanks between them. The
// heading tells whether cells are cut by comma, semicolon or tab.
//
// A tally book is what a person jots down. A session begins with a heading, dog, day and time, then place and handler;
// under it stand lines of marks, one behaviour each, and lines for what else happened:
//
//	okapi 2026-03-02 17:10 yard owner
//	pivot-left at follow turn 30 deg: + + - h + 0 x
//	settle: + +(latency 1.4 s) h(touch) -
//	sign growl in settle by Dov note "at the file"
//	clear growl by "the vet's name"
//	move settle to word-first pause 1 s by Halla note "did it at home"
//	note slippery floor
//
// A heading may give an offset behind its time (17:10+01:00), the handler behind the word by, and a session's id behind
// the word session. Marks: + success, h helped late, e helped early, - (or a long dash) wrong, 0 or O silent, o! opted
// out, x void, ? not judged but measured. Brackets behind a mark hold, with commas between: measures (latency 1.4 s), help
// words, early, rewarded, unrewarded, failed PIECE, note "...". A hash begins a remark; names with other than letters,
// digits, hyphens and underscores stand in quotation marks, and so does what would be read as one of these words.
//
// A mark has no time of its own: the first of a session has the heading's, and each mark or event after it one second
// more, so that their order is kept. Nobody should learn a dog's pace from them. The session's id is made of dog and time,
// unless the heading gives one.
//
// # What is kept of a line
//
// Times keep the offset they were written with, for it decides the day. Measures keep the order of the line. An entry
// without an id gets one worked out from what it says (dog, behaviour, time, a digest of the rest, and a count among
// lines that are alike in all of it), so that it stays the same when lines are added to any log.
//
// # Memory
//
// A source in time order is streamed: memory does not grow with it, but for 16 bytes an id, which is what it takes to
// tell twins (the id's hash and the content's; tables are kept at most three quarters full, so 22 to 43 bytes are in
// use). Two ids share a hash about once in 10^19 pairs; the later line would then be reported as a twin. A source out
// of time order is read whole and sorted. Standard input is kept in memory up to 8 MiB and goes to a temporary file
// beyond, because it has to be looked through once before it can be merged.
//
// # Speed
//
// A source in time order of 1 MiB or more is decoded in a goroutine of its own, up to 1024 entries (some 0.7 MiB) ahead
// of Next; [History.Close] ends it, and so does the source's end. Entries, reports and errors come exactly where they
// would come without it. A tally book whose reading is echoed is read in step. What it comes to beside a loop written
// by hand, BenchmarkFoldFromDisk and BenchmarkYardstick say.
package history
