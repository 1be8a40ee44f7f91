package verdict

import "testing"

func TestSupportByTheBands(t *testing.T) {
	for ratio, want := range map[float64]Support{
		0: SupportLess, 0.2: SupportLess, 0.5: SupportLess, 0.6: SupportEqual, 1: SupportEqual, 1.9: SupportEqual, 2: SupportWeak, 3.14: SupportWeak, 9.9: SupportWeak, 10: SupportModerate, 99: SupportModerate,
		100: SupportModeratelyStrong, 412: SupportModeratelyStrong, 1000: SupportStrong, 10_000: SupportVeryStrong, 5e7: SupportVeryStrong,
	} {
		if got := supportOf(ratio); got != want {
			t.Errorf("%g: %s, want %s", ratio, got, want)
		}
	}
}
