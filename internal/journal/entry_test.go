package journal

import (
	"errors"
	"testing"

	"panside/internal/json"
)

// TestAValueIsValidUTF8: a browser that reads an entry's text replaces bytes
// that aren't UTF-8, and the text has another hash from then on; the writer's
// chain would end there. encoding/json calls such a string valid.
func TestAValueIsValidUTF8(t *testing.T) {
	e := Entry{ID: ID{"a", 1}, Stamp: Stamp{Millis: 1}, Record: "01977420-dc00-7073-b679-7c7f8285888b", Kind: KindFind, Field: "note"}
	for value, good := range map[string]bool{
		`"caf` + "\xc3\xa9" + `"`:  true,
		`"caf` + "\xe9" + `"`:      false, // Latin-1
		`"` + "\xed\xa0\x80" + `"`: false, // half of a surrogate pair
		`"` + "\xc0\xaf" + `"`:     false, // longer than it need be
		`"` + "\xf0\x9f\xaa" + `"`: false, // cut off
		`{"` + "\xff" + `":1}`:     false,
	} {
		if !json.Valid([]byte(value)) {
			t.Fatalf("%q is refused for another reason", value)
		}
		e.Value = json.RawMessage(value)
		_, err := ParseEntry(e.Wire())
		var rule *RuleError
		if good && err != nil || !good && !(errors.As(err, &rule) && rule.Rule == RuleValue) {
			t.Errorf("%q: %v", value, err)
		}
	}
}
