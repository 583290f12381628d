// Package curriculum is the meaning of a house curriculum: behaviours, steps, levels, criteria and session rules
// as plain data, and the trials, events and dogs they are applied to.
//
// A Curriculum is what package dsl makes of a text and what package engine compiles. It can as well be built by Go
// code: every name is spelled out, ladders and changes are already applied, several ramps are already one list of
// levels (see LayOut). The package knows nothing of the text, of files or of the engine.
//
// Quantities are exact fractions; nothing here is rounded and nothing reads a clock.
package curriculum
