package journal

import (
	"strings"
	"testing"

	"panside/internal/json"
)

// TestWhatIsKeptOfAPicture: rims of each kind, and photos with a lamp's side, as the bench writes them; and
// what no bench writes.
func TestWhatIsKeptOfAPicture(t *testing.T) {
	hash := strings.Repeat("ab", 32)
	photo := func(lamp string) string {
		return `{"sha256":"` + hash + `","type":"image/jpeg","bytes":9,"side":"obverse","taken":5` + lamp + `}`
	}
	for _, c := range []struct {
		field, value string
		good         bool
	}{
		{"rim/" + hash, `{"x":500,"y":400,"a":300,"b":299,"turn":12,"mm":19.05,"by":"found"}`, true},
		{"rim/" + hash, `{"x":-900,"y":120,"a":1500,"b":1500,"mm":19.05,"by":"close-up","u":0.012}`, true},
		{"rim/" + hash, `{"x":560,"y":440,"a":6000,"b":6000,"mm":20,"by":"ruler","u":0.0104}`, true},
		{"rim/" + hash, `{"x":560,"y":440,"a":6000,"b":6000,"mm":20,"by":"ruler","u":-1}`, false},
		{"rim/" + hash, `{"x":560,"y":440,"a":6000,"b":6000,"mm":20,"by":"guess"}`, false},
		{"photo/" + hash, photo(""), true},
		{"photo/" + hash, photo(`,"lamp":90`), true},
		{"photo/" + hash, photo(`,"lamp":360`), true},
		{"photo/" + hash, photo(`,"lamp":361`), false},
		{"photo/" + hash, photo(`,"lamp":-90`), false},
	} {
		if got := good(KindFind, c.field, json.RawMessage(c.value)); got != c.good {
			t.Errorf("%s %s: good is %v", c.field[:5], c.value, got)
		}
	}
	// A form of an older page that leaves both out loses neither.
	older := json.RawMessage(`{"x":1,"y":1,"a":9,"b":9,"by":"hand"}`)
	if carried := string(carry(KindFind, "rim/"+hash, json.RawMessage(`{"x":1,"y":1,"a":9,"b":9,"by":"hand","later":1}`), older)); !strings.Contains(carried, "later") {
		t.Errorf("what this version doesn't know is lost: %s", carried)
	}
}
