package bridge

import (
	"panside/internal/fault"
	"panside/internal/say"
	"panside/internal/sync"
)

// wake says what happened: the phone was joined or isn't any more, there is an
// occasion for a round, or the laptop said how far its journal has grown.
func (j *phoneJournal) wake(in []byte) (any, error) {
	var q struct{ Why, Cursor string }
	if _, err := header(in, &q); err != nil {
		return nil, err
	}
	switch q.Why {
	case "start":
		j.sync.Start()
	case "stop":
		j.sync.Stop()
	case "occasion":
		j.sync.Wake()
	case "notice":
		j.sync.Notice(q.Cursor)
	default:
		return nil, fault.New(fault.BadInput, say.New("core-page-of-another-version"))
	}
	return struct{}{}, nil
}

// next gives the step to be done now.
func (j *phoneJournal) next(in []byte) (any, error) {
	var q struct{ Now int64 }
	if _, err := header(in, &q); err != nil {
		return nil, err
	}
	return j.step(q.Now), nil
}

// answer takes what came of a step and gives the one after it.
func (j *phoneJournal) answer(in []byte) (any, error) {
	var q struct {
		Now int64
		sync.Reply
	}
	body, err := header(in, &q)
	if err != nil {
		return nil, err
	}
	q.Body = body
	j.sync.Answer(q.Now, q.Reply)
	return j.step(q.Now), nil
}

func (j *phoneJournal) step(now int64) withBytes {
	step, body := j.sync.Next(now)
	return withBytes{step, body}
}

// part says how much of a photo is to be fetched at once, after one that took so
// long, or that didn't arrive.
func (j *phoneJournal) part(in []byte) (any, error) {
	var q struct {
		Bytes, Most, Went, MS int64
		Failed                bool
	}
	if _, err := header(in, &q); err != nil {
		return nil, err
	}
	size := sync.PartSize{Bytes: q.Bytes, Most: q.Most}
	switch {
	case q.Failed:
		size = size.Failed()
	case q.Went > 0:
		size = size.Went(q.Went, q.MS)
	}
	return struct {
		Bytes int64 `json:"bytes"`
	}{size.Now()}, nil
}
