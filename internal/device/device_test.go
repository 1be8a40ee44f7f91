package device_test

import (
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"panside/internal/device"
)

func TestCleanName(t *testing.T) {
	for typed, want := range map[string]string{
		"Kitchen phone":         "Kitchen phone",
		"  Kitchen \t\n phone ": "Kitchen phone",
		"Küche ☕":               "Küche ☕",
		"a\x00b\u202ec":         "a b c", // a direction override could disguise another name
		"bad \xff bytes":        "bad bytes",
		"":                      "phone",
		"\u200b\u2060":          "phone",
		"0123456789012345678901234567890123456789xyz": "0123456789012345678901234567890123456789",
	} {
		if got := device.CleanName(typed, "phone"); got != want {
			t.Errorf("CleanName(%q) = %q, want %q", typed, got, want)
		}
	}
}

func TestCleanNameIsStable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		once := device.CleanName(rapid.String().Draw(t, "typed"), "phone")
		if twice := device.CleanName(once, "phone"); twice != once {
			t.Fatalf("cleaned twice %q becomes %q", once, twice)
		}
		if n := utf8.RuneCountInString(once); n == 0 || n > 40 {
			t.Fatalf("%q has %d characters", once, n)
		}
	})
}

func TestFreeName(t *testing.T) {
	var list []device.Device
	long := "0123456789012345678901234567890123456789"
	for _, tc := range []struct{ name, want string }{
		{"Phone", "Phone"}, {"phone", "phone 2"}, {"Phone", "Phone 3"}, {"Phone 2", "Phone 2 2"}, {"Tablet", "Tablet"},
		{long, long}, {long, long[:38] + " 2"},
	} {
		got := device.FreeName(tc.name, list)
		if got != tc.want || device.CleanName(got, "") != got {
			t.Errorf("FreeName(%q) = %q, want %q", tc.name, got, tc.want)
		}
		list = append(list, device.Device{Name: got})
	}
}
