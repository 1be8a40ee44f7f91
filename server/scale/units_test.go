package scale

import (
	"log/slog"
	"os"
	"path/filepath"
	"testing"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
)

func TestUnitsThatCanNotBeReadAreAskedForAgain(t *testing.T) {
	dir := t.TempDir()
	log := slog.New(slog.DiscardHandler)
	u := newUnits(dir, log)
	for _, err := range []error{u.say("a", dialect.AskUnit, mass.Carat), u.say("a", dialect.AskGr, mass.Grain), u.say("b", dialect.AskUnit, mass.Gram), u.say("b", dialect.AskUnit, "")} {
		if err != nil {
			t.Fatal(err)
		}
	}
	u = newUnits(dir, log)
	if a := u.of("a"); a.Unit != mass.Carat || a.Gr != mass.Grain || len(u.said) != 1 {
		t.Errorf("%+v", u.said)
	}
	for _, text := range []string{"{", `{"a":{"unit":"stone"}}`, `{"a":{"gr":7}}`} {
		if err := os.WriteFile(filepath.Join(dir, "scale-units.json"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if u := newUnits(dir, log); len(u.said) != 0 {
			t.Errorf("%s: %+v", text, u.said)
		}
	}
	gone := newUnits(filepath.Join(dir, "gone"), log)
	if err := gone.say("a", dialect.AskUnit, mass.Gram); fault.Of(err).Code != fault.DataFolder || gone.of("a").Unit != "" {
		t.Errorf("%v", err)
	}
}
