//go:build !race

package plan_test

// daysADraw is how many random days one draw of a property test makes.
const daysADraw = 50
