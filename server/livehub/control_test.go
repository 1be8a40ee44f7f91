package livehub

import (
	"context"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
)

// TestPanIsAsAgreed holds the news of the pan to the shared examples.
func TestPanIsAsAgreed(t *testing.T) {
	cook := &device.Device{ID: "phone-1", Name: "Phone in the kitchen", Role: device.Phone}
	for name, got := range map[string][]byte{
		"pan.json":      encodeControl(cook, []byte(`{"country":"US","denomination":"cent","year":0,"mint":""}`)),
		"pan-free.json": encodeControl(nil, nil),
	} {
		want, err := os.ReadFile("../../testdata/wire/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if string(got)+"\n" != string(want) {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

// table is a bubble of which everybody's news of the pan is gathered.
type table struct {
	*bubble
	news map[string][]string // by the name of who reads: who holds the pan, and for which denomination
}

func newTable(t *testing.T) (*table, context.CancelFunc) {
	b := newBubble(t)
	b.door.devices["token-c"] = device.Device{ID: "c", Role: device.Desk, Name: "laptop"}
	for _, token := range []string{"token-a", "token-b"} {
		d := b.door.devices[token]
		d.Name = "phone " + d.ID
		b.door.devices[token] = d
	}
	ctx, cancel := context.WithCancel(t.Context())
	go b.Run(ctx)
	return &table{bubble: b, news: map[string][]string{}}, cancel
}

// sit joins and gathers what it is told of the pan until the socket ends.
func (b *table) sit(who, token string) *websocket.Conn {
	conn, _ := b.join(token)
	go func() {
		for {
			var m struct {
				Type   string
				Holder *controlHolder
				Asks   struct{ Denomination string }
			}
			if conn.ReadJSON(&m) != nil {
				return
			}
			if m.Type != "pan" {
				continue
			}
			said := "free"
			if m.Holder != nil {
				said = m.Holder.Name
			}
			b.door.mu.Lock()
			b.news[who] = append(b.news[who], strings.TrimSpace(said+" "+m.Asks.Denomination))
			b.door.mu.Unlock()
		}
	}()
	synctest.Wait()
	return conn
}

func (b *table) say(conn *websocket.Conn, word string) {
	b.t.Helper()
	if err := conn.WriteMessage(websocket.TextMessage, []byte(word)); err != nil {
		b.t.Fatal(err)
	}
	time.Sleep(2 * panPause) // of the bubble
	synctest.Wait()
}

// told wants the news that somebody has read since it was last asked.
func (b *table) told(who string, want ...string) {
	b.t.Helper()
	synctest.Wait()
	b.door.mu.Lock()
	defer b.door.mu.Unlock()
	if got := b.news[who]; !slices.Equal(got, want) {
		b.t.Errorf("%s was told %q, want %q", who, got, want)
	}
	delete(b.news, who)
}

const takesForCents = `{"type":"pan","do":"take","asks":{"denomination":"cent"}}`

func TestOneHoldsThePanAndAnotherTakesItOver(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, stop := newTable(t)
		defer stop()
		a, other := b.sit("a", "token-a"), b.sit("b", "token-b")
		b.told("a") // nothing yet
		b.say(a, takesForCents)
		b.told("a", "phone a cent")
		b.told("b", "phone a cent")
		b.sit("late", "token-c")
		b.told("late", "phone a cent")

		// A tap on a phone that only watches changes nothing, nor does a try for a free pan.
		b.say(other, `{"type":"pan","do":"ask","asks":{"denomination":"dime"}}`)
		b.say(other, `{"type":"pan","do":"leave"}`)
		b.say(other, `{"type":"pan","do":"take","if_free":true}`)
		b.told("a")
		// The holder's counts.
		b.say(a, `{"type":"pan","do":"ask","asks":{"denomination":"nickel"}}`)
		b.told("b", "phone a nickel")

		// Taken over: both are told; the question goes on until the new holder asks another.
		b.told("a", "phone a nickel")
		b.say(other, `{"type":"pan","do":"take"}`)
		b.told("a", "phone b nickel")
		b.told("b", "phone b nickel")
		b.say(a, `{"type":"pan","do":"ask","asks":{"denomination":"dime"}}`)
		b.told("b")

		// A new name is told at once, and holds for what comes; nobody hears of one that doesn't hold the pan.
		b.Renamed("b", "kitchen")
		b.Renamed("a", "attic")
		b.told("a", "kitchen nickel")
		b.told("b", "kitchen nickel")

		b.say(other, `{"type":"pan","do":"leave"}`)
		b.told("a", "free nickel")
		b.say(a, `{"type":"pan","do":"take","if_free":true}`)
		b.told("b", "free nickel", "attic nickel")
	})
}

// TestPanIsFreeOnceItsHolderIsAwayForLong: a phone that is back in time keeps
// it, also with a second page open; one that isn't loses it, and all are told.
func TestPanIsFreeOnceItsHolderIsAwayForLong(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, stop := newTable(t)
		defer stop()
		b.sit("b", "token-b")
		a, page := b.sit("a", "token-a"), b.sit("a's other page", "token-a")
		b.say(a, takesForCents)
		b.told("b", "phone a cent")
		a.Close()
		time.Sleep(2 * awayFor)
		b.told("b") // its other page is there
		page.Close()
		time.Sleep(awayFor - time.Second)
		a = b.sit("a again", "token-a")
		b.told("a again", "phone a cent")
		time.Sleep(2 * awayFor)
		b.told("b")
		a.Close()
		time.Sleep(awayFor + time.Second)
		b.told("b", "free cent")
	})
}

// TestPanOfAnEndedDeviceIsFreeAtOnce, and words still under way from it don't
// count.
func TestPanOfAnEndedDeviceIsFreeAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, stop := newTable(t)
		defer stop()
		b.sit("b", "token-b")
		a := b.sit("a", "token-a")
		b.say(a, takesForCents)
		b.End("a")
		b.told("b", "phone a cent", "free cent")
		_ = a.WriteMessage(websocket.TextMessage, []byte(takesForCents)) // the socket may be closed already
		time.Sleep(2 * byeWithin)
		b.told("b")
	})
}

// TestWordsThatAreNone change nothing and end nothing.
func TestWordsThatAreNone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, stop := newTable(t)
		defer stop()
		a := b.sit("a", "token-a")
		b.say(a, takesForCents)
		b.told("a", "phone a cent")
		for _, word := range []string{
			``, `pan`, `[]`, `{"type":"pan"}`, `{"type":"pan","do":"sell"}`, `{"type":"pan","do":7}`,
			`{"type":"weight","do":"take"}`, `{"type":"pan","do":"take","if_free":"yes"}`,
		} {
			b.say(a, word)
		}
		b.told("a")
		// A question that is no object, or far too long, is left out; the old one stays.
		for _, asks := range []string{`"cent"`, `[1]`, `7`, `null`, `{"a":"` + strings.Repeat("x", maxAsks) + `"}`} {
			b.say(a, `{"type":"pan","do":"ask","asks":`+asks+`}`)
		}
		b.told("a", "phone a cent", "phone a cent", "phone a cent", "phone a cent", "phone a cent")
	})
}

// TestChattyPhoneIsSlowedDown: a thousand words about the pan hold up nobody
// else, and the last one counts.
func TestChattyPhoneIsSlowedDown(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, stop := newTable(t)
		defer stop()
		a := b.sit("a", "token-a")
		b.sit("b", "token-b")
		began := time.Now()
		for range 1000 {
			if err := a.WriteMessage(websocket.TextMessage, []byte(takesForCents)); err != nil {
				t.Fatal(err)
			}
		}
		b.say(a, `{"type":"pan","do":"ask","asks":{"denomination":"dime"}}`)
		if took := time.Since(began); took < 999*panPause {
			t.Errorf("a thousand words were heard in %v", took)
		}
		b.door.mu.Lock()
		last := b.news["b"][len(b.news["b"])-1]
		b.door.mu.Unlock()
		if last != "phone a dime" {
			t.Errorf("the last news is %q", last)
		}
	})
}
