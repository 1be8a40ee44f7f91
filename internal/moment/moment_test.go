package moment

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// TestThePhonesTimeIsTheLibrarys within the milliseconds that JavaScript counts to.
func TestThePhonesTimeIsTheLibrarys(t *testing.T) {
	if !(plain{}).IsZero() || !(time.Time{}).IsZero() || at(0).IsZero() || time.UnixMilli(0).IsZero() || time.Duration(hour) != time.Hour || time.Duration(minute) != time.Minute || time.Duration(millisecond) != time.Millisecond {
		t.Error("none, an hour, a minute or a millisecond")
	}
	rapid.Check(t, func(t *rapid.T) {
		ms := rapid.Int64Range(-8_640_000_000_000_000, 8_640_000_000_000_000)
		a, b := ms.Draw(t, "a"), ms.Draw(t, "b")
		if got, want := at(a).UTC().Sub(at(b)), time.UnixMilli(a).UTC().Sub(time.UnixMilli(b)); time.Duration(got) != want {
			t.Fatalf("%d from %d: %d, want %d", a, b, got, want)
		}
		if d := rapid.Int64().Draw(t, "span"); span(d).Seconds() != time.Duration(d).Seconds() || span(d).Milliseconds() != time.Duration(d).Milliseconds() {
			t.Fatalf("%d ns: %v s, %d ms", d, span(d).Seconds(), span(d).Milliseconds())
		}
		if at(a).UnixMilli() != time.UnixMilli(a).UnixMilli() {
			t.Fatal("there and back")
		}
	})
}
