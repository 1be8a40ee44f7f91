package syncsim

import (
	"encoding/json"
	"strings"

	"panside/internal/sync"
	"panside/internal/sync/synctest"
)

// mostSteps is far more than any round of a night takes.
const mostSteps = 20_000

// sync has one round of the machine that phones run, from an occasion on, until
// it waits. It reports whether the round went well; the network may fail, the
// app may end, and another page of the phone may have the round.
func (p *phone) sync() (well bool) {
	p.t.Helper()
	p.core.LimitSync(sync.Limits{Batch: 1 + p.rng.IntN(20), Page: 1 + p.rng.IntN(30), Part: int64(1 + p.rng.IntN(300))})
	p.disk.Used = float64(p.rng.IntN(2))
	if p.net.good { // so that no photo stays that the laptop lost
		p.disk.Used = 1
	}
	p.ask("sync-wake", `{"why":"start"}`, &struct{}{})
	said := sync.Ended{}
	step, body := p.step("sync-next", sync.Reply{})
	for n := 0; ; n++ {
		if n == mostSteps {
			p.t.Fatalf("%s: a round without an end", p.name)
		}
		if step.Shown != nil {
			said = step.Shown.Ended
			if step.Shown.Unreadable > 0 {
				p.t.Fatalf("%s: %d entries can't be read", p.name, step.Shown.Unreadable)
			}
		}
		reply := sync.Reply{Step: step.ID}
		switch step.Do {
		case sync.Wait:
			if said.Is == sync.Refused && p.net.good {
				p.t.Logf("%s: %+v", p.name, said)
			}
			return said.Is == sync.Well
		case sync.Alone:
			reply.Alone = p.net.good || p.rng.IntN(30) > 0
			if !reply.Alone {
				p.net.faults["another page had the round"]++
			}
		case sync.Ask:
			var ok bool
			if reply.Status, reply.Body, ok = p.send(p.disk.Request(step, body)); !ok {
				reply.Status, reply.Body = 0, nil
			}
			if p.mayCrash() {
				return false
			}
		case sync.Read:
			reply = p.disk.Do(step)
			if step.Read.What == sync.Held && len(reply.Photos)+len(reply.Waiting) > 0 {
				p.net.faults["lost photo asked for and had"]++
			}
		case sync.Store:
			if p.mayCrash() { // before it is stored
				return false
			}
			reply = p.stores(step)
			if p.mayCrash() {
				return false
			}
		}
		if p.rng.IntN(20) == 0 { // an answer that comes again, and one to nobody's question
			p.step("sync-answer", sync.Reply{Step: "another", Status: 200, Body: reply.Body})
			p.step("sync-answer", reply)
			p.net.faults["answered twice"]++
		}
		step, body = p.step("sync-answer", reply)
	}
}

func (p *phone) send(q synctest.Request) (status int, body []byte, ok bool) {
	return p.net.send(request{q.Method, strings.TrimPrefix(q.Path, "/api/v1"), q.Headers["Content-Range"], q.Body})
}

// stores does a change, as a whole.
func (p *phone) stores(step sync.Step) sync.Reply {
	p.t.Helper()
	reply := p.disk.Do(step)
	if len(step.Store.Drop) > 0 {
		p.disk.snapshot, p.disk.upto = "", 0
		p.screen.record = "" // its ids may be gone
		p.net.forks++
	}
	if step.Store.Reopen {
		p.openBook()
	}
	return reply
}

// step asks the core for the next step, or gives it an answer.
func (p *phone) step(method string, r sync.Reply) (step sync.Step, body []byte) {
	p.t.Helper()
	head := struct {
		Now int64 `json:"now"`
		sync.Reply
	}{max(p.now, 1), r}
	in := inJSON(head)
	if r.Body != nil {
		in += "\n" + string(r.Body)
	}
	line, body := p.core.Call(method, []byte(in))
	var a struct {
		OK    *sync.Step
		Error json.RawMessage
	}
	decode(p.t, line, &a)
	if a.OK == nil {
		p.t.Fatalf("%s: %s answers %s to %.300s", p.name, method, a.Error, in)
	}
	return *a.OK, body
}
