package bridge

import (
	"encoding/json"
	"strings"
	"testing"

	"panside/internal/say"
)

var emptied map[string]map[string]int // none in it, so whoever writes to one panics

// TestAPanicInTheCoreIsAnAnswer: one question that breaks the core must cost
// neither the worker on the phone nor the request on the laptop, and its text
// must reach no screen.
func TestAPanicInTheCoreIsAnAnswer(t *testing.T) {
	for name, f := range map[string]func(*say.Tongue, []byte) (any, error){
		"a panic":         func(*say.Tongue, []byte) (any, error) { panic("secret") },
		"a nil map":       func(_ *say.Tongue, in []byte) (any, error) { m := emptied[string(in)]; m["x"] = 1; return m, nil },
		"beyond the list": func(_ *say.Tongue, in []byte) (any, error) { return in[len(in)], nil },
	} {
		line, kept := call(map[string]func(*say.Tongue, []byte) (any, error){"broken": f}, nil, say.English, "broken", []byte(`{}`))
		var got struct{ Error problem }
		if err := json.Unmarshal(line, &got); err != nil || got.Error.Code != "internal" || got.Error.Sentence == "" || kept != nil {
			t.Errorf("%s: %s, %v", name, line, err)
		}
		if strings.Contains(string(line), "secret") {
			t.Errorf("%s: the cause is shown: %s", name, line)
		}
	}
}
