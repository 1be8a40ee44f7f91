package main

import (
	"errors"
	"io"
	"net"
	"net/netip"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"panside/internal/device"
	"panside/server/config"
	"panside/server/mdns"
)

// surroundings are the network cards and the .local name of a test.
type surroundings struct {
	looks chan time.Time
	moved chan []string

	mu      sync.Mutex
	list    []card
	asked   []mdns.Options
	open    int // answering now
	refusal error
}

func (s *surroundings) cards() []card {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.list)
}

func (s *surroundings) announce(opt mdns.Options) (io.Closer, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.asked = append(s.asked, opt)
	if s.refusal != nil {
		return nil, s.refusal
	}
	s.open++
	return s, nil
}

func (s *surroundings) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.open--
	return nil
}

// change gives the laptop other addresses and waits until the server noticed.
func (s *surroundings) change(t *testing.T, list ...card) []string {
	t.Helper()
	s.mu.Lock()
	s.list = list
	s.mu.Unlock()
	s.looks <- time.Now()
	select {
	case addresses := <-s.moved:
		return addresses
	case <-time.After(patience):
		t.Fatal("the server didn't notice")
		return nil
	}
}

// loopbackCard is the one card that every machine has, with an address of our
// choice.
func loopbackCard(t *testing.T, ip string) card {
	t.Helper()
	all, err := net.Interfaces()
	if err != nil {
		t.Fatal(err)
	}
	for _, i := range all {
		if i.Flags&net.FlagLoopback != 0 {
			return card{i.Name, netip.MustParseAddr(ip), false}
		}
	}
	t.Skip("this machine has no loopback card")
	return card{}
}

func openIn(t *testing.T, cfg config.Config, s *surroundings) *kitchen {
	t.Helper()
	s.looks, s.moved = make(chan time.Time), make(chan []string, 1)
	p := make(fakeScale)
	k := prepare(t, cfg, p.scale())
	k.pan = p
	k.App.network.cards = s.cards
	k.App.network.outgoing = func() netip.Addr { return netip.Addr{} }
	k.App.network.announce = s.announce
	k.App.network.looks = s.looks
	k.App.Moved = func(addresses []string) { s.moved <- addresses }
	k.begin()
	return k
}

func hosts(t *testing.T, addresses []string) []string {
	t.Helper()
	var names []string
	for _, a := range addresses {
		host, _, err := net.SplitHostPort(strings.TrimPrefix(a, "https://"))
		if err != nil {
			t.Fatal(err)
		}
		names = append(names, host)
	}
	return names
}

// TestTheServerFollowsTheNetwork: the laptop gets another address, loses its
// network, and finds one again, all without a restart.
func TestTheServerFollowsTheNetwork(t *testing.T) {
	t.Parallel()
	at := func(ip string) card { return loopbackCard(t, ip) }
	s := &surroundings{list: []card{at("192.168.1.5")}}
	k := openIn(t, config.Config{Listen: "0.0.0.0:0", Name: "kitchen"}, s)
	if got := hosts(t, k.Addresses()); !slices.Equal(got, []string{"192.168.1.5", "panside-kitchen.local"}) {
		t.Errorf("at the start: %v", got)
	}
	if opt := s.asked[0]; opt.Name != "panside-kitchen.local" || opt.Address.IsValid() || len(opt.Cards) != 1 {
		t.Errorf("announced %+v", opt)
	}
	old := k.Addresses()[0]

	// A second card, and what leads elsewhere.
	moved := s.change(t, at("192.168.1.5"), at("10.0.0.7"), card{"docker0", netip.MustParseAddr("172.17.0.1"), false})
	if got := hosts(t, moved); !slices.Equal(got, []string{"192.168.1.5", "10.0.0.7", "172.17.0.1", "panside-kitchen.local"}) {
		t.Errorf("with two cards: %v", got)
	}
	if opt := s.asked[1]; len(opt.Cards) != 1 {
		t.Errorf("announced on %+v, want each real card once", opt.Cards)
	}

	moved = s.change(t, at("192.168.1.9"))
	if got := hosts(t, moved); !slices.Equal(got, []string{"192.168.1.9", "panside-kitchen.local"}) {
		t.Errorf("moved: %v", got)
	}
	if !k.origins.Has(old) || !k.origins.Has(moved[0]) || !k.origins.Has(moved[1]) || k.origins.Has("https://192.168.1.10:8311") {
		t.Errorf("known origins %v", k.origins.All())
	}
	if link := k.Invite(device.Phone); !strings.HasPrefix(link, moved[0]) {
		t.Errorf("the code leads to %s", link)
	}
	s.mu.Lock()
	open := s.open
	s.mu.Unlock()
	if open != 1 {
		t.Errorf("answering %d times at once", open)
	}

	if got := hosts(t, s.change(t)); !slices.Equal(got, []string{"localhost"}) {
		t.Errorf("without a network: %v", got)
	}
	s.refusal = errors.New("port 5353 is taken")
	if got := hosts(t, s.change(t, at("192.168.1.9"))); !slices.Equal(got, []string{"192.168.1.9"}) {
		t.Errorf("when nobody can answer for the name: %v", got)
	}
	if log := k.log.String(); !strings.Contains(log, "no .local name") || !strings.Contains(log, "port 5353 is taken") {
		t.Error("the log doesn't say so")
	}
	k.close()
	if s.open != 0 {
		t.Error("still answering after the server stopped")
	}
}

// TestWhereTheLocalNameIsAnswered: the name leads to the server and nowhere
// else.
func TestWhereTheLocalNameIsAnswered(t *testing.T) {
	t.Parallel()
	for listen, want := range map[string]int{"0.0.0.0:0": 1, ":0": 1, "127.0.0.1:0": 0} {
		s := &surroundings{list: []card{loopbackCard(t, "192.168.1.5")}}
		k := openIn(t, config.Config{Listen: listen}, s)
		if len(s.asked) != want {
			t.Errorf("listening on %s: announced %+v", listen, s.asked)
		}
		k.close()
	}
	// On one address only, that one is given out.
	s := &surroundings{list: []card{loopbackCard(t, "127.0.0.1"), loopbackCard(t, "192.168.1.5")}}
	openIn(t, config.Config{Listen: "127.0.0.1:0"}, s)
	if len(s.asked) != 1 || s.asked[0].Address != netip.MustParseAddr("127.0.0.1") || s.asked[0].IPv6 {
		t.Errorf("announced %+v", s.asked)
	}
}

// TestANameTheUserGaveIsOffered where the built-in authority may sign it, last
// and once.
func TestANameTheUserGaveIsOffered(t *testing.T) {
	t.Parallel()
	s := &surroundings{list: []card{loopbackCard(t, "192.168.1.5")}}
	k := openIn(t, config.Config{Listen: "0.0.0.0:0", Name: "kitchen", Host: []string{" Table.Local", "kitchen.example", "panside-kitchen.local"}}, s)
	if got := hosts(t, k.Addresses()); !slices.Equal(got, []string{"192.168.1.5", "table.local", "panside-kitchen.local"}) {
		t.Errorf("offered: %v", got)
	}
	if !k.origins.Has(k.Addresses()[1]) {
		t.Errorf("known origins %v", k.origins.All())
	}
}

func TestWebAddress(t *testing.T) {
	for _, tc := range []struct {
		host string
		port int
		want string
	}{
		{"192.168.1.5", 8311, "https://192.168.1.5:8311"},
		{"fd00::5", 8311, "https://[fd00::5]:8311"},
		{"kitchen.local", 443, "https://kitchen.local"},
		{"fd00::5", 443, "https://[fd00::5]"},
	} {
		if got := webAddress(tc.host, tc.port); got != tc.want {
			t.Errorf("%s, %d: %s, want %s", tc.host, tc.port, got, tc.want)
		}
	}
}
