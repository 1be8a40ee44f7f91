package livehub

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

func TestWeightsArriveInOrder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		conn, _ := b.join("token-a")
		first := b.next(conn)
		if first.Phase != mass.PhaseNone || first.MeanG != nil {
			t.Errorf("before any reading: %+v", first)
		}
		last := first.Seq
		for g := range 20 {
			b.Publish(load(mass.Grams(g)))
			m := b.next(conn)
			if m.Seq <= last || m.MeanG == nil || *m.MeanG != float64(g) {
				t.Fatalf("after %d: %+v, want %v g", last, m, g)
			}
			last = m.Seq
		}
		if s := b.Stats(); s.Phones != 1 || s.Dropped != 0 {
			t.Errorf("stats %+v", s)
		}
	})
}

// TestSlowPhoneDelaysNobody: one phone reads nothing. Publishing never waits,
// the other phone gets each weight, and the slow one wakes up to the newest.
func TestSlowPhoneDelaysNobody(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		slow, _ := b.join("token-a")
		quick, _ := b.join("token-b")
		b.next(quick)
		synctest.Wait() // the slow one's first message now hangs in its writer
		began := time.Now()
		for g := range 100 {
			b.Publish(load(mass.Grams(g)))
			if m := b.next(quick); *m.MeanG != float64(g) {
				t.Fatalf("the quick phone got %+v, want %v g", m, g)
			}
		}
		if took := time.Since(began); took != 0 {
			t.Errorf("publishing waited %v", took)
		}
		if d := b.Stats().Dropped; d != 99 {
			t.Errorf("%d dropped, want all but the newest: 99", d)
		}
		b.next(slow) // the one that hung
		if m := b.next(slow); m.MeanG == nil || *m.MeanG != 99 {
			t.Errorf("the slow phone wakes up to %+v, want the newest", m)
		}
	})
}

// TestAgeIsThatOfSending: a weight that waited for a slow phone says so.
func TestAgeIsThatOfSending(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		slow, _ := b.join("token-a")
		synctest.Wait()
		b.Publish(load(3.11))
		time.Sleep(4 * time.Second) // of the bubble
		b.next(slow)
		if m := b.next(slow); m.AgeMS != 4000 {
			t.Errorf("age %d ms, want 4000", m.AgeMS)
		}
	})
}

func TestHeartbeatTellsTheAge(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		go b.Run(ctx)
		conn, _ := b.join("token-a")
		b.Publish(load(3.11))
		began := time.Now()
		last, beats := message{}, 0
		for time.Since(began) < 10*time.Second {
			before := time.Now()
			m := b.next(conn)
			if gap := time.Since(before); gap > time.Second {
				t.Fatalf("nothing for %v", gap)
			}
			if m.MeanG == nil {
				continue // from before the weight
			}
			if m.Seq <= last.Seq || m.AgeMS != time.Since(began).Milliseconds() {
				t.Fatalf("after %v: %+v behind %+v", time.Since(began), m, last)
			}
			last = m
			beats++
		}
		if beats < 10 {
			t.Errorf("%d messages in ten seconds", beats)
		}
	})
}

// TestAgeWithoutAReading: a problem has no reading whose age could count.
func TestAgeWithoutAReading(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		conn, _ := b.join("token-a")
		b.next(conn)
		b.Publish(State{Problem: fault.New(fault.NoScale, say.New("port-none"))})
		if m := b.next(conn); m.AgeMS != 0 {
			t.Errorf("age %d ms", m.AgeMS)
		}
	})
}

// TestHeartbeatRestsWhileWeightsFlow: it repeats only what grew old.
func TestHeartbeatRestsWhileWeightsFlow(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		go b.Run(ctx)
		for range 100 {
			b.Publish(load(3.11))
			time.Sleep(100 * time.Millisecond) // of the bubble
		}
		b.mu.Lock()
		defer b.mu.Unlock()
		if b.newest.seq != 101 {
			t.Errorf("%d messages for 100 weights", b.newest.seq-1)
		}
	})
}

func TestHelloMustComeWithinFiveSeconds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		conn, served := b.dial()
		began := time.Now()
		b.wantBye(conn, fault.NotJoined, websocket.ClosePolicyViolation)
		if waited := time.Since(began); waited != 5*time.Second {
			t.Errorf("waited %v", waited)
		}
		<-served
	})
}

func TestBadHellosAreSentAway(t *testing.T) {
	for what, send := range map[string]struct {
		kind int
		text string
	}{
		"wrong token": {websocket.TextMessage, `{"type":"hello","token":"token-c"}`},
		"no token":    {websocket.TextMessage, `{"type":"hello"}`},
		"not a hello": {websocket.TextMessage, `{"type":"weight","token":"token-a"}`},
		"not JSON":    {websocket.TextMessage, `token-a`},
		"binary":      {websocket.BinaryMessage, `{"type":"hello","token":"token-a"}`},
	} {
		t.Run(what, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				b := newBubble(t)
				conn, served := b.dial()
				if err := conn.WriteMessage(send.kind, []byte(send.text)); err != nil {
					t.Fatal(err)
				}
				b.wantBye(conn, fault.NotJoined, websocket.ClosePolicyViolation)
				<-served
			})
		})
	}
}

func TestBrokenDoorTellsNothingOfItsInside(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		b.opt.Auth = func(context.Context, string) (device.Device, error) {
			return device.Device{}, errors.New("disk at /secret/path failed")
		}
		conn, _ := b.join("token-a")
		_, text, err := conn.ReadMessage()
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(text), "/secret/path") || !strings.Contains(string(text), `"internal"`) {
			t.Errorf("the phone reads %s", text)
		}
	})
}

func TestOversizeFrameIsCutOff(t *testing.T) {
	for _, joined := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			b := newBubble(t)
			conn, served := b.dial()
			if joined {
				if err := conn.WriteJSON(map[string]string{"type": "hello", "token": "token-a"}); err != nil {
					t.Fatal(err)
				}
				b.next(conn)
			}
			go conn.WriteMessage(websocket.TextMessage, []byte(strings.Repeat(" ", maxFrame+1)))
			for {
				_, _, err := conn.ReadMessage()
				if err == nil {
					continue // the goodbye of a hello that didn't come
				}
				if !websocket.IsCloseError(err, websocket.CloseMessageTooBig) {
					t.Errorf("joined %v: closed by %v", joined, err)
				}
				break
			}
			conn.Close()
			<-served
		})
	}
}

func TestWhatComesAfterTheHelloIsIgnored(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		conn, _ := b.join("token-a")
		b.next(conn)
		for _, text := range []string{`{"type":"later"}`, "garbage", ""} {
			if err := conn.WriteMessage(websocket.TextMessage, []byte(text)); err != nil {
				t.Fatal(err)
			}
		}
		b.Publish(load(3.11))
		if m := b.next(conn); m.MeanG == nil {
			t.Errorf("got %+v", m)
		}
	})
}

func TestAnEndedDeviceIsClosedAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		one, servedOne := b.join("token-a")
		two, servedTwo := b.join("token-a")
		other, _ := b.join("token-b")
		for _, c := range []*websocket.Conn{one, two, other} {
			b.next(c)
		}
		began := time.Now()
		b.End("a")
		b.wantBye(one, fault.NotJoined, websocket.ClosePolicyViolation)
		b.wantBye(two, fault.NotJoined, websocket.ClosePolicyViolation)
		<-servedOne
		<-servedTwo
		if took := time.Since(began); took != 0 {
			t.Errorf("took %v", took)
		}
		b.Publish(load(3.11))
		if m := b.next(other); m.MeanG == nil {
			t.Errorf("the other device got %+v", m)
		}
	})
}

func TestAnEndedDeviceThatTakesNothingIsClosedToo(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		_, served := b.join("token-a") // never reads: the writer hangs
		synctest.Wait()
		began := time.Now()
		b.End("a")
		<-served
		if took := time.Since(began); took > byeWithin {
			t.Errorf("took %v", took)
		}
	})
}

// TestEndedBetweenHelloAndListing: the device is ended after its token was
// checked and before the hub knows its socket.
func TestEndedBetweenHelloAndListing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		b.door.onAsk = func(n int) {
			if n == 2 {
				delete(b.door.devices, "token-a")
			}
		}
		conn, served := b.join("token-a")
		b.wantBye(conn, fault.NotJoined, websocket.ClosePolicyViolation)
		<-served
	})
}

// TestDeadPhoneIsDropped: the phone reads, but its pongs never come, as when
// only one direction of a radio link works.
func TestDeadPhoneIsDropped(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		conn, served := b.join("token-a")
		conn.SetPingHandler(func(string) error { return nil })
		began := time.Now()
		go func() {
			for {
				if _, _, err := conn.ReadMessage(); err != nil {
					return
				}
			}
		}()
		<-served
		if took := time.Since(began); took != heardWithin {
			t.Errorf("dropped after %v", took)
		}
		if n := b.Stats().Phones; n != 0 {
			t.Errorf("%d phones still listed", n)
		}
	})
}

func TestLivingPhoneStays(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		conn, served := b.join("token-a")
		go func() { // answers pings
			for {
				if _, _, err := conn.ReadMessage(); err != nil {
					return
				}
			}
		}()
		time.Sleep(10 * time.Minute) // of the bubble
		select {
		case <-served:
			t.Error("dropped")
		default:
		}
	})
}

func TestPhoneThatTakesNothingIsDropped(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		_, served := b.join("token-a")
		began := time.Now()
		<-served
		if took := time.Since(began); took != writeWithin {
			t.Errorf("dropped after %v", took)
		}
	})
}

func TestCloseSaysGoodbyeAndWaits(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		joined, servedJoined := b.join("token-a")
		b.next(joined)
		_, servedSilent := b.dial() // no hello yet
		synctest.Wait()
		closed := make(chan error, 1)
		go func() { closed <- b.Close(t.Context()) }()
		b.wantBye(joined, fault.Stopping, websocket.CloseGoingAway)
		if err := <-closed; err != nil {
			t.Error(err)
		}
		<-servedJoined
		<-servedSilent
		late, _ := b.dial()
		b.wantBye(late, fault.Stopping, websocket.CloseGoingAway)
		if err := b.Close(t.Context()); err != nil {
			t.Errorf("closing twice: %v", err)
		}
	})
}

func TestByeOnTheWire(t *testing.T) {
	var m map[string]string
	if err := json.Unmarshal(encodeBye(say.English, stopping), &m); err != nil {
		t.Fatal(err)
	}
	keys := []string{}
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	if !slices.Equal(keys, []string{"code", "sentence", "type"}) || m["type"] != "bye" || m["code"] != "stopping" || m["sentence"] == "" {
		t.Errorf("the goodbye is %v", m)
	}
}

// TestNotices: a notice reaches those who are there and those who join later,
// beside the weights, and a slow phone gets the newest one.
func TestNotices(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		next := func(conn *websocket.Conn) string {
			t.Helper()
			var m struct{ Type, Cursor string }
			if err := conn.ReadJSON(&m); err != nil {
				t.Fatal(err)
			}
			return m.Type + m.Cursor
		}
		quick, _ := b.join("token-a")
		next(quick)
		slow, _ := b.join("token-b")
		synctest.Wait() // its first message hangs in its writer
		b.Notify("1.a")
		if got := next(quick); got != "notice1.a" {
			t.Errorf("got %q", got)
		}
		b.Notify("2.b")
		b.Publish(load(3.11))
		seen := []string{next(quick), next(quick)}
		slices.Sort(seen)
		if !slices.Equal(seen, []string{"notice2.b", "weight"}) {
			t.Errorf("got %q", seen)
		}
		if got := []string{next(slow), next(slow), next(slow)}; !slices.Equal(got, []string{"weight", "notice2.b", "weight"}) {
			t.Errorf("the slow phone got %q", got)
		}
		late, _ := b.join("token-a")
		if got := []string{next(late), next(late)}; !slices.Equal(got, []string{"weight", "notice2.b"}) {
			t.Errorf("who joined later got %q", got)
		}
	})
}

// TestNewsOfPhotos comes beside the journal's cursor, each time with another
// number, also while there are no entries.
func TestNewsOfPhotos(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		conn, _ := b.join("token-a")
		next := func() string {
			t.Helper()
			for {
				var m struct {
					Type, Cursor string
					Photos       int
				}
				if err := conn.ReadJSON(&m); err != nil {
					t.Fatal(err)
				}
				if m.Type == "notice" {
					return fmt.Sprint(m.Cursor, " ", m.Photos)
				}
			}
		}
		b.NotifyPhotos()
		if got := next(); got != " 1" {
			t.Errorf("got %q", got)
		}
		b.Notify("1.a")
		if got := next(); got != "1.a 1" {
			t.Errorf("got %q", got)
		}
		b.NotifyPhotos()
		if got := next(); got != "1.a 2" {
			t.Errorf("got %q", got)
		}
	})
}

// TestOneDeviceHasSixteenSockets: the seventeenth is told so, another device is
// let in, and there is room again when one leaves.
func TestOneDeviceHasSixteenSockets(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		first, _ := b.join("token-a")
		for range 15 {
			b.join("token-a")
		}
		synctest.Wait()
		over, served := b.join("token-a")
		for m := b.next(over); m.Type != "bye"; m = b.next(over) {
		}
		if _, _, err := over.ReadMessage(); !websocket.IsCloseError(err, websocket.CloseTryAgainLater) {
			t.Errorf("closed by %v", err)
		}
		<-served
		other, _ := b.join("token-b")
		if m := b.next(other); m.Type != "weight" {
			t.Errorf("the other device got %+v", m)
		}
		first.Close()
		synctest.Wait()
		again, _ := b.join("token-a")
		if m := b.next(again); m.Type != "weight" {
			t.Errorf("after one left: %+v", m)
		}
	})
}
