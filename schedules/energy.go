package schedules

import (
	"errors"
	"math"
)

// The figures of this file are for planning rewards, not for feeding a dog: needs of single dogs differ up to
// three-fold, and a veterinarian's figure overrides every equation.

// ErrWeight is returned where a need cannot be worked out because no weight is known.
var ErrWeight = errors.New("the dog's weight is not known")

// Resting is the resting need of a dog in kcal a day, 70 kg^0.75 (Small Animal Clinical Nutrition, 5th edition, 2010).
func Resting(kg float64) float64 { return 70 * math.Pow(kg, 0.75) }

// Maintenance is the maintenance need of an active adult in kcal a day, 130 kg^0.75 (National Research Council, Nutrient
// Requirements of Dogs and Cats, 2006).
func Maintenance(kg float64) float64 { return 130 * math.Pow(kg, 0.75) }

// Sedentary is the maintenance need of an inactive adult in kcal a day, 95 kg^0.75 (National Research Council, 2006, as
// commonly quoted).
func Sedentary(kg float64) float64 { return 95 * math.Pow(kg, 0.75) }

// Kilojoules is an energy in kcal in the other unit that labels carry; a kcal is 4.184 kJ.
func Kilojoules(kcal float64) float64 { return 4.184 * kcal }

// Growing is the need of a growing dog in kcal a day, 130 kg^0.75 3.2 (e^(-0.87 p) - 0.1) with p = kg/adultKg, as given
// for the National Research Council's 2006 figures. A weight above the adult one counts as the adult one.
func Growing(kg, adultKg float64) float64 {
	p := min(kg/adultKg, 1)
	return Maintenance(kg) * 3.2 * (math.Exp(-0.87*p) - 0.1)
}

// GrowingInBands is the European guideline's need of a growing dog in kcal a day: 210, 175 and 140 kg^0.75 up to 50%,
// 80% and 100% of the adult weight (FEDIAF 2021 factors, as tabulated in Veterinary Nursing Journal 37(4), 2022).
func GrowingInBands(kg, adultKg float64) float64 {
	f := 140.0
	switch p := kg / adultKg; {
	case p <= 0.5:
		f = 210
	case p <= 0.8:
		f = 175
	}
	return f * math.Pow(kg, 0.75)
}

// largeBreed is the factor on Maintenance by share of the adult weight reached.
var largeBreed = [...]struct{ share, factor float64 }{
	{0.15, 2.5}, {0.30, 2.1}, {0.43, 1.9}, {0.60, 1.6}, {0.71, 1.4}, {0.80, 1.3}, {1, 1},
}

// GrowingLarge is the need of a growing dog of a large breed in kcal a day: Maintenance times a factor that falls from
// 2.5 at 15% of the adult weight to 1 (table in Veterinary Nursing Journal 37(4), 2022). Between the printed points the
// factor is taken on a straight line, our own reading; below the first it stays 2.5.
func GrowingLarge(kg, adultKg float64) float64 {
	p, f := min(kg/adultKg, 1), largeBreed[0].factor
	for i := 1; i < len(largeBreed) && p > largeBreed[i-1].share; i++ {
		a, b := largeBreed[i-1], largeBreed[i]
		f = a.factor + (b.factor-a.factor)*min((p-a.share)/(b.share-a.share), 1)
	}
	return f * Maintenance(kg)
}

// Factors of the resting need by life stage, a widely printed convention of clinical nutrition texts.
const (
	FactorNeutered    = 1.6
	FactorIntact      = 1.8
	FactorPuppy       = 3.0 // under four months
	FactorJunior      = 2.0 // four months to adult
	FactorInactive    = 1.2 // 1.2 to 1.4: the lower end
	FactorLosing      = 1.0
	FactorLactating1  = 3.0 // one pup
	FactorLactating2  = 3.5 // two pups
	FactorLactating34 = 4.0 // three or four pups
)

// Facts is what is known of a dog; zero means unknown, and less than zero too.
type Facts struct {
	VetKcal float64 // a veterinarian's figure for the day, in kcal
	Kg      float64
	AdultKg float64
	Months  int  // age in whole months
	Intact  bool // known to be so; otherwise the lower factor is used
}

// heavy is how much above its adult weight a dog counts as overweight: common practice, no source.
const heavy = 1.1

// Daily is the day's energy in kcal, and in words where the figure comes from. The vet's figure comes first; then, for a
// dog of less than two years below its adult weight, the growth equation; then resting need times a life-stage factor,
// for a dog more than a tenth above its adult weight that of an inactive dog at the adult weight. Where two figures could
// be meant the lower is taken, as it is used to bound extras: so a dog of unknown age counts as an adult.
func Daily(f Facts) (kcal float64, from string, err error) {
	switch {
	case f.VetKcal > 0:
		return f.VetKcal, "the figure in the dog's profile", nil
	case !(f.Kg > 0) || math.IsInf(f.Kg, 0):
		return 0, "", ErrWeight
	case f.AdultKg > f.Kg && f.Months > 0 && f.Months < 24:
		return Growing(f.Kg, f.AdultKg), "growth equation for the dog's weight and adult weight", nil
	case f.AdultKg > 0 && f.Kg > heavy*f.AdultKg:
		return FactorInactive * Resting(f.AdultKg), "1.2 times the resting need at its adult weight, which it is well above", nil
	case f.Months > 0 && f.Months < 4:
		return FactorPuppy * Resting(f.Kg), "3 times the resting need, puppy under four months", nil
	case f.Months > 0 && f.Months < 12 && !(f.AdultKg > 0):
		return FactorJunior * Resting(f.Kg), "twice the resting need, growing dog", nil
	case f.Intact:
		return FactorIntact * Resting(f.Kg), "1.8 times the resting need, intact adult", nil
	}
	return FactorNeutered * Resting(f.Kg), "1.6 times the resting need, neutered adult", nil
}

// Purses is the two purses that rewards are paid from: food measured out of the day's ration, which adds nothing to the
// day, and extras, which are bounded by a share of it and for which the ration is cut by as much.
type Purses struct {
	Daily  float64 // kcal a day
	Ration float64 // kcal left for the ration once the extras fed are taken off
	Extras float64 // kcal of extras that may still be given today
}

// NewPurses shares out a day: extras at most that share of it, of which so many kcal are fed already. Treats of at most
// a tenth of the day's energy is a widely repeated rule of veterinary nutrition. What was fed beyond the share leaves
// nothing, and comes off the ration all the same.
func NewPurses(daily, share, extrasFed float64) (Purses, error) {
	if !(daily > 0) || math.IsInf(daily, 0) || !(share >= 0 && share <= 1) || !(extrasFed >= 0) || math.IsInf(extrasFed, 0) {
		return Purses{}, ErrPurse
	}
	return Purses{daily, math.Max(0, daily-extrasFed), math.Max(0, daily*share-extrasFed)}, nil
}

// ErrPurse is returned for a day without energy, a share that is not between nought and one, or food that is none.
var ErrPurse = errors.New("a day's food needs energy above nought, a share from 0% to 100% and no less than nothing fed")

// Pieces is what a number of pieces amounts to.
type Pieces struct {
	N           int
	Kcal, Grams float64
}

// Take is so many pieces of a food, as far as the kcal reach; gramsAPiece may be 0, which is not known. A food without
// energy costs nothing.
func Take(n int, kcal, kcalAPiece, gramsAPiece float64) Pieces {
	if most := Purse(kcal, kcalAPiece); most >= 0 {
		n = min(n, most)
	}
	if n <= 0 {
		return Pieces{}
	}
	return Pieces{n, float64(n) * math.Max(0, kcalAPiece), float64(n) * math.Max(0, gramsAPiece)}
}

// Purse is how many pieces of a food a number of kcal holds, exact in whole pieces; a food without energy has no bound,
// which is -1.
func Purse(kcal, kcalAPiece float64) int {
	switch {
	case kcalAPiece <= 0:
		return -1
	case !(kcal > 0), math.IsNaN(kcalAPiece):
		return 0
	}
	return int(math.Floor(math.Min(kcal/kcalAPiece, math.MaxInt32) + 1e-9))
}
