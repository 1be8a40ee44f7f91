package verdict_test

import (
	"testing"

	"panside/internal/book/data"
	"panside/internal/verdict"
)

func TestTellShow(t *testing.T) {
	b := data.Coins()
	for _, c := range b.Countries() {
		for _, d := range b.Denominations(c.ID) {
			told, err := verdict.Tell(b, verdict.RingQuestion{Country: c.ID, Denomination: d.ID})
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%s/%s %s", c.ID, d.ID, told.Why)
			for _, m := range told.Metals {
				t.Logf("     %-20s %.3f %v %.3f %s", m.Alloy, m.Probability, m.Hz, m.Spread, m.Planchet)
			}
		}
	}
}
