package naive

// Readings. Where the language's text leaves room, this reader does as follows; an engine that does otherwise and a
// reader of the law who disagrees should change this list first.
//
// Sessions
//   - A trial without a session id goes on with the session of the dog's last trial if that has no id either and lies
//     less than half an hour back, a void included; otherwise it begins a session.
//   - Sessions in order are ordered by the last evidence in them, so that a session that was opened again is the latest.
//   - At a close rules are looked at for every behaviour with evidence, fed since its level was entered, in the session;
//     not for one that is waiting or paused on the day of the last such trial.
//
// Trials
//   - A step alone that is not the present one stands for its first level of this dog.
//   - A part of a level that fits several levels stands for the present one if that fits, else for the first that does.
//
// Rules
//   - A stop rule's windows, counts and `done` look at what the behaviour was fed in this session; `after` counts from
//     entry there too, `first trial` as everywhere.
//   - Stop and flag are looked at before the move of the same trial is made. "Did not hold when last looked at" is kept
//     for a stop rule within a session, for a flag within one stay at a level.
//   - A split without room notes itself like a flag: when it begins to hold.
//   - `eased` counts this level as the dog has it, wherever a split has put other levels since.
//   - A tie of a halved level goes to the smaller value on a rising ramp, to the larger on a falling one.
//   - Several `into` pieces stand in their order before the level; the dog works at the first.
//   - Skip: evidence counts if the behaviour stood at the same number of moves, whatever their kind, as now.
//   - `decide every n` counts evidence since the present level was entered.
//   - A share without `in n sessions` looks at the closing session alone; if that is short it does not hold.
//   - `in n sessions in a row` takes the latest n with evidence since entry; what came true in one may have come true at
//     any trial fed in it, one without evidence too.
//   - A statistic takes a recorded number for the shortest decimal that gives it, and compares exactly.
//   - Confidence looks at the last n or, while there are fewer, at all.
//
// Reviews
//   - A review is the first trial of the behaviour in a session (a void passed over), if it was evidence and its date is
//     the due one or later. A session whose first trial was none, or came before its day, has no review.
//   - Gaps are counted in dates; one of less than whole days is rounded up.
//   - Kept again, or kept anew by hand, begins at the first gap.
//
// Moves
//   - Away: of all session blocks the longest pause declared that has passed counts, of two for one pause the further
//     ease; so many levels are one move. A pause is measured from the
//     last trial of the behaviour that was not void.
//   - Lapse enters its step anew, also the last one; a move by hand from lapsed stays lapsed, one from kept is working.
//   - A move by hand enters the first level that fits what it names. It is made in the session that is open then, whatever
//     session its line names: one before a session's first trial is none of that session's moves.
