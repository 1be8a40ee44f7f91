package sync_test

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/sync"
	"panside/internal/sync/synctest"
)

// TestWhateverGetsLost: in whatever order requests and answers are lost, cut or
// come twice, the store fails, the app ends and the laptop is put back, in the
// end both phones and the laptop have all entries and all photos, and one quiet
// round has no more requests than there is to say.
func TestWhateverGetsLost(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(name string, below int) int { return rapid.IntRange(0, below-1).Draw(rt, name) }
		laptop := synctest.NewLaptop()
		phones := []*phone{newPhone(t, 1, laptop), newPhone(t, 2, laptop)}
		photos := map[string][]byte{}
		quiet := false
		var late []synctest.Request
		laptop.Before = func(_ int, q synctest.Request) bool {
			if quiet {
				return true
			}
			switch draw("request", 8) {
			case 0:
				return false
			case 1:
				late = append(late, q)
			case 2:
				if len(late) > 0 { // one of before arrives now
					i := draw("late", len(late))
					again := late[i]
					late = slices.Delete(late, i, i+1)
					laptop.Serve(again)
				}
			}
			return true
		}
		laptop.After = func(int, synctest.Request) bool { return quiet || draw("answer", 8) > 0 }
		written := 0
		for range draw("acts", 25) {
			p := phones[draw("phone", 2)]
			p.limit = sync.Limits{Batch: 1 + draw("batch", 3), Page: 1 + draw("page", 3), Part: int64(1 + draw("part", 40))}
			p.m.Limit(p.limit)
			p.store.Used = float64(draw("used", 2))
			p.alone = draw("alone", 10) > 0
			p.at = func(sync.Step) bool { return draw("ends", 40) > 0 }
			p.fails = func(sync.Step) bool { return draw("fails", 20) == 0 }
			p.now += int64(draw("time", 40)) * day
			switch draw("act", 8) {
			default:
				written++
				pic := fmt.Appendf(nil, "picture %d of some length", written)
				photos[synctest.SumOf(pic)] = pic
				p.write(fmt.Sprint(written), pic)
			case 0, 1, 2:
				p.round()
			case 3: // the laptop is put back; what the phones gave away stays
				if n := len(laptop.Entries); n > 0 && draw("back", 3) == 0 {
					laptop.Life++
					laptop.Entries = laptop.Entries[:draw("to", n)]
				}
			case 4:
				p.begin()
			}
		}

		quiet = true
		for range 3 {
			for _, p := range phones {
				p.at, p.fails, p.alone, p.store.Used = nil, nil, true, 0
				before := len(laptop.Asked)
				if end := p.round(); end.Is != sync.Well {
					rt.Fatalf("a quiet round ended with %+v", end)
				}
				// Each entry and page once, or three times where the laptop was put
				// back; each photo's parts, its state before and after.
				entries := len(laptop.Entries) + len(p.store.Entries)
				if most := 20 + 4*entries + 30*len(photos); len(laptop.Asked)-before > most {
					rt.Errorf("%d requests for %d entries and %d photos", len(laptop.Asked)-before, entries, len(photos))
				}
			}
		}
		want := sorted(notesOf(t, laptop))
		if len(want) != written || len(slices.Compact(slices.Clone(want))) != written {
			rt.Errorf("%d values written, on the laptop %v", written, want)
		}
		for i, p := range phones {
			if got := sorted(p.notes()); !slices.Equal(got, want) || p.store.Unsent()+p.unsentPhotos() > 0 {
				rt.Errorf("phone %d: %v with %d entries and %d photos only here; the laptop %v", i, got, p.store.Unsent(), p.unsentPhotos(), want)
			}
		}
		for sum, b := range photos {
			if !slices.Equal(laptop.Photos[sum], b) {
				rt.Errorf("photo %s is gone", b)
			}
		}
		before := len(laptop.Asked)
		if phones[0].round(); len(laptop.Asked)-before > 4 {
			rt.Errorf("with nothing new: %v", laptop.Asked[before:])
		}
	})
}

// FuzzAnswer gives a machine that has something to send, to fetch and to free
// whatever bytes as answers. It neither hangs nor loses anything, and sends no
// more than a bounded number of requests.
func FuzzAnswer(f *testing.F) {
	receipt := `{"v":1,"stored":2,"known":0,"refused":[],"cursor":"2.aa","restart":false}`
	page := `{"v":1,"entries":[],"cursor":"2.aa","more":false,"restart":false}`
	f.Add(200, []byte(receipt), []byte(page), []byte(`{"photos":[]}`), []byte(`{"missing":[]}`))
	f.Add(200, []byte(receipt), []byte(`{"v":1,"entries":[{"id":"a.1"},null,7],"cursor":"\u0000&=%","more":true,"restart":true}`), []byte(`{"photos":[{"photo":"x","why":"gone"}]}`), []byte(`{"have":-1}`))
	f.Add(409, []byte(`{"error":{"code":"forked"}}`), []byte(`{"error":{"code":"photo-torn"}}`), []byte(`[]`), []byte(``))
	f.Add(200, []byte(`{"v":1,"stored":0,"refused":[{"index":0,"code":"forked"},{"index":1,"code":"forked"}],"cursor":"1.a"}`), []byte(page), []byte(`null`), []byte(`{"have":1e9,"complete":true,"missing":["x"],"verified":["y"]}`))
	f.Fuzz(func(t *testing.T, status int, a, b, c, d []byte) {
		p := newPhone(t, 1, nil)
		p.m.Limit(sync.Limits{Part: 4})
		p.write("1", picture(1, 10))
		p.write("2", picture(2, 10))
		sent := picture(3, 10)
		p.store.Photos[synctest.SumOf(sent)] = synctest.Photo{Bytes: sent, Sent: true, SentAt: 1}
		bodies := [][]byte{a, b, c, d}
		n := 0
		end := p.with(func(q synctest.Request) (int, []byte) {
			if n++; n > 400 {
				t.Fatal("it asks for ever")
			}
			if q.Path == "" || q.Method == "" {
				t.Errorf("a request without a path: %+v", q)
			}
			return status, bodies[n%4]
		})
		if end.Is == sync.Never || end.Is == sync.Refused && end.Code == "" {
			t.Errorf("%+v", end)
		}
		if notes := sorted(p.notes()); fmt.Sprint(notes[:2]) != "[1 2]" {
			t.Errorf("what was written is %v", notes)
		}
		if status != 200 && len(p.store.Photos) < 3 {
			t.Error("a photo was freed without an answer")
		}
	})
}
