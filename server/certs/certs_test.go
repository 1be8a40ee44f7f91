package certs

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"errors"
	"log/slog"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"panside/internal/fault"
)

var start = time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)

func authority(t *testing.T, dir string) *Authority {
	t.Helper()
	a, err := OpenAuthority(dir, "kitchen laptop", start)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// sign makes the authority sign a server certificate for anything, as a thief
// of its key would.
func sign(t *testing.T, a *Authority, change func(*x509.Certificate)) *x509.Certificate {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{
		SerialNumber: serial(),
		Subject:      pkix.Name{CommonName: "any"},
		NotBefore:    start.Add(-time.Hour),
		NotAfter:     start.Add(time.Hour),
		ExtKeyUsage:  []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	change(template)
	der, err := x509.CreateCertificate(rand.Reader, template, a.cert, key.Public(), a.key)
	if err != nil {
		t.Fatal(err)
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return cert
}

func verify(a *Authority, cert *x509.Certificate, host string, at time.Time) error {
	roots := x509.NewCertPool()
	roots.AddCert(a.cert)
	_, err := cert.Verify(x509.VerifyOptions{Roots: roots, DNSName: host, CurrentTime: at})
	return err
}

// TestAuthorityIsHarmlessElsewhere lets crypto/x509 judge certificates signed
// with the authority's key against its name constraints (RFC 5280, 4.2.1.10).
func TestAuthorityIsHarmlessElsewhere(t *testing.T) {
	a := authority(t, t.TempDir())
	if !a.cert.PermittedDNSDomainsCritical {
		t.Error("the name constraints are not critical")
	}
	for host, good := range map[string]bool{
		"laptop.local":      true,
		"localhost":         true,
		"127.0.0.1":         true,
		"127.9.9.9":         true,
		"10.0.0.1":          true,
		"172.16.0.1":        true,
		"172.31.255.254":    true,
		"192.168.178.20":    true,
		"169.254.3.4":       true,
		"::1":               true,
		"fd12:3456::1":      true,
		"fe80::1":           true,
		"bank.example":      false,
		"laptop.locale":     false,
		"notlocalhost":      false,
		"local.example":     false,
		"192.0.2.1":         false, // documentation range (RFC 5737)
		"172.32.0.1":        false,
		"192.169.0.1":       false,
		"11.0.0.1":          false,
		"2001:db8::1":       false, // documentation range (RFC 3849)
		"::2":               false,
		"::ffff:192.0.2.1":  false,
		"100.64.0.1":        false, // shared by providers (RFC 6598), not private
		"laptop.local.":     false, // no valid name in a certificate
		"xn--nxasmq6b.test": false,
	} {
		cert := sign(t, a, func(c *x509.Certificate) {
			if ip, err := netip.ParseAddr(host); err == nil {
				c.IPAddresses = []net.IP{ip.AsSlice()}
			} else {
				c.DNSNames = []string{host}
			}
		})
		err := verify(a, cert, host, start)
		if good && err != nil {
			t.Errorf("%s: %v", host, err)
		}
		if !good && err == nil {
			t.Errorf("%s: the authority can vouch for it", host)
		}
	}
}

func TestAuthoritySignsNothingButServers(t *testing.T) {
	a := authority(t, t.TempDir())
	client := sign(t, a, func(c *x509.Certificate) {
		c.ExtKeyUsage = []x509.ExtKeyUsage{x509.ExtKeyUsageCodeSigning}
		c.DNSNames = []string{"localhost"}
	})
	roots := x509.NewCertPool()
	roots.AddCert(a.cert)
	if _, err := client.Verify(x509.VerifyOptions{Roots: roots, CurrentTime: start, KeyUsages: []x509.ExtKeyUsage{x509.ExtKeyUsageCodeSigning}}); err == nil {
		t.Error("a code signing certificate of the authority is accepted")
	}

	// A second authority under it must not work: path length zero.
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	der, err := x509.CreateCertificate(rand.Reader, &x509.Certificate{
		SerialNumber: serial(), Subject: pkix.Name{CommonName: "below"}, NotBefore: start, NotAfter: start.Add(time.Hour),
		IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign,
	}, a.cert, key.Public(), a.key)
	if err != nil {
		t.Fatal(err)
	}
	below, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	leaf := sign(t, &Authority{below, key}, func(c *x509.Certificate) { c.DNSNames = []string{"localhost"} })
	middle := x509.NewCertPool()
	middle.AddCert(below)
	if _, err := leaf.Verify(x509.VerifyOptions{Roots: roots, Intermediates: middle, CurrentTime: start}); err == nil {
		t.Error("an authority below the authority is accepted")
	}
}

func TestAuthorityStaysAndItsKeyIsPrivate(t *testing.T) {
	dir := t.TempDir()
	first := authority(t, dir)
	keyName := filepath.Join(dir, keyFile)
	if err := os.Chmod(keyName, 0o644); err != nil {
		t.Fatal(err)
	}
	again, err := OpenAuthority(dir, "renamed laptop", start.AddDate(5, 0, 0))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first.DER(), again.DER()) || first.Fingerprint() != again.Fingerprint() {
		t.Error("the authority changed over a restart")
	}
	info, err := os.Stat(keyName)
	if err != nil {
		t.Fatal(err)
	}
	if info.Mode().Perm() != 0o600 {
		t.Errorf("the key file has mode %o, want 600", info.Mode().Perm())
	}
	if other := authority(t, t.TempDir()); other.Fingerprint() == first.Fingerprint() {
		t.Error("two authorities with one fingerprint")
	}
}

// TestBrokenAuthorityIsNeverReplaced: phones trust it, so a damaged one is for
// the person to put right.
func TestBrokenAuthorityIsNeverReplaced(t *testing.T) {
	for what, breakIt := range map[string]func(dir string) error{
		"no key":         func(dir string) error { return os.Remove(filepath.Join(dir, keyFile)) },
		"no certificate": func(dir string) error { return os.Remove(filepath.Join(dir, authorityFile)) },
		"cut key":        func(dir string) error { return os.Truncate(filepath.Join(dir, keyFile), 40) },
		"empty certificate": func(dir string) error {
			return os.WriteFile(filepath.Join(dir, authorityFile), nil, 0o600)
		},
		"another's key": func(dir string) error {
			other, err := os.MkdirTemp(dir, "other")
			if err != nil {
				return err
			}
			if _, err := OpenAuthority(other, "x", start); err != nil {
				return err
			}
			return os.Rename(filepath.Join(other, keyFile), filepath.Join(dir, keyFile))
		},
	} {
		dir := t.TempDir()
		authority(t, dir)
		if err := breakIt(dir); err != nil {
			t.Fatal(err)
		}
		_, err := OpenAuthority(dir, "kitchen laptop", start)
		if err == nil || fault.Of(err).Code != fault.Certificate {
			t.Errorf("%s: %v, want certificate", what, err)
		}
	}
	dir := t.TempDir()
	authority(t, dir)
	if _, err := OpenAuthority(dir, "x", start.AddDate(21, 0, 0)); err == nil || fault.Of(err).Code != fault.Certificate {
		t.Errorf("ended: %v", err)
	}
	if _, err := OpenAuthority(filepath.Join(dir, "none"), "x", start); err == nil || fault.Of(err).Code != fault.DataFolder {
		t.Errorf("no folder: %v", err)
	}
}

// laptop is a Leaf whose clock and network cards a test can change.
type laptop struct {
	*Leaf
	authority *Authority
	now       time.Time
	cards     []netip.Addr
	dir       string
}

func newLaptop(t *testing.T, dir string) *laptop {
	t.Helper()
	l := &laptop{authority: authority(t, dir), now: start, dir: dir, cards: []netip.Addr{
		netip.MustParseAddr("192.168.178.20"), netip.MustParseAddr("fe80::1%wlan0"), netip.MustParseAddr("2001:db8::7"),
	}}
	l.open(t)
	return l
}

func (l *laptop) open(t *testing.T) {
	t.Helper()
	leaf, err := l.authority.NewLeaf(LeafOptions{
		Dir:       l.dir,
		Names:     []string{"kitchen.local", "kitchen", "kitchen.example"},
		Addresses: func() []netip.Addr { return l.cards },
		Now:       func() time.Time { return l.now },
		Log:       slog.New(slog.DiscardHandler),
	})
	if err != nil {
		t.Fatal(err)
	}
	l.Leaf = leaf
}

// by is a connection that came in by an address.
type by struct {
	net.Conn
	addr string
}

func (c by) LocalAddr() net.Addr {
	return net.TCPAddrFromAddrPort(netip.AddrPortFrom(netip.MustParseAddr(c.addr), 443))
}

func (l *laptop) shown(t *testing.T, addr string) *x509.Certificate {
	t.Helper()
	cert, err := l.Certificate(&tls.ClientHelloInfo{Conn: by{addr: addr}})
	if err != nil {
		t.Fatal(err)
	}
	return cert.Leaf
}

func TestLeafCoversTheLaptopAndIsShortLived(t *testing.T) {
	l := newLaptop(t, t.TempDir())
	c := l.shown(t, "192.168.178.20")
	for _, host := range []string{"localhost", "kitchen.local", "127.0.0.1", "::1", "192.168.178.20", "fe80::1"} {
		if err := verify(l.authority, c, host, start); err != nil {
			t.Errorf("%s: %v", host, err)
		}
	}
	// A name or address outside the constraints would spoil the whole
	// certificate, so it must be left out.
	if slices.Contains(c.DNSNames, "kitchen.example") || slices.Contains(c.DNSNames, "kitchen") || len(c.IPAddresses) != 4 {
		t.Errorf("issued for %v %v", c.DNSNames, c.IPAddresses)
	}
	if life := c.NotAfter.Sub(c.NotBefore); life > 397*24*time.Hour {
		t.Errorf("lives %v", life)
	}
	if !slices.Equal(c.ExtKeyUsage, []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}) || c.IsCA {
		t.Errorf("usage %v, authority %v", c.ExtKeyUsage, c.IsCA)
	}
}

func TestLeafFollowsTheLaptop(t *testing.T) {
	l := newLaptop(t, t.TempDir())
	first := l.shown(t, "192.168.178.20")
	if again := l.shown(t, "127.0.0.1"); !again.Equal(first) {
		t.Error("reissued without need")
	}
	// A card with an address the authority may not sign for changes nothing.
	if again := l.shown(t, "2001:db8::7"); !again.Equal(first) {
		t.Error("reissued for an address that can't be covered")
	}

	l.cards = []netip.Addr{netip.MustParseAddr("10.1.2.3")}
	moved := l.shown(t, "10.1.2.3")
	if moved.Equal(first) {
		t.Fatal("not reissued on a new address")
	}
	if err := verify(l.authority, moved, "10.1.2.3", start); err != nil {
		t.Error(err)
	}
	// An address the list of cards doesn't know, such as one behind a bridge.
	if err := verify(l.authority, l.shown(t, "172.17.0.2"), "172.17.0.2", start); err != nil {
		t.Error(err)
	}
	if err := verify(l.authority, l.shown(t, "::ffff:10.1.2.3"), "10.1.2.3", start); err != nil {
		t.Error(err)
	}
}

func TestLeafIsRenewedBeforeItEnds(t *testing.T) {
	l := newLaptop(t, t.TempDir())
	first := l.shown(t, "127.0.0.1")
	l.now = first.NotAfter.Add(-31 * 24 * time.Hour)
	if !l.shown(t, "127.0.0.1").Equal(first) {
		t.Error("renewed too early")
	}
	l.now = first.NotAfter.Add(-29 * 24 * time.Hour)
	renewed := l.shown(t, "127.0.0.1")
	if renewed.Equal(first) {
		t.Fatal("not renewed a month before its end")
	}
	if err := verify(l.authority, renewed, "127.0.0.1", first.NotAfter.Add(time.Hour)); err != nil {
		t.Error(err)
	}
}

func TestLeafIsKeptOverARestart(t *testing.T) {
	l := newLaptop(t, t.TempDir())
	first := l.shown(t, "127.0.0.1")
	l.open(t)
	if !l.shown(t, "127.0.0.1").Equal(first) {
		t.Error("a restart made a new certificate")
	}
	if err := os.WriteFile(filepath.Join(l.dir, leafFile), []byte("garbage"), 0o600); err != nil {
		t.Fatal(err)
	}
	l.open(t)
	if err := verify(l.authority, l.shown(t, "127.0.0.1"), "localhost", start); err != nil {
		t.Errorf("after a damaged file: %v", err)
	}
	// Another authority, for instance after its files were removed on purpose.
	for _, name := range []string{authorityFile, keyFile} {
		if err := os.Remove(filepath.Join(l.dir, name)); err != nil {
			t.Fatal(err)
		}
	}
	l.authority = authority(t, l.dir)
	l.open(t)
	if err := verify(l.authority, l.shown(t, "127.0.0.1"), "localhost", start); err != nil {
		t.Errorf("after a new authority: %v", err)
	}
}

// TestHandshake joins both ends over a real connection with a client that
// trusts the authority and nothing else.
func TestHandshake(t *testing.T) {
	l := newLaptop(t, t.TempDir())
	ln, err := tls.Listen("tcp", "127.0.0.1:0", &tls.Config{GetCertificate: l.Certificate})
	if err != nil {
		t.Fatal(err)
	}
	defer ln.Close()
	served := make(chan error, 1)
	go func() {
		conn, err := ln.Accept()
		if err == nil {
			err = errors.Join(conn.(*tls.Conn).Handshake(), conn.Close())
		}
		served <- err
	}()
	roots := x509.NewCertPool()
	roots.AddCert(l.authority.cert)
	conn, err := tls.Dial("tcp", ln.Addr().String(), &tls.Config{RootCAs: roots, Time: func() time.Time { return start }})
	if err != nil {
		t.Fatal(err)
	}
	conn.Close()
	if err := <-served; err != nil {
		t.Error(err)
	}
}

func TestBroughtCertificate(t *testing.T) {
	l := newLaptop(t, t.TempDir())
	pair := filepath.Join(l.dir, leafFile) // a certificate and its key in one file
	get, names, err := Load(pair, pair, start)
	if err != nil {
		t.Fatal(err)
	}
	cert, err := get(nil)
	if err != nil || !cert.Leaf.Equal(l.shown(t, "127.0.0.1")) || !slices.Contains(names, "kitchen.local") {
		t.Errorf("got %v for %v, %v", cert, names, err)
	}
	ca := filepath.Join(l.dir, authorityFile)
	for what, tc := range map[string]struct {
		cert, key string
		at        time.Time
	}{
		"no file":        {filepath.Join(l.dir, "none"), pair, start},
		"another's key":  {pair, filepath.Join(l.dir, keyFile), start},
		"ended":          {pair, pair, start.AddDate(2, 0, 0)},
		"an authority’s": {ca, filepath.Join(l.dir, keyFile), start},
	} {
		_, _, err := Load(tc.cert, tc.key, tc.at)
		if err == nil || fault.Of(err).Code != fault.Certificate || !strings.Contains(fault.Of(err).English(), tc.cert) {
			t.Errorf("%s: %v", what, err)
		}
	}
}
