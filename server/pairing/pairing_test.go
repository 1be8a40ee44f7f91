package pairing_test

import (
	"bytes"
	"context"
	"encoding/base64"
	"errors"
	"log/slog"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/pairing"
)

// memory is a Store in memory; package conformance holds it to what the SQLite one
// does.
type memory struct {
	mu     sync.Mutex
	byHash map[[32]byte]device.Device
	fail   error
	saw    int
}

func (m *memory) AddDevice(_ context.Context, d device.Device, hash [32]byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.fail != nil {
		return m.fail
	}
	m.byHash[hash] = d
	return nil
}

func (m *memory) DeviceByToken(_ context.Context, hash [32]byte) (device.Device, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	d, ok := m.byHash[hash]
	if !ok {
		return d, fault.New(fault.NotJoined, say.New("not joined"))
	}
	return d, nil
}

func (m *memory) Devices(context.Context) ([]device.Device, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var all []device.Device
	for _, d := range m.byHash {
		all = append(all, d)
	}
	slices.SortFunc(all, func(a, b device.Device) int { return a.Created.Compare(b.Created) })
	return all, nil
}

func (m *memory) RenameDevice(_ context.Context, id, name string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for hash, d := range m.byHash {
		if d.ID == id {
			d.Name = name
			m.byHash[hash] = d
			return nil
		}
	}
	return fault.New(fault.NotFound, say.New("not found"))
}

func (m *memory) EndDevice(_ context.Context, id string, _ time.Time) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for hash, d := range m.byHash {
		if d.ID == id {
			delete(m.byHash, hash)
			return nil
		}
	}
	return fault.New(fault.NotFound, say.New("not found"))
}

func (m *memory) SawDevice(_ context.Context, id string, at time.Time) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.saw++
	for hash, d := range m.byHash {
		if d.ID == id {
			d.LastSeen = at
			m.byHash[hash] = d
		}
	}
	return m.fail
}

type table struct {
	*pairing.Pairing
	store   *memory
	now     time.Time
	log     bytes.Buffer
	ended   []string
	renamed []string // id and name
}

func setTable() *table {
	tb := &table{store: &memory{byHash: map[[32]byte]device.Device{}}, now: time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)}
	tb.Pairing = pairing.New(tb.store, pairing.Options{
		Now:     func() time.Time { return tb.now },
		Log:     slog.New(slog.NewTextHandler(&tb.log, &slog.HandlerOptions{Level: slog.LevelDebug})),
		Ended:   func(id string) { tb.ended = append(tb.ended, id) },
		Renamed: func(id, name string) { tb.renamed = append(tb.renamed, id+" "+name) },
	})
	return tb
}

func code(err error) fault.Code {
	if err == nil {
		return ""
	}
	return fault.Of(err).Code
}

// TestADeskJoinsHereOnly: the desk lets phones in and ends them, so its code is
// good for this computer's own browser alone, unless the user said otherwise.
func TestADeskJoinsHereOnly(t *testing.T) {
	tb := setTable()
	desk, phone := tb.Offer(device.Desk, time.Minute), tb.Offer(device.Phone, time.Minute)
	for range 20 { // a right code is no wrong one, however often it comes
		if token, _, err := tb.Join(t.Context(), desk, "", false); code(err) != fault.DeskOnly || token != "" {
			t.Fatalf("from elsewhere: %v", err)
		}
	}
	if _, d, err := tb.Join(t.Context(), phone, "", false); err != nil || d.Role != device.Phone {
		t.Errorf("a phone from elsewhere: %v", err)
	}
	if _, d, err := tb.Join(t.Context(), desk, "", true); err != nil || d.Role != device.Desk {
		t.Errorf("from here, after that: %v", err)
	}
}

func TestASecretOpensOnceForItsRole(t *testing.T) {
	for _, role := range []device.Role{device.Phone, device.Desk} {
		tb := setTable()
		secret := tb.Offer(role, time.Minute)
		token, d, err := tb.Join(t.Context(), secret, " Kitchen\nphone ", true)
		if err != nil {
			t.Fatal(err)
		}
		if d.Role != role || d.Name != "Kitchen phone" || d.ID == "" || !d.Created.Equal(tb.now) {
			t.Errorf("joined as %+v", d)
		}
		if who, err := tb.Who(t.Context(), token); err != nil || who.ID != d.ID {
			t.Errorf("the token belongs to %+v, %v", who, err)
		}
		if _, _, err := tb.Join(t.Context(), secret, "again", true); code(err) != fault.SecretExpired {
			t.Errorf("used again: %v", err)
		}
	}
}

func TestSecretsAndTokensAreLongAndAllDifferent(t *testing.T) {
	tb := setTable()
	seen := map[string]bool{}
	for range 200 {
		secret := tb.Offer(device.Phone, time.Minute)
		token, _, err := tb.Join(t.Context(), secret, "", true)
		if err != nil {
			t.Fatal(err)
		}
		for text, bits := range map[string]int{secret: 128, token: 256} {
			raw, err := base64.RawURLEncoding.DecodeString(text)
			if err != nil || len(raw)*8 != bits {
				t.Fatalf("%q has %d bits, want %d (%v)", text, len(raw)*8, bits, err)
			}
			if seen[text] {
				t.Fatal("the same secret twice")
			}
			seen[text] = true
		}
	}
}

func TestASecretEnds(t *testing.T) {
	tb := setTable()
	secret := tb.Offer(device.Phone, time.Minute)
	tb.now = tb.now.Add(time.Minute - 1)
	other := tb.Offer(device.Phone, time.Minute)
	tb.now = tb.now.Add(1)
	if _, _, err := tb.Join(t.Context(), secret, "", true); code(err) != fault.SecretExpired {
		t.Errorf("after its minute: %v", err)
	}
	if _, _, err := tb.Join(t.Context(), other, "", true); err != nil {
		t.Errorf("the other one, still within: %v", err)
	}
}

// TestAThousandGuesses: after ten wrong ones nothing joins, not even with the
// right secret, until a fresh one is offered.
func TestAThousandGuesses(t *testing.T) {
	tb := setTable()
	right := tb.Offer(device.Phone, time.Hour)
	for i := range 1000 {
		_, _, err := tb.Join(t.Context(), strings.Repeat("A", 22), "guess", true)
		want := fault.SecretExpired
		if i >= 10 {
			want = fault.TooManyTries
		}
		if code(err) != want {
			t.Fatalf("guess %d: %v, want %s", i+1, err, want)
		}
	}
	if _, _, err := tb.Join(t.Context(), right, "", true); code(err) != fault.TooManyTries {
		t.Errorf("the right secret behind a closed window: %v", err)
	}
	if secret, err := tb.OfferWhileOpen(device.Phone, time.Hour); secret != "" || code(err) != fault.TooManyTries || !tb.Closed() {
		t.Errorf("a page that renews its code by itself gets %q, %v", secret, err)
	}
	fresh := tb.Offer(device.Phone, time.Hour)
	if tb.Closed() {
		t.Error("still closed after a person asked for a code")
	}
	if _, _, err := tb.Join(t.Context(), right, "", true); code(err) != fault.SecretExpired {
		t.Errorf("a secret of the closed window came back: %v", err)
	}
	if _, _, err := tb.Join(t.Context(), fresh, "", true); err != nil {
		t.Errorf("the fresh secret: %v", err)
	}
}

// TestARenewedCodeIsAsGood as one that a person asked for.
func TestARenewedCodeIsAsGood(t *testing.T) {
	tb := setTable()
	secret, err := tb.OfferWhileOpen(device.Phone, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	if _, d, err := tb.Join(t.Context(), secret, "", true); err != nil || d.Role != device.Phone {
		t.Errorf("%+v, %v", d, err)
	}
}

func TestOldestSecretGoesFirst(t *testing.T) {
	tb := setTable()
	first := tb.Offer(device.Phone, time.Hour)
	second := tb.Offer(device.Phone, time.Hour)
	for range 15 {
		tb.Offer(device.Phone, time.Hour)
	}
	if _, _, err := tb.Join(t.Context(), first, "", true); code(err) != fault.SecretExpired {
		t.Errorf("the oldest of 17: %v", err)
	}
	if _, _, err := tb.Join(t.Context(), second, "", true); err != nil {
		t.Errorf("the second oldest: %v", err)
	}
}

func TestAFailingStoreDoesNotUseUpTheSecret(t *testing.T) {
	tb := setTable()
	secret := tb.Offer(device.Phone, time.Minute)
	tb.store.fail = errors.New("disk full")
	if _, _, err := tb.Join(t.Context(), secret, "", true); !errors.Is(err, tb.store.fail) {
		t.Fatalf("got %v", err)
	}
	tb.store.fail = nil
	if _, _, err := tb.Join(t.Context(), secret, "", true); err != nil {
		t.Errorf("second try: %v", err)
	}
}

func TestOneSecretManyAtOnce(t *testing.T) {
	tb := setTable()
	secret := tb.Offer(device.Phone, time.Minute)
	var joined sync.Map
	var wg sync.WaitGroup
	for i := range 8 {
		wg.Go(func() {
			if token, _, err := tb.Join(t.Context(), secret, "", true); err == nil {
				joined.Store(i, token)
			}
		})
	}
	wg.Wait()
	n := 0
	joined.Range(func(any, any) bool { n++; return true })
	if n != 1 {
		t.Errorf("one secret let %d devices in", n)
	}
}

func TestAnEndedDeviceIsNobody(t *testing.T) {
	tb := setTable()
	token, d, err := tb.Join(t.Context(), tb.Offer(device.Phone, time.Minute), "", true)
	if err != nil {
		t.Fatal(err)
	}
	if err := tb.End(t.Context(), d.ID); err != nil {
		t.Fatal(err)
	}
	if len(tb.ended) != 1 || tb.ended[0] != d.ID {
		t.Errorf("told of the end of %v, want %s", tb.ended, d.ID)
	}
	if _, err := tb.Who(t.Context(), token); code(err) != fault.NotJoined {
		t.Errorf("its token: %v", err)
	}
	if err := tb.End(t.Context(), d.ID); code(err) != fault.NotFound {
		t.Errorf("ended twice: %v", err)
	}
	for _, token := range []string{"", "x", strings.Repeat("A", 43)} {
		if _, err := tb.Who(t.Context(), token); code(err) != fault.NotJoined {
			t.Errorf("token %q: %v", token, err)
		}
	}
}

// TestPhonesOfOneKindGetNamesOfTheirOwn, since a person has to know which to end.
func TestPhonesOfOneKindGetNamesOfTheirOwn(t *testing.T) {
	tb := setTable()
	for _, want := range []string{"Phone", "Phone 2", "Phone 3"} {
		if _, d, err := tb.Join(t.Context(), tb.Offer(device.Phone, time.Minute), "Phone", true); err != nil || d.Name != want {
			t.Errorf("joined as %q, %v, want %q", d.Name, err, want)
		}
	}
}

func TestRename(t *testing.T) {
	tb := setTable()
	token, d, err := tb.Join(t.Context(), tb.Offer(device.Phone, time.Minute), "first", true)
	if err != nil {
		t.Fatal(err)
	}
	for _, step := range []struct{ typed, want string }{{" Kitchen\tphone ", "Kitchen phone"}, {" \n", "Kitchen phone"}} {
		got, err := tb.Rename(t.Context(), d, step.typed)
		if err != nil || got.Name != step.want {
			t.Errorf("%q gives %+v, %v", step.typed, got, err)
		}
		if d, err = tb.Who(t.Context(), token); err != nil || d.Name != step.want {
			t.Errorf("stored %+v, %v", d, err)
		}
	}
	if want := []string{d.ID + " Kitchen phone", d.ID + " Kitchen phone"}; !slices.Equal(tb.renamed, want) {
		t.Errorf("told of the names %q, want %q", tb.renamed, want)
	}
	if _, err := tb.Rename(t.Context(), device.Device{ID: "nobody"}, "x"); code(err) != fault.NotFound {
		t.Errorf("renaming nobody: %v", err)
	}
}

// TestATokenLasts: time alone ends no joining, used or not.
func TestATokenLasts(t *testing.T) {
	tb := setTable()
	token, d, err := tb.Join(t.Context(), tb.Offer(device.Phone, time.Minute), "", true)
	if err != nil {
		t.Fatal(err)
	}
	for range 10 {
		tb.now = tb.now.AddDate(1, 0, 0)
		if who, err := tb.Who(t.Context(), token); err != nil || who.ID != d.ID {
			t.Fatalf("at %v: %+v, %v", tb.now, who, err)
		}
	}
}

func TestLastSeenIsWrittenOnceAMinute(t *testing.T) {
	tb := setTable()
	token, _, err := tb.Join(t.Context(), tb.Offer(device.Phone, time.Minute), "", true)
	if err != nil {
		t.Fatal(err)
	}
	for range 121 { // every second for two minutes
		if _, err := tb.Who(t.Context(), token); err != nil {
			t.Fatal(err)
		}
		tb.now = tb.now.Add(time.Second)
	}
	if tb.store.saw != 2 {
		t.Errorf("written %d times in two minutes, want 2", tb.store.saw)
	}
	tb.store.fail = errors.New("disk full")
	tb.now = tb.now.Add(time.Hour)
	if _, err := tb.Who(t.Context(), token); err != nil {
		t.Errorf("a store that can't note the time locks the phone out: %v", err)
	}
}

func TestNoSecretInTheLog(t *testing.T) {
	tb := setTable()
	secret := tb.Offer(device.Phone, time.Hour)
	token, d, err := tb.Join(t.Context(), secret, "", true)
	if err != nil {
		t.Fatal(err)
	}
	open := tb.Offer(device.Desk, time.Hour)
	for range 12 {
		tb.Join(t.Context(), "wrong-secret", "", true)
	}
	if err := tb.End(t.Context(), d.ID); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{secret, token, open, "wrong-secret"} {
		if strings.Contains(tb.log.String(), text) {
			t.Errorf("the log holds %q", text)
		}
	}
	if !strings.Contains(tb.log.String(), "joining is closed") {
		t.Error("the log says nothing of the closed window")
	}
}
