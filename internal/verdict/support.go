package verdict

// Support is how strongly the weighing speaks for an explanation, against
// ordinary wear and damage: the likelihood ratio as a word.
type Support string

// The degrees, by the verbal scale of the ENFSI guideline for evaluative
// reporting in forensic science (2015); its bands from memory. Between a half
// and two neither is likelier.
const (
	SupportLess             Support = "less"
	SupportEqual            Support = "equal"             // above 1/2
	SupportWeak             Support = "weak"              // from 2
	SupportModerate         Support = "moderate"          // from 10
	SupportModeratelyStrong Support = "moderately-strong" // from 100
	SupportStrong           Support = "strong"            // from 1000
	SupportVeryStrong       Support = "very-strong"       // from 10,000
)

// supportOf puts a likelihood ratio into its band.
func supportOf(ratio float64) Support {
	switch {
	case ratio >= 10_000:
		return SupportVeryStrong
	case ratio >= 1000:
		return SupportStrong
	case ratio >= 100:
		return SupportModeratelyStrong
	case ratio >= 10:
		return SupportModerate
	case ratio >= 2:
		return SupportWeak
	case ratio > 0.5:
		return SupportEqual
	}
	return SupportLess
}
