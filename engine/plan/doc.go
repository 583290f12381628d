// Package plan chooses the next session of one dog: an ordered list of items under the curriculum's session rules, the
// dog's profile and what is at hand.
//
// # The model
//
// Every behaviour is first put through gates that bar it whatever its worth: locks, the profile, a stop, doors, warmth,
// caps, place, equipment, cues, pairs. Those that pass are candidates. A candidate is worth points:
//
//	a review that is due      60, and 2 for each day overdue, at most 30
//	lapsed                    55, and as for work under way
//	work under way            40, up to 20 for nearness to a move: 20 times the chance that as many trials running succeed
//	                          as are missing until a rule moves it on, 1 for each day since it was last trained, at
//	                          most 14, less 8 for each session that had it in the seven days up to now, at most 32:
//	                          work is spread, not stacked
//	newly open                30, less 10 while something it is better after has not begun
//	finished, not due         5; only to open or close the session with
//	a chain broke at it       25 more, from the second time on at a level; then also what is finished may come in, as a
//	                          review of 40
//	asked for (Favour)        40 more, and 100 as soon as it is in, however few its trials; then also what is finished
//	                          may come in anywhere
//
// Two behaviours written as a pair earn 5 more each where both are in. The first trials of an item are worth most: n
// trials bring 1 - 0.88^n of its points, so that six of one are worth less than three of two. An item has at least three
// trials where it can (two, of a pair whose other half stays out: a pair of which both are too much for a session takes
// turns by sessions), and at most eight when new, twelve at work, five in review or as a mere opening or closing.
//
// Wanted is the set with the highest sum under all limits: minutes, trials, behaviours, new behaviours, trials of one
// behaviour, impact trials of all behaviours together, pieces, kcal, extras, caps, the share of trials that is to
// succeed. An opening or closing with something known comes before points. The trials of a pair stay together over seven
// days, and a pair with many trials takes turns.
//
// model.go states this choice as numbers, and solve.go finds the best there is. Everyday days, of twenty candidates and
// more, are solved to the end, all but a few (7 of 300 random ones with some 24 candidates, among them 7 pairs and more);
// there, and where there are too many candidates, Plan.Choice and a note say how much better the best could be. Where
// rests are laid down one in eight such days is not solved to the end. Tests hold the solver against trying everything.
//
// Known is a finished behaviour. While none can be planned, one that has passed its first step and of whose newest
// evidence at least four in five, and at least four trials, succeeded stands in. If there is none either, as with a
// puppy on its first day, the place stays open and the plan says so.
//
// Order: the opening; then new work while the dog is fresh, care, work, reviews, lively work late; the closing. No
// behaviour runs on longer than the session rules allow, and care work never comes straight after lively work: what
// cannot be put into such a row is no choice. order.go puts a cost on what else is to be avoided (a third lively item
// running, partners that do not take turns, equipment to put out, what should come early and comes late) and finds the
// row that costs least.
//
// Rests that the session rules lay down come between items, as late as they may, and count among the minutes; rest.go
// says how.
//
// # Success
//
// How likely a trial succeeds is estimated from the newest evidence (chance.go says how). Where the session rules ask
// for a share, the session is expected to reach it.
//
// # Time
//
// A trial takes what the curriculum's `takes` says, or the sum of: the pause and the duration of its level, Response,
// Marking, and Reset; and where it is paid Delivery and the food's eating time. Between two items stands Changeover.
// These five are common practice, no source; they are meant to be on the long side. Where the dog's own time stamps
// hold five cycles of the step or more, its pace counts too: costs.go has the formula, engine.Pace what a cycle is.
//
// # Food
//
// Rewards come out of the measured ration, so far as a food of the ration is declared that the dog may eat. Extras are no
// part of the choice: they are given out after it, to new or difficult work in the order of points, and only inside the
// share of the day's energy that the session rules allow (a tenth, the common veterinary rule of thumb, where they say
// nothing). Every success is counted as if it came.
//
// Which successes are paid, the times of a watch, the values that vary inside a level: each goes on from where the
// history has left it (engine.PayRun, the evidence at the level), as long as the schedule or the level is the same. By a
// watch one time more is listed, and a piece more put in the pot, than should fall due: trials may take longer. The bar of a percentile schedule is worked out from what is on record and stands for the session.
//
// The package reads no clock and draws nothing but from the seed it is given: equal inputs give equal bytes.
package plan
