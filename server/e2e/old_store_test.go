package e2e

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"testing"

	"github.com/chromedp/chromedp"
)

// oldStore is a phone's database as testdata/db/phone-store-1.json has it.
type oldStore struct {
	text   string
	Stores struct {
		Entries struct {
			Rows []struct {
				ID, Kind, Record, Raw string
				Sent                  int
			}
		}
		Photos struct {
			Rows []struct {
				SHA256, Bytes string
				Sent          int
			}
		}
		Kept struct {
			Rows []struct{ Key, Cursor string }
		}
	}
}

// putStore puts a database in the place of the app's, on a page of its origin
// that isn't the app. The laptop had its photos an hour ago.
func (d *device) putStore(s oldStore) {
	d.t.Helper()
	d.do(chromedp.Evaluate[chromedp.Void](`(async (old) => {
		const done = (q) => new Promise((ok, no) => { q.onsuccess = () => ok(q.result); q.onerror = () => no(q.error); });
		await done(indexedDB.deleteDatabase("panside"));
		const bytes = (b) => Uint8Array.from(atob(b), (c) => c.charCodeAt(0)).buffer;
		const open = indexedDB.open("panside", old.version);
		open.onupgradeneeded = () => {
			for (const [name, s] of Object.entries(old.stores)) {
				const store = open.result.createObjectStore(name, { keyPath: s.keyPath, autoIncrement: s.autoIncrement });
				for (const i of s.indexes) store.createIndex(i.name, i.keyPath, { unique: i.unique, multiEntry: i.multiEntry });
				for (const row of s.rows) {
					if (row.bytes) row.bytes = bytes(row.bytes);
					if (row.sentAt) row.sentAt = Date.now() - 3_600_000;
					store.add(row);
				}
			}
		};
		(await done(open)).close();
		window.put = true;
	})(` + s.text + `); undefined`))
	d.until("the database in its place", `window.put`)
}

// TestAStoreOfBeforeOpensAndSyncs: a phone's database as the app before the
// core's own sync left it, with entries and photos that the laptop has, others
// that it hasn't, and a photo of which it has half. It opens, nothing is sent
// twice or lost, and the laptop has it all.
func TestAStoreOfBeforeOpensAndSyncs(t *testing.T) {
	t.Parallel()
	raw, err := os.ReadFile("../../testdata/db/phone-store-1.json")
	if err != nil {
		t.Fatal(err)
	}
	old := oldStore{text: string(raw)}
	if err := json.Unmarshal(raw, &old); err != nil {
		t.Fatal(err)
	}
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()

	// The laptop as that phone met it last.
	sent := []json.RawMessage{}
	finds := map[string]bool{}
	for _, e := range old.Stores.Entries.Rows {
		if e.Sent == 1 {
			sent = append(sent, json.RawMessage(e.Raw))
		}
		if e.Kind == "find" {
			finds[e.Record] = true
		}
	}
	var receipt struct {
		Stored int
		Cursor string
	}
	s.call(http.MethodPost, "/api/v1/journal", map[string]any{"v": 1, "receipt": "", "entries": sent}, &receipt)
	for _, k := range old.Stores.Kept.Rows {
		if k.Key == "sync" && k.Cursor != receipt.Cursor {
			t.Fatalf("the laptop is at %s, the phone at %s", receipt.Cursor, k.Cursor)
		}
	}
	for i, p := range old.Stores.Photos.Rows {
		b, err := base64.StdEncoding.DecodeString(p.Bytes)
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case p.Sent == 1:
			s.putPhoto(p.SHA256, b, len(b))
		case i == 0:
			s.putPhoto(p.SHA256, b[:len(b)/2], len(b))
		}
	}

	phone := newDevice(t, startBrowser(t), phoneScreen)
	phone.open(s.offer())
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	phone.open(s.api + "/api/v1/openapi.json")
	phone.putStore(old)
	phone.open(s.api + "/#/finds")
	phone.until("its finds", fmt.Sprintf(`document.querySelector('[data-part="total"]')?.dataset.n === "%d"`, len(finds)))
	phone.until("nothing left that is only on the phone", `!document.querySelector('[data-part="only-here"]')`)
	s.checkFinds(len(finds))

	phone.ask(storeLeft)
	phone.until("a look into the store", `window.left`)
	left := phone.ask(`window.left`)
	var got struct {
		Entries, Unsent, Photos, Kept int
		Cursor, Receipt               string
	}
	if err := json.Unmarshal([]byte(left), &got); err != nil {
		t.Fatal(err)
	}
	var page struct {
		Cursor  string
		Entries []json.RawMessage
	}
	s.call(http.MethodGet, "/api/v1/journal?after=", nil, &page)
	if len(page.Entries) != got.Entries || got.Entries < len(old.Stores.Entries.Rows) || got.Unsent != 0 {
		t.Errorf("%d entries on the laptop, of %d before; on the phone %+v", len(page.Entries), len(old.Stores.Entries.Rows), got)
	}
	// Had its marks been forgotten, these would have been sent and marked anew.
	if got.Photos != len(old.Stores.Photos.Rows) || got.Kept != 2 || got.Cursor != page.Cursor {
		t.Errorf("on the phone %+v; the laptop is at %s", got, page.Cursor)
	}
}

// storeLeft counts what is in the database; Kept are photos that the laptop has
// had since an hour.
const storeLeft = `((async () => {
	const done = (q) => new Promise((ok, no) => { q.onsuccess = () => ok(q.result); q.onerror = () => no(q.error); });
	const db = await done(indexedDB.open("panside"));
	const all = (name) => done(db.transaction(name).objectStore(name).getAll());
	const [entries, photos, kept] = [await all("entries"), await all("photos"), await all("kept")];
	const marks = kept.find((k) => k.key === "sync") ?? {};
	window.left = JSON.stringify({
		Entries: entries.length,
		Unsent: entries.filter((e) => !e.sent).length + photos.filter((p) => !p.sent).length,
		Photos: photos.length,
		Kept: photos.filter((p) => p.sentAt && Date.now() - p.sentAt > 1_800_000).length,
		Cursor: marks.cursor,
		Receipt: marks.receipt,
	});
})(), "")`

// putPhoto sends the first bytes of a photo of a size.
func (s *server) putPhoto(sum string, part []byte, size int) {
	s.t.Helper()
	req, err := http.NewRequest(http.MethodPut, s.api+"/api/v1/photos/"+sum, bytes.NewReader(part))
	if err != nil {
		s.t.Fatal(err)
	}
	req.Header.Set("Authorization", "Bearer "+s.token)
	req.Header.Set("Origin", s.api)
	req.Header.Set("Content-Type", "image/jpeg")
	req.Header.Set("Content-Range", fmt.Sprintf("bytes 0-%d/%d", len(part)-1, size))
	resp, err := s.client.Do(req)
	if err != nil {
		s.t.Fatal(err)
	}
	if err := resp.Body.Close(); err != nil || resp.StatusCode != http.StatusOK {
		s.t.Fatalf("photo %s: %s %v", sum, resp.Status, err)
	}
}
