// Package expression reads, checks and evaluates the `{ ... }` conditions of a curriculum: comparisons, arithmetic
// and `and or not` over the facts of one trial and one dog, and functions that the host program registers.
//
// The language inside the braces is a deliberately small part of a general one: literals, known facts, the
// comparisons, `+ - *`, `and or not`, `in [...]`, `a ? b : c`, and registered functions. There are no loops, so an
// evaluation costs at most as many steps as the text has parts, and needs no time limit.
//
// Facts of a trial: success, wrong, silent, helped, early, rewarded (yes or no); place, handler, step (texts);
// latency and duration in seconds, distance in metres, and every declared measure in its declared unit, with hyphens
// written as underscores (numbers). Facts of the dog, as members of `dog`: age_days, age_weeks, age_months,
// weight_kg, adult_weight_kg (numbers), neutered (yes or no), name (text).
//
// A fact that the trial or the profile did not record makes the whole expression not hold, whatever its operators:
// `not (latency > 2)` does not hold for a trial without a latency.
package expression
