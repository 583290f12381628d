// Package odds says what the rules of a curriculum promise: for a dog that succeeds with a given chance, how likely each
// rule has moved it by trial N, how many trials that takes on average and how widely it varies, and at which rate of
// success an advance and an ease hold a dog between two levels. Nothing is simulated: the rules of a level become a
// finite machine (package automaton), the dog gives its letters their chances, and the answers are linear algebra on the
// Markov chain that results.
package odds
