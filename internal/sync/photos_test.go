package sync_test

import (
	"fmt"
	"strings"
	"testing"

	"panside/internal/journal"
	"panside/internal/sync"
	"panside/internal/sync/synctest"
)

const day = 24 * 3600 * 1000

func puts(l *synctest.Laptop) (n int) {
	for _, q := range l.Asked {
		if strings.HasPrefix(q, "PUT ") {
			n++
		}
	}
	return n
}

func TestAPhotoGoesOnFromWhereTheLaptopHasIt(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.m.Limit(sync.Limits{Part: 64})
	photo := picture(1, 3*64)
	p.write("1", photo)
	laptop.Before = func(_ int, q synctest.Request) bool { return q.Method != "PUT" || puts(laptop) != 2 }
	p.round()
	same(t, "only here", p.unsentPhotos(), 1)
	laptop.Before, laptop.Asked = nil, nil
	p.round()
	same(t, "parts", puts(laptop), 2)
	same(t, "the laptop’s", laptop.Photos[synctest.SumOf(photo)], photo)
}

func TestADamagedPartIsSentAnew(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.m.Limit(sync.Limits{Part: 64})
	a, b := picture(1, 128), picture(2, 128)
	p.write("1", a, b)
	laptop.Parts[synctest.SumOf(a)] = make([]byte, 64)  // half of it
	laptop.Parts[synctest.SumOf(b)] = make([]byte, 128) // all of it, and still not taken
	if end := p.round(); end.Is != sync.Well {
		t.Errorf("%+v", end)
	}
	for _, whole := range [][]byte{a, b} {
		same(t, "the laptop’s", laptop.Photos[synctest.SumOf(whole)], whole)
	}
	p.allSent("damaged parts")
}

func TestAPhotoThatGetsNoFurtherIsLeftForNow(t *testing.T) {
	for name, have := range map[string]func(n int) string{
		"stands still":  func(int) string { return `{"v":1,"have":0,"complete":false}` },
		"goes back":     func(n int) string { return fmt.Sprintf(`{"v":1,"have":%d,"complete":false}`, n%2) },
		"has more":      func(int) string { return `{"v":1,"have":99999999,"complete":false}` },
		"has less":      func(int) string { return `{"v":1,"have":-5,"complete":false}` },
		"is torn":       func(int) string { return `{"error":{"code":"photo-torn","sentence":"Torn."}}` },
		"says nonsense": func(int) string { return `{"have":"much"}` },
	} {
		laptop := synctest.NewLaptop()
		p := newPhone(t, 1, laptop)
		p.write("1", picture(1, 10))
		n := 0
		p.with(func(q synctest.Request) (int, []byte) {
			if !strings.Contains(q.Path, "/photos/"+synctest.SumOf(picture(1, 10))) {
				return laptop.Serve(q)
			}
			if n++; n > 30 {
				t.Fatalf("%s: for ever", name)
			}
			body := have(n)
			if strings.Contains(body, "error") {
				return 409, []byte(body)
			}
			return 200, []byte(body)
		})
		same(t, name, p.unsentPhotos(), 1)
	}
}

func TestAPhotoThatIsNeverTakenHoldsUpNoOther(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	a, b, c := picture(1, 10), picture(2, 10), picture(3, 10)
	p.write("1", a, b, c)
	bad := synctest.SumOf(b)
	p.store.Photos[bad] = synctest.Photo{Bytes: []byte("other bytes")} // its own copy is damaged
	end := p.with(func(q synctest.Request) (int, []byte) {
		if q.Method == "PUT" && strings.Contains(q.Path, synctest.SumOf(a)) {
			return 409, []byte(`{"error":{"code":"photo-refused","sentence":"No picture."}}`)
		}
		return laptop.Serve(q)
	})
	if end.Is != sync.Well || len(laptop.Photos) != 1 {
		t.Errorf("%+v with %d photos", end, len(laptop.Photos))
	}
	same(t, "refused", p.store.Photos[synctest.SumOf(a)].Refused, "No picture.")
	same(t, "torn", p.store.Photos[bad].Refused, "The photo arrived damaged and was thrown away here. It is still on the phone and is sent again.")
	laptop.Wanted = []journal.PhotoWanted{{Photo: bad, Why: journal.PhotoAbsent}}
	p.round()
	if w := p.shown.Wanted; len(w) != 1 || w[0].Here || fmt.Sprint(w[0].WaitingFor) != "[another phone]" {
		t.Errorf("wanted %+v", w)
	}
}

func TestAPhotoCountsAsSentOnceItWasReadBack(t *testing.T) {
	laptop := synctest.NewLaptop()
	laptop.Slow = true
	p := newPhone(t, 1, laptop)
	p.store.Used = 0.95
	a, b := picture(1, 10), picture(2, 10)
	p.write("1", a, b)
	p.round()
	same(t, "on the laptop, only here", fmt.Sprint(len(laptop.Photos), p.unsentPhotos(), p.shown.Unread), "2 2 2")
	if wait := p.until - p.now; wait < 2250 || wait > 3750 {
		t.Errorf("asks again in %d ms", wait)
	}
	laptop.Read[synctest.SumOf(a)] = true
	p.now = p.until
	p.go_()
	same(t, "here, only here", fmt.Sprint(len(p.store.Photos), p.unsentPhotos()), "1 1") // it is crowded
	laptop.Read[synctest.SumOf(b)] = true
	p.round()
	same(t, "here", len(p.store.Photos), 0)
	same(t, "sent once each", puts(laptop), 2)
}

func TestWhenAPhotoGoesFromHere(t *testing.T) {
	laptop := synctest.NewLaptop()
	a := picture(1, 10)
	sum := synctest.SumOf(a)
	p := newPhone(t, 1, laptop)
	p.write("1", a)
	p.round()
	same(t, "there is room", len(p.store.Photos), 1)
	p.now += 27 * day
	p.round()
	same(t, "after 27 days", len(p.store.Photos), 1)
	laptop.Rotten[sum] = true // the laptop's disk has lost it since
	p.now += 2 * day
	p.round()
	same(t, "after 29 days, lost there: only here", p.unsentPhotos(), 1)
	laptop.Rotten[sum] = false
	p.round()
	same(t, "sent again", len(laptop.Photos), 1)
	p.now += 29 * day
	p.round()
	same(t, "after 29 more", len(p.store.Photos), 0)

	q := newPhone(t, 2, laptop)
	q.write("2", picture(2, 10))
	q.round()
	q.now += 29 * day
	q.with(func(r synctest.Request) (int, []byte) { // a laptop that doesn't say what it has read back
		status, body := laptop.Serve(r)
		return status, []byte(strings.Replace(string(body), `"verified"`, `"other"`, 1))
	})
	same(t, "not said to be read back", len(q.store.Photos), 1)
}

func TestWantedPhotos(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	a, x := picture(1, 10), strings.Repeat("f", 64)
	sum := synctest.SumOf(a)
	p.write("1", a, picture(2, 10))
	p.round()
	delete(laptop.Photos, sum)
	both := []string{"this phone", "another phone"}
	laptop.Wanted = []journal.PhotoWanted{
		{Photo: sum, Why: journal.PhotoDamaged, Record: "r", WaitingFor: both},
		{Photo: x, Why: journal.PhotoGone, WaitingFor: both},
		{Photo: "y", Why: "in a way of its own", WaitingFor: []string{}},
	}
	p.round()
	same(t, "the laptop’s", laptop.Photos[sum], a)
	same(t, "shown", p.shown.Wanted, []sync.Wanted{
		{Photo: sum, Why: "damaged", Record: "r", Here: true, WaitingFor: both},
		{Photo: x, Why: "gone", WaitingFor: []string{"another phone"}},
	})
	p.round()
	same(t, "said once", count(laptop.Asked, "POST /photos/wanted"), 1)
	same(t, "sent", puts(laptop), 3)
	laptop.Wanted = nil
	p.round()
	same(t, "shown", len(p.shown.Wanted), 0)

	laptop.Photos, laptop.Wanted = map[string][]byte{}, []journal.PhotoWanted{{Photo: sum, Why: journal.PhotoGone}}
	laptop.Before = func(_ int, q synctest.Request) bool { return q.Method != "PUT" }
	p.round()
	same(t, "only here, also when it can't be sent now", p.unsentPhotos(), 1)

	// An older program takes “wanted” for a photo's name.
	q := newPhone(t, 2, synctest.NewLaptop())
	q.write("1", picture(3, 10))
	end := q.with(func(r synctest.Request) (int, []byte) {
		if strings.HasSuffix(r.Path, "/wanted") {
			return 400, []byte(`{"error":{"code":"bad-input"}}`)
		}
		return q.laptop.Serve(r)
	})
	if end.Is != sync.Well || len(q.laptop.Photos) != 1 {
		t.Errorf("%+v", end)
	}
}

// TestManyPhotosAreAskedAboutInPieces: no more than the laptop looks for at once.
func TestManyPhotosAreAskedAboutInPieces(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	for i := range 1001 {
		b := fmt.Append(nil, "photo ", i)
		p.store.Photos[synctest.SumOf(b)] = synctest.Photo{Bytes: b}
		laptop.Wanted = append(laptop.Wanted, journal.PhotoWanted{Photo: synctest.SumOf(fmt.Append(nil, i)), Why: journal.PhotoGone})
	}
	p.store.Used = 1
	if end := p.round(); end.Is != sync.Well || len(laptop.Photos) != 1001 || len(p.store.Photos) != 0 {
		t.Errorf("%+v: %d there, %d here", end, len(laptop.Photos), len(p.store.Photos))
	}
	same(t, "told of in pieces", count(laptop.Asked, "POST /photos/wanted"), 2)
	same(t, "asked about in pieces", count(laptop.Asked, "POST /photos/missing"), 2+2+51)
}

// TestAnOccasionBetweenTwoPhotos: entries don't wait for all photos.
func TestAnOccasionBetweenTwoPhotos(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.write("1", picture(1, 10), picture(2, 10), picture(3, 10))
	laptop.After = func(_ int, q synctest.Request) bool {
		if q.Method == "PUT" && puts(laptop) == 1 {
			p.write("2")
			p.m.Wake()
		}
		return true
	}
	p.round()
	for i, q := range laptop.Asked {
		if strings.HasPrefix(q, "PUT ") {
			same(t, "after the first photo", laptop.Asked[i+1], push)
			break
		}
	}
	same(t, "photos", len(laptop.Photos), 3)
	p.allSent("an occasion")
}

// TestAPhotoTakenAwayWhileItIsSent: a photo that is deleted between the question
// how far it is and its next part holds up no other, and isn't taken for a laptop
// that went away.
func TestAPhotoTakenAwayWhileItIsSent(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	p.write("1", picture(1, 10), picture(2, 10))
	laptop.After = func(_ int, q synctest.Request) bool {
		if strings.HasSuffix(q.Path, "/progress") && len(p.store.Photos) == 2 {
			delete(p.store.Photos, strings.TrimSuffix(strings.TrimPrefix(q.Path, "/api/v1/photos/"), "/progress"))
		}
		return true
	}
	if end := p.round(); end.Is != sync.Well {
		t.Errorf("the round ended %+v", end)
	}
	same(t, "photos on the laptop", len(laptop.Photos), 1)
	same(t, "parts sent", puts(laptop), 1)
}

func TestPartsFollowTheLine(t *testing.T) {
	laptop := synctest.NewLaptop()
	p := newPhone(t, 1, laptop)
	var most int
	laptop.Before = func(_ int, q synctest.Request) bool {
		took := int64(len(q.Body) / 10) // ms at 10 kB/s
		p.now += took
		most = max(most, len(q.Body))
		return took <= 30_000
	}
	p.write("1", picture(1, 2<<20))
	if end := p.round(); end.Is != sync.Well || most > 70_000 {
		t.Errorf("%+v, parts up to %d", end, most)
	}
	var sizes []int
	laptop.Before = func(_ int, q synctest.Request) bool {
		if q.Method != "PUT" {
			return true
		}
		sizes = append(sizes, len(q.Body))
		return len(q.Body) < 32<<10 // longer than this line holds
	}
	p.write("2", picture(2, 128<<10))
	for range 12 {
		p.now += 100_000
		p.round()
	}
	same(t, "photos", len(laptop.Photos), 2)
	if sizes[1] != sizes[0]/2 {
		t.Errorf("parts of %v", sizes)
	}
}

func TestPartSize(t *testing.T) {
	over := func(bytesPerSecond int64, s sync.PartSize) (ms int64, after sync.PartSize) {
		for range 50 {
			ms = s.Now() * 1000 / bytesPerSecond
			s = s.Went(s.Now(), ms)
		}
		return ms, s
	}
	if first := (sync.PartSize{}).Now(); first/10_000 >= 10 {
		t.Errorf("the first part takes %d s at 10 kB/s", first/10_000)
	}
	for _, line := range []int64{2_000, 10_000} {
		if ms, _ := over(line, sync.PartSize{}); ms > 6_000 {
			t.Errorf("a part takes %d ms at %d B/s", ms, line)
		}
	}
	for _, quick := range []int64{10_000_000, 1e12} { // also where no time passes
		if _, s := over(quick, sync.PartSize{}); s.Now() != 512<<10 {
			t.Errorf("%d bytes at %d B/s", s.Now(), quick)
		}
	}
	s := sync.PartSize{}
	if s.Failed().Now() != s.Now()/2 {
		t.Errorf("after a part that failed: %d", s.Failed().Now())
	}
	for range 50 {
		s = s.Failed()
	}
	if s.Now() < 1000 || s.Went(s.Now(), 1e12).Now() < 1000 {
		t.Errorf("never nothing: %d", s.Now())
	}
	_, small := over(1e9, sync.PartSize{Most: 64})
	if small.Now() != 64 || small.Failed().Now() != 64 {
		t.Errorf("held to 64: %d", small.Now())
	}
}
