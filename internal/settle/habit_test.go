package settle

import (
	"math"
	"testing"
)

// TestHabit: who has let go of every coin is soon taken to; one half-way stand is
// remembered for long.
func TestHabit(t *testing.T) {
	h := newHabit()
	first := h.share()
	if first < 0.05 || first > 0.15 {
		t.Errorf("a stranger stands half-way with a share of %.3f", first)
	}
	for range 15 {
		h.see(false)
	}
	clean := h.share()
	if clean > 0.02 {
		t.Errorf("after 15 clean coins the share is %.3f", clean)
	}
	h.see(true)
	if s := h.share(); s < first/2 {
		t.Errorf("after a half-way stand the share is %.3f, %.3f at first", s, first)
	}
	for range 300 {
		h.see(false)
	}
	for range 4 {
		h.see(true)
	}
	if s := h.share(); s < first {
		t.Errorf("another person has sat down, and the share is %.4f", s)
	}
}

// TestOddsOfAKind: what weighs as a coin before is rather one more than half of
// another, and half of one is rather that than a coin of its own.
func TestOddsOfAKind(t *testing.T) {
	h := newHabit()
	before := h.odds(2.5)
	if r := h.share() / (1 - h.share()); math.Abs(before-r) > 1e-12 {
		t.Errorf("nothing was told, and the odds are %.4f, not %.4f", before, r)
	}
	for range 4 {
		h.tell(2.5)
	}
	if o := h.odds(2.51); o > before/10 {
		t.Errorf("four coins of 2.5 g: 2.51 g is half of another by %.4f, %.4f at first", o, before)
	}
	if o := h.odds(1.25); o < 3*before {
		t.Errorf("four coins of 2.5 g: 1.25 g is half of one by %.4f, %.4f at first", o, before)
	}
}

// TestStops: a level that stood still for a while, and was left for another, is a
// half-way stand; one to which a knocked display comes back isn't, nor is a coin
// that was taken, nor one that lay for longer than a hand holds it.
func TestStops(t *testing.T) {
	const near = 0.03
	for _, c := range []struct {
		name    string
		stands  []stop // as they come
		emptied bool   // before the last
		half    bool
	}{
		{"half-way", []stop{{1.2, 0, 0.5}, {2.5, 0.6, 2}}, false, true},
		{"leaning", []stop{{4, 0, 0.5}, {2.5, 0.6, 2}}, false, true},
		{"knocked", []stop{{2.5, 0, 0.5}, {2.5, 1, 2}}, false, false},
		{"taken", []stop{{1.2, 0, 0.5}, {2.5, 1, 2}}, true, false},
		{"two coins", []stop{{1.2, 0, 1.5}, {2.5, 2, 3}}, false, false},
	} {
		p := stops{bare: true}
		for i, s := range c.stands {
			if c.emptied && i == len(c.stands)-1 {
				p.see(stand{level: 0, seconds: 0, lines: 1}, s.from, false, true, near)
			}
			for at := s.from; at <= s.until; at += 0.1 {
				p.see(stand{level: s.level, seconds: at - s.from, lines: int(10*(at-s.from)) + 1}, at, true, false, near)
			}
		}
		if got := p.halfWay(2.5, near); got != c.half {
			t.Errorf("%s: half-way %v", c.name, got)
		}
	}
}
