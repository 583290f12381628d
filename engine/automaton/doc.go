// Package automaton turns the rules of one level into one deterministic finite automaton over the kinds of trial that
// the rules can tell apart. It reads curriculum.Criterion by itself and shares no code with the engine's evaluation, so
// that the two check each other; tests hold them to it.
//
// # A stay
//
// A machine is about one stay of a dog at one level: it begins when the level is entered, with empty windows, and it
// ends with the first move (advance, ease, split or lapse). Stop and flag are looked at and reported, and end nothing.
//
// # Letters
//
// A letter is either a kind of trial, or an edge between trials: the session ends, the session ends and the next trial
// is on another date, or (where rules count days) a session that runs past midnight. Kinds of trial that no rule tells
// apart are one letter; Letter.Cases lists all that it stands for, and its first case is written where a history is
// printed. There are no letters for edges that change nothing.
//
// # What is not in it
//
// Void trials and trials at another level feed no rule and have no letter. Long pauses, moves by hand, doors and skips
// are not part of a stay. Lines that come late, with the id of a session that was closed, are left out. What a machine
// takes for granted beyond that stands in Machine.Assumptions.
package automaton
