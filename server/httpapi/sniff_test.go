package httpapi

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"io"
	"log/slog"
	"math/big"
	"net"
	"net/http"
	"net/netip"
	"os"
	"strings"
	"testing"
	"time"
)

func selfSigned(t *testing.T, ip netip.Addr) tls.Certificate {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{ip.AsSlice()}, IsCA: true, BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	if err != nil {
		t.Fatal(err)
	}
	leaf, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key, Leaf: leaf}
}

func TestOnePortSpeaksBoth(t *testing.T) {
	f := newFixture(t, func(c *Config) { c.Log = slog.New(slog.DiscardHandler) })
	addr, trust := serve(t, f)
	transport := &http.Transport{TLSClientConfig: trust}
	defer transport.CloseIdleConnections()
	client := &http.Client{Transport: transport, Timeout: 10 * time.Second}
	for url, want := range map[string]string{
		"https://" + addr + "/healthz": `{"ok":true,"version":"1.2.3"}`,
		"http://" + addr + "/":         "Download the certificate",
		"http://" + addr + "/healthz":  "This needs the encrypted address",
	} {
		for range 2 { // also on a kept connection
			resp, err := client.Get(url)
			if err != nil {
				t.Fatal(err)
			}
			body, err := io.ReadAll(resp.Body)
			resp.Body.Close()
			if err != nil || !strings.Contains(string(body), want) {
				t.Errorf("%s: %s, %v", url, body, err)
			}
		}
	}
}

// TestSilentConnectionsDelayNobody: connections that say nothing wait aside.
func TestSilentConnectionsDelayNobody(t *testing.T) {
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	port := OnePort(ln, &tls.Config{})
	defer port.Close()
	for range 20 {
		silent, err := net.Dial("tcp", ln.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer silent.Close()
	}
	talking, err := net.Dial("tcp", ln.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer talking.Close()
	if _, err := talking.Write([]byte("GET")); err != nil {
		t.Fatal(err)
	}
	conn, err := port.Plain.Accept()
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	first := make([]byte, 3)
	if _, err := io.ReadFull(conn, first); err != nil || string(first) != "GET" {
		t.Errorf("read %q, %v: the sniffed byte must come back", first, err)
	}
}

func TestClosingEndsBothHalves(t *testing.T) {
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	port := OnePort(ln, &tls.Config{})
	silent, err := net.Dial("tcp", ln.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer silent.Close()
	ended := make(chan error, 2)
	for _, half := range []net.Listener{port.Secure, port.Plain} {
		go func() {
			_, err := half.Accept()
			ended <- err
		}()
	}
	if err := errors.Join(port.Plain.Close(), port.Secure.Close()); err != nil {
		t.Error(err)
	}
	for range 2 {
		if err := <-ended; !errors.Is(err, io.EOF) {
			t.Errorf("Accept gave %v, want io.EOF", err)
		}
	}
	if _, err := silent.Read(make([]byte, 1)); err == nil || errors.Is(err, os.ErrDeadlineExceeded) {
		t.Errorf("a connection that said nothing is still open: %v", err)
	}
	if conn, err := net.Dial("tcp", ln.Addr().String()); err == nil {
		conn.Close()
		t.Error("the port is still open")
	}
}

// addressed is a connection from an address.
type addressed struct {
	net.Conn
	from net.Addr
}

func (a addressed) RemoteAddr() net.Addr { return a.from }

func TestOneAddressHasSoManyConnections(t *testing.T) {
	p := newOnePort(nil)
	from := func(ip string, port int) net.Conn {
		near, far := net.Pipe()
		t.Cleanup(func() { near.Close(); far.Close() })
		return addressed{near, &net.TCPAddr{IP: net.ParseIP(ip), Port: port}}
	}
	take := func(conn net.Conn) *sniffedConn {
		c := p.enter(conn)
		if c != nil {
			p.spoke(c)
		}
		return c
	}
	var last *sniffedConn
	for i := range maxAnAddress {
		if last = take(from("192.168.1.5", i)); last == nil {
			t.Fatalf("connection %d is refused", i+1)
		}
	}
	if take(from("192.168.1.5", 9999)) != nil {
		t.Error("one more is taken")
	}
	if take(from("192.168.1.6", 1)) == nil {
		t.Error("another address is refused")
	}
	last.Close()
	last.Close() // twice counts once
	if take(from("192.168.1.5", 9998)) == nil {
		t.Error("there is no room after one closed")
	}
	if take(from("192.168.1.5", 9997)) != nil {
		t.Error("closing twice made room for two")
	}
}

// from is a client's connection that comes from one of this computer's loopback
// addresses.
func from(t *testing.T, address, to string) net.Conn {
	t.Helper()
	dialer := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(address)}, Timeout: 10 * time.Second}
	conn, err := dialer.Dial("tcp", to)
	if err != nil {
		if strings.Contains(err.Error(), "assign requested address") {
			t.Skipf("this system has no %s", address)
		}
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	return conn
}

// isServed sends a plain request and reports whether it is answered.
func isServed(t *testing.T, conn net.Conn) bool {
	t.Helper()
	if err := conn.SetDeadline(time.Now().Add(10 * time.Second)); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(conn, "GET /trust HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"); err != nil {
		return false
	}
	answer, err := io.ReadAll(conn)
	return err == nil && strings.HasPrefix(string(answer), "HTTP/1.1 200 ")
}

// TestSilentConnectionsLockNobodyOut: one address fills whatever it can with
// connections that say nothing, and goes on; another address, and the first one's
// own browser, get in every time.
func TestSilentConnectionsLockNobodyOut(t *testing.T) {
	f := newFixture(t, func(c *Config) { c.Log = slog.New(slog.DiscardHandler) })
	addr, _ := serve(t, f)
	for range 2 * maxSilent {
		from(t, "127.0.0.1", addr)
	}
	for i := range 30 {
		from(t, "127.0.0.1", addr)
		if !isServed(t, from(t, "127.0.0.2", addr)) {
			t.Fatalf("try %d from another address got no answer", i+1)
		}
		if !isServed(t, from(t, "127.0.0.1", addr)) {
			t.Fatalf("try %d from the same address got no answer", i+1)
		}
	}
}

// TestTheOldestSilentConnectionGivesWay, first within an address, and of all
// once there are too many from many addresses.
func TestTheOldestSilentConnectionGivesWay(t *testing.T) {
	p := newOnePort(nil)
	enter := func(ip string) net.Conn {
		near, far := net.Pipe()
		t.Cleanup(func() { near.Close(); far.Close() })
		if p.enter(addressed{near, &net.TCPAddr{IP: net.ParseIP(ip), Port: 1}}) == nil {
			t.Fatalf("a connection from %s is refused", ip)
		}
		return far
	}
	isOpen := func(conn net.Conn) bool {
		err := conn.SetReadDeadline(time.Now())
		if err == nil {
			_, err = conn.Read(make([]byte, 1))
		}
		return errors.Is(err, os.ErrDeadlineExceeded)
	}
	other := enter("192.168.1.6")
	first := enter("192.168.1.5")
	second := enter("192.168.1.5")
	for range maxSilentAnAddress - 1 {
		enter("192.168.1.5")
	}
	if !isOpen(other) || isOpen(first) || !isOpen(second) {
		t.Errorf("open: another address's %v, the oldest %v, the next %v", isOpen(other), isOpen(first), isOpen(second))
	}
	for i := range maxSilent - len(p.silent) {
		enter(net.IPv4(10, 0, byte(i/250), byte(i%250)).String())
	}
	if !isOpen(other) {
		t.Error("one gave way before there were too many")
	}
	enter("192.168.1.7")
	if isOpen(other) || len(p.silent) != maxSilent {
		t.Errorf("the oldest of all is open: %v; %d are silent", isOpen(other), len(p.silent))
	}
}
