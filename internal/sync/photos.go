package sync

import (
	"strconv"

	"panside/internal/fault"
	"panside/internal/json"
)

// photos is how far the sending of a round has come.
type photos struct {
	queue   []string // to be sent, the one under way first
	of      int
	done    int
	waiting int      // the laptop has them and hasn't read them back
	sent    []string // in this round

	bytes int64 // of the one under way
	kind  string
	best  int64 // as far as the laptop had it
	// anew counts how often it was begun again, torn how often because the bytes
	// that arrived were others, and still the parts that brought it no further.
	anew, torn, still int
}

// standing is how photos stand with the laptop.
type standing struct {
	missing  []string // it lacks them, or has them damaged
	verified []string // it has read them back from its disk; the rest it has and will read back
}

// beginPhotos sends the photos that are only on this phone.
func (m *Machine) beginPhotos(int64) {
	m.look(&Query{What: Unsent}, func(now int64, r *Reply) {
		m.askStanding(now, r.Photos, false, func(now int64, s standing) {
			p := &m.round.photos
			p.queue, p.of = s.missing, len(s.missing)
			p.waiting = len(r.Photos) - len(s.missing) - len(s.verified)
			m.markVerified(now, s.verified, m.nextPhoto)
		})
	})
}

// askStanding asks about photos, as many at once as the laptop looks for. With
// readNow it reads each from its disk for the answer.
func (m *Machine) askStanding(now int64, sums []string, readNow bool, then func(int64, standing)) {
	most := mostAsked
	if readNow {
		most = mostReadNow
	}
	var all standing
	var next func(now int64)
	next = func(now int64) {
		if len(sums) == 0 {
			then(now, all)
			return
		}
		some := sums[:min(most, len(sums))]
		sums = sums[len(some):]
		body := inJSON(struct {
			Photos  []string `json:"photos"`
			ReadNow bool     `json:"read_now"`
		}{some, readNow})
		m.ask(&Request{Method: "POST", Path: "/photos/missing"}, body, func(now int64, body []byte) {
			var a struct{ Missing, Verified []string }
			if json.Unmarshal(body, &a) != nil {
				m.fail(now, m.refused(unreadable))
				return
			}
			// Only what was asked about counts, and what is missing isn't there.
			missing, verified := setOf(a.Missing), setOf(a.Verified)
			for _, sum := range some {
				switch {
				case missing[sum]:
					all.missing = append(all.missing, sum)
				case verified[sum]:
					all.verified = append(all.verified, sum)
				}
			}
			next(now)
		})
	}
	next(now)
}

func setOf(list []string) map[string]bool {
	set := map[string]bool{}
	for _, s := range list {
		set[s] = true
	}
	return set
}

func (m *Machine) markVerified(now int64, sums []string, then func(now int64)) {
	if len(sums) == 0 {
		then(now)
		return
	}
	m.storePhotos(&PhotoChange{Sent: sums, At: now}, then)
}

// nextPhoto begins to send one, if there is another.
func (m *Machine) nextPhoto(now int64) {
	p := &m.round.photos
	if len(p.queue) == 0 {
		m.photosSent(now)
		return
	}
	m.progress(0)
	m.look(&Query{What: One, Photos: p.queue[:1]}, func(now int64, r *Reply) {
		if r.Bytes <= 0 { // taken away meanwhile
			m.photoDone(now)
			return
		}
		p.bytes, p.kind, p.best, p.anew, p.torn, p.still = r.Bytes, r.Type, 0, 0, 0, 0
		m.askPhoto(&Request{Method: "GET", Path: "/photos/" + p.queue[0] + "/progress"}, m.sendPart)
	})
}

// have is how far the laptop has a photo.
type have struct {
	Have     int64
	Complete bool
}

func (m *Machine) askPhoto(q *Request, then func(int64, have)) {
	p := &m.round.photos
	m.askAny(q, nil, func(now int64, r *Reply) {
		var at have
		refusal := refusalIn(r)
		switch {
		case r.Gone: // taken away meanwhile
			m.photoDone(now)
		case refusal == nil && json.Unmarshal(r.Body, &at) != nil:
			m.fail(now, m.refused(unreadable))
		case refusal == nil:
			if q.Part != nil {
				m.part = m.part.Went(q.Part.To-q.Part.From, now-m.given)
			}
			then(now, at)
		case refusal.Code == string(fault.PhotoTorn) && p.torn == 0:
			p.torn++
			then(now, have{})
		// Sent twice from its start and wrong twice: it is this phone's own copy
		// that is damaged.
		case refusal.Code == string(fault.PhotoTorn), refusal.Code == string(fault.PhotoRefused):
			why := refusal.Sentence
			if why == "" {
				why = refusal.Code
			}
			m.storePhotos(&PhotoChange{Refused: p.queue[0], Why: why}, m.photoDone)
		default:
			if refusal.Is == Away && q.Part != nil {
				m.part = m.part.Failed()
			}
			m.fail(now, refusal)
		}
	})
}

// sendPart sends the next part of a photo, from where the laptop has it to.
func (m *Machine) sendPart(now int64, at have) {
	p := &m.round.photos
	if at.Complete {
		p.sent = append(p.sent, p.queue[0])
		m.photoDone(now)
		return
	}
	from := at.Have
	if from < 0 || from >= p.bytes { // all is there and not taken: it is torn, begin again
		from = 0
	}
	switch {
	case from < p.best && p.anew < 3:
		p.anew, p.best, p.still = p.anew+1, from, 0
	case from > p.best:
		p.best, p.still = from, 0
	default:
		p.still++
	}
	if p.still > 4 {
		m.fail(now, &Ended{Is: Refused, Code: string(fault.Internal)})
		return
	}
	m.progress(float64(from) / float64(p.bytes))
	to := min(from+m.part.Now(), p.bytes)
	m.askPhoto(&Request{
		Method:  "PUT",
		Path:    "/photos/" + p.queue[0],
		Headers: map[string]string{"Content-Type": p.kind, "Content-Range": contentRange(from, to, p.bytes)},
		Part:    &Part{p.queue[0], from, to},
	}, m.sendPart)
}

// contentRange says which bytes of a whole are sent, from and up to, but without,
// to (RFC 9110, section 14.4).
func contentRange(from, to, whole int64) string {
	n := func(i int64) string { return strconv.FormatInt(i, 10) }
	return "bytes " + n(from) + "-" + n(to-1) + "/" + n(whole)
}

func (m *Machine) progress(part float64) {
	p := &m.round.photos
	m.doing = Doing{Is: "photos", Progress: &Progress{p.done, p.of, part}}
}

// photoDone goes on after a photo, with a new round if there was an occasion, so
// that new entries don't wait for all photos.
func (m *Machine) photoDone(now int64) {
	p := &m.round.photos
	p.queue, p.done = p.queue[1:], p.done+1
	if m.again {
		m.unread(now, p.waiting+len(p.sent), m.finish)
		return
	}
	m.nextPhoto(now)
}

// photosSent asks about what was sent: a quick disk has read it back by now.
func (m *Machine) photosSent(now int64) {
	p := &m.round.photos
	if p.of > 0 {
		m.progress(0)
	}
	m.askStanding(now, p.sent, false, func(now int64, s standing) {
		m.markVerified(now, s.verified, func(now int64) {
			m.unread(now, p.waiting+len(p.sent)-len(s.verified), m.beginFree)
		})
	})
}

func (m *Machine) unread(now int64, n int, then func(now int64)) {
	if n != m.shown.Unread {
		m.shown.Unread, m.told = n, false
	}
	then(now)
}
