package httpapi

import (
	"os"
	"strings"
	"testing"
)

// TestFasthttpIsPinned: fiber 2.52 asks for fasthttp 1.51, whose adaptor can't
// hijack, so that the live stream's upgrade fails; with versions long after
// 1.58 fiber's own tests fail. Whoever moves one of the two runs fiber's tests
// and TestHandshake, then changes the pair here.
func TestFasthttpIsPinned(t *testing.T) {
	raw, err := os.ReadFile("../../go.mod")
	if err != nil {
		t.Fatal(err)
	}
	for module, want := range map[string]string{
		"github.com/gofiber/fiber/v2": "v2.52.15",
		"github.com/valyala/fasthttp": "v1.58.0",
	} {
		got := ""
		for line := range strings.Lines(string(raw)) {
			if f := strings.Fields(strings.TrimPrefix(line, "require ")); len(f) >= 2 && f[0] == module {
				got = f[1]
			}
		}
		if got != want {
			t.Errorf("%s is %q, want %s", module, got, want)
		}
	}
}
