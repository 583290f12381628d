// Package engine works out where dogs stand in a curriculum from what was recorded of them, and says why.
//
// Compile makes a Program of a curriculum, once. A Fold made from it takes trials and events one at a time:
//
//	program, err := engine.Compile(house)       // house: from dsl.ReadFS, or built in Go
//	fold := program.NewFold(dogs...)            // dogs: their profiles, from history.ReadDogs or the program's own
//	err = fold.Record(&curriculum.Trial{...})   // or Note an event, or Take what package history read
//	standing := fold.Standing(now)              // where every dog stands, each move with its reason
//	why, err := fold.Why("okapi", "settle", now)
//	next, err := plan.Next(program, fold, ...)  // package plan
//
// Replay folds a whole history at once and in any order; Record wants each dog's lines in order of time and answers
// ErrEarlier where one is not, as when a sheet arrives late: then put it into the log and replay that. Program.Since tells
// two standings apart, so that a program sees what a trial, or a late sheet, changed. What is taken one by one, replayed,
// or saved and resumed gives the same standing to the byte.
//
// # Time and sessions
//
// Nothing here reads a clock: every answer is for the now that it is given. A session ends with the next one or half an
// hour after its last trial; where it is over by now it is closed for the answer, and only a line taken closes it in the
// fold. Times keep their offset, which decides the day.
//
// # What is kept
//
// Save writes the standing of every dog and all that Program.Resume needs to go on, not the history and not the profiles:
// keep the log (package history writes one), and give Resume the profiles again. A standing of a curriculum of another
// meaning is refused with ErrOtherCurriculum; then replay the log.
//
// # What is wrong
//
// Errors are values. Compile answers Refusals. A line that cannot be used is a *LineError and changes nothing; what a
// person should know of lines that were taken is in Reports, in their order, which only grows: look at those behind the
// ones already seen. Record does not look for ids that came before; Replay and package history do. Every code has a page:
// see Explain. Nothing panics on what it is given, nil included (ErrNoProgram).
//
// # Goroutines
//
// A Program never changes and is safe for concurrent use. A Fold belongs to one goroutine at a time, with all its dogs:
// hold a lock around it, or one Fold for each dog, as dogs do not disturb each other. Copy gives a fold of its own that
// may answer in another goroutine while the first goes on.
package engine
