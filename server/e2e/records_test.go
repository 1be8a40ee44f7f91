package e2e

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestALossOfRecordsIsSaidAndMended: an old copy takes the records' place behind
// the laptop's back. Its page and a phone that has nothing of what is missing say
// so, until the phone that has it is back.
func TestALossOfRecordsIsSaidAndMended(t *testing.T) {
	t.Parallel()
	data := t.TempDir()
	records := filepath.Join(data, "panside.db")
	s := startServer(t, data, "--scale", "virtual")
	s.joinAsDesk()
	browser := startBrowser(t)
	one, other := newDevice(t, browser, phoneScreen), newDevice(t, browser, phoneScreen)
	for _, d := range []*device{one, other} {
		d.open(s.offer())
		d.weighing()
	}
	one.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	s.stop()
	old, err := os.ReadFile(records)
	if err != nil {
		t.Fatal(err)
	}

	s = again(t, s, data)
	other.cutOff(true) // it is not to see the find
	one.tap(`button[data-denomination="cent"]`)
	one.typeFind("3.11")
	one.details()
	one.until("the find on the laptop", `!document.querySelector('[data-part="only-here"]')`)
	one.cutOff(true)
	s.stop()
	if err := os.WriteFile(records, old, 0o600); err != nil {
		t.Fatal(err)
	}

	s = again(t, s, data)
	desk := newDevice(t, startBrowser(t), laptopScreen)
	desk.open(s.desk)
	other.cutOff(false)
	for _, d := range []*device{desk, other} {
		d.says(`[data-part="records"]`, "The laptop’s records lack", "that it had confirmed", one.name())
	}
	desk.inBothThemes("records-desk", `[data-part="records"]`)
	other.inBothThemes("records", `[data-part="records"]`)
	other.axeHere("a loss of records")
	one.cutOff(false)
	for name, d := range map[string]*device{"desk": desk, "phone": other} {
		d.until("nothing missing any more on the "+name, `!document.querySelector('[data-part="records"]')`)
	}
}

// again starts a server where another one was.
func again(t *testing.T, was *server, data string) *server {
	t.Helper()
	s := startServer(t, data, "--scale", "virtual", "--listen", strings.TrimPrefix(was.api, "https://"))
	s.token = was.token
	return s
}
