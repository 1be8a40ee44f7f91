package mdns

import (
	"log/slog"
	"net"
	"net/netip"
	"testing"
	"time"

	"golang.org/x/net/dns/dnsmessage"
)

const (
	name     = "panside-kitchen.local"
	patience = 20 * time.Second
)

var loopback = netip.MustParseAddr("127.0.0.1")

// startOnLoopback answers on a port of loopback, where a test may ask without
// a packet leaving the machine.
func startOnLoopback(t *testing.T, opt Options) (at net.Addr) {
	t.Helper()
	conn, err := net.ListenPacket("udp4", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	opt.Name, opt.Log = name, slog.New(slog.DiscardHandler)
	if opt.Cards, err = net.Interfaces(); err != nil {
		t.Fatal(err)
	}
	r, err := start(opt, conn, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := r.Close(); err != nil {
			t.Errorf("closing: %v", err)
		}
		if _, err := conn.WriteTo([]byte("x"), conn.LocalAddr()); err == nil {
			t.Error("the connection is open after closing")
		}
	})
	return conn.LocalAddr()
}

// ask sends questions one after the other and returns the answers to the last
// one that comes. Asking for the name itself last, which is always answered,
// shows without waiting that the others weren't.
func ask(t *testing.T, at net.Addr, questions ...dnsmessage.Question) []dnsmessage.Message {
	t.Helper()
	conn, err := net.Dial("udp4", at.String())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if err := conn.SetDeadline(time.Now().Add(patience)); err != nil {
		t.Fatal(err)
	}
	questions = append(questions, question(name, dnsmessage.TypeA))
	for i, q := range questions {
		m := dnsmessage.Message{Header: dnsmessage.Header{ID: uint16(i + 1)}, Questions: []dnsmessage.Question{q}}
		raw, err := m.Pack()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := conn.Write(raw); err != nil {
			t.Fatal(err)
		}
	}
	var answers []dnsmessage.Message
	for b := make([]byte, 9000); ; {
		n, err := conn.Read(b)
		if err != nil {
			t.Fatalf("no answer: %v", err)
		}
		var m dnsmessage.Message
		if err := m.Unpack(b[:n]); err != nil {
			t.Fatal(err)
		}
		answers = append(answers, m)
		if int(m.ID) == len(questions) {
			return answers
		}
	}
}

func question(name string, kind dnsmessage.Type) dnsmessage.Question {
	return dnsmessage.Question{Name: dnsmessage.MustNewName(name + "."), Type: kind, Class: dnsmessage.ClassINET}
}

func TestTheNameIsAnswered(t *testing.T) {
	at := startOnLoopback(t, Options{Address: loopback})
	answers := ask(t, at)
	if len(answers) != 1 || len(answers[0].Answers) != 1 || !answers[0].Authoritative {
		t.Fatalf("answered %+v", answers)
	}
	a := answers[0].Answers[0]
	if body, ok := a.Body.(*dnsmessage.AResource); !ok || body.A != [4]byte{127, 0, 0, 1} {
		t.Errorf("answered %v", a.Body)
	}
	if a.Header.TTL != lifeSeconds || a.Header.Name.String() != name+"." {
		t.Errorf("answered %+v", a.Header)
	}
}

// TestNothingElseIsAnswered: no other name, no list of services, and no IPv6
// address when the server doesn't listen there.
func TestNothingElseIsAnswered(t *testing.T) {
	at := startOnLoopback(t, Options{Address: loopback})
	answers := ask(t, at,
		question("kitchen.local", dnsmessage.TypeA),
		question("panside-attic.local", dnsmessage.TypeA),
		question("_services._dns-sd._udp.local", dnsmessage.TypePTR),
		question(name, dnsmessage.TypeAAAA),
		question(name, dnsmessage.TypeTXT),
		question("local", dnsmessage.TypeALL),
	)
	if len(answers) != 1 {
		t.Errorf("answered %+v", answers)
	}
}

func TestCapitalsDoNotMatter(t *testing.T) {
	at := startOnLoopback(t, Options{Address: loopback})
	answers := ask(t, at, question("Panside-KITCHEN.Local", dnsmessage.TypeA))
	if len(answers) != 2 {
		t.Errorf("answered %+v", answers)
	}
}

func TestGarbageIsIgnored(t *testing.T) {
	at := startOnLoopback(t, Options{Address: loopback})
	conn, err := net.Dial("udp4", at.String())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	for _, raw := range []string{"", "x", "\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff", "\x00\x00\x00\x00\xff\xff\x00\x00\x00\x00\x00\x00"} {
		if _, err := conn.Write([]byte(raw)); err != nil {
			t.Fatal(err)
		}
	}
	if answers := ask(t, at); len(answers) != 1 {
		t.Errorf("answered %+v", answers)
	}
}

// TestEachCardGivesItsOwnAddress: without an address to give out, the card's
// own is given, here loopback's.
func TestEachCardGivesItsOwnAddress(t *testing.T) {
	at := startOnLoopback(t, Options{IPv6: true})
	answers := ask(t, at, question(name, dnsmessage.TypeA))
	for _, m := range answers {
		if body, ok := m.Answers[0].Body.(*dnsmessage.AResource); !ok || !netip.AddrFrom4(body.A).IsLoopback() {
			t.Errorf("answered %v", m.Answers[0].Body)
		}
	}
}

func TestNoCardIsAnError(t *testing.T) {
	conn, err := net.ListenPacket("udp4", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	opt := Options{Name: name, Log: slog.New(slog.DiscardHandler), Cards: []net.Interface{{Index: 1, Name: "down0"}}}
	if r, err := start(opt, conn, nil); err == nil {
		r.Close()
		t.Fatal("started without a card")
	}
	if _, err := conn.WriteTo([]byte("x"), conn.LocalAddr()); err == nil {
		t.Error("the connection is open after failing")
	}
	if r, err := Start(Options{Name: name, Log: slog.New(slog.DiscardHandler)}); err == nil {
		r.Close()
		t.Error("started on all cards though none was named")
	}
}
