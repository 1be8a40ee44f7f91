package syncsim

import (
	"math/rand/v2"
	"slices"
)

// network loses requests and answers, repeats requests later and out of order,
// and cuts bodies off.
type network struct {
	rng    *rand.Rand
	laptop *laptop
	good   bool // at the end of the night
	late   []request
	forks  int // seen by phones
	faults faults
}

func (n *network) send(r request) (status int, body []byte, ok bool) {
	if n.good {
		return n.laptop.serve(r)
	}
	// What was held up arrives now, in any order; nobody waits for its answer.
	for len(n.late) > 0 && n.rng.IntN(2) == 0 {
		i := n.rng.IntN(len(n.late))
		held := n.late[i]
		n.late = slices.Delete(n.late, i, i+1)
		n.faults["arrived late"]++
		n.laptop.serve(held)
	}
	switch n.rng.IntN(12) {
	case 0:
		n.faults["request lost"]++
		return 0, nil, false
	case 1:
		n.faults["answer lost"]++
		n.laptop.serve(r)
		return 0, nil, false
	case 2: // now and some time
		n.faults["sent twice"]++
		n.late = append(n.late, r)
	case 3: // only some time
		n.faults["held up"]++
		n.late = append(n.late, r)
		return 0, nil, false
	case 4:
		if len(r.body) > 0 {
			n.faults["cut off"]++
			r.body = r.body[:n.rng.IntN(len(r.body))]
			n.laptop.serve(r)
			return 0, nil, false
		}
	}
	return n.laptop.serve(r)
}
