package verdict_test

import (
	"testing"

	"panside/internal/mass"
	"panside/internal/verdict"
)

// TestACoarseScaleAccusesNoCoin: readings beyond a limit that the measurement
// alone would put there, while what is known of making and wear says that a good
// coin with an unlucky reading is the likelier. Masses and limits of the cent of
// 3.11 g, of 2.5 g and of the five-cent piece: 31 U.S.C. 5112 and 5113.
func TestACoarseScaleAccusesNoCoin(t *testing.T) {
	for _, tc := range []struct {
		denomination string
		y            mass.Grams
	}{{"cent", 2.8}, {"cent", 3.4}, {"cent", 3.5}, {"nickel", 4.6}, {"nickel", 5.4}} {
		v := judge(t, on(0.1, tc.y, tc.denomination))
		if v.Tolerance.State != verdict.Inconclusive {
			t.Errorf("%s of %v g on a scale of 0.1 g: %s, “%s”", tc.denomination, tc.y, v.Tolerance.State, v.Tolerance.Sentence)
		}
	}
}
