// Package history reads and writes what was recorded of dogs: histories of trials and events as JSON Lines, CSV or a
// tally book, and the dogs' profiles.
//
// [Open] is the usual way in: it takes files, folders and standard input in any mixture of formats and gives one
// [History], a stream of entries in time order with ids unique over all logs. [Reader] is the layer below: one source,
// in the order of its lines. What is wrong with a line becomes an [engine.Report] with source, line, column and a stable
// code, and reading goes on; nothing is passed over in silence.
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
package history
