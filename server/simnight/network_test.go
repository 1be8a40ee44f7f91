package simnight

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
		n.laptop.serve(held)
	}
	switch n.rng.IntN(12) {
	case 0: // lost on the way
		return 0, nil, false
	case 1: // the answer is lost
		n.laptop.serve(r)
		return 0, nil, false
	case 2: // it goes twice, now and some time
		n.late = append(n.late, r)
	case 3: // only some time
		n.late = append(n.late, r)
		return 0, nil, false
	case 4: // cut off
		if len(r.body) > 0 {
			r.body = r.body[:n.rng.IntN(len(r.body))]
			n.laptop.serve(r)
			return 0, nil, false
		}
	}
	return n.laptop.serve(r)
}
