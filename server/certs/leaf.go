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
	"sync"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/durable"
)

const (
	leafFile = "server.pem" // certificate and key

	// Some phones refuse more than 825 days even from an authority that people
	// added themselves; 397 also keeps below the 398 that browsers allowed
	// public ones for years (both from memory).
	leafLife  = 397 * 24 * time.Hour
	renewLeft = 30 * 24 * time.Hour
)

// Leaf is the server's own certificate. It follows the laptop: reissued when
// somebody comes in by an address it doesn't cover yet, and before it ends. Its
// methods are safe for concurrent use.
type Leaf struct {
	authority *Authority
	dir       string
	names     []string
	addresses func() []netip.Addr
	now       func() time.Time
	log       *slog.Logger

	mu      sync.Mutex
	current *tls.Certificate
	parsed  *x509.Certificate
}

// LeafOptions say what a Leaf is for.
type LeafOptions struct {
	Dir       string              // where it is kept over restarts
	Names     []string            // further names of this computer; those outside .local and localhost are left out
	Addresses func() []netip.Addr // of this computer's network cards
	Now       func() time.Time
	Log       *slog.Logger
}

// NewLeaf reads the kept certificate if it is still good, or issues one. It is
// kept because a person who only clicked the browser's warning away would have
// to do so again for every new one.
func (a *Authority) NewLeaf(opt LeafOptions) (*Leaf, error) {
	l := &Leaf{authority: a, dir: opt.Dir, addresses: opt.Addresses, now: opt.Now, log: opt.Log}
	for _, n := range opt.Names {
		if mayName(n) {
			l.names = append(l.names, n)
		}
	}
	if raw, err := os.ReadFile(filepath.Join(l.dir, leafFile)); err == nil {
		// One that can't be read is simply replaced: nobody trusts it by itself.
		if cert, err := tls.X509KeyPair(raw, raw); err == nil {
			l.current, l.parsed = &cert, cert.Leaf
		}
	}
	if l.stale(netip.Addr{}) {
		if err := l.issue(netip.Addr{}); err != nil {
			return nil, err
		}
	}
	return l, nil
}

func mayName(name string) bool {
	for _, p := range permittedNames {
		if name == p || strings.HasSuffix(name, "."+p) {
			return true
		}
	}
	return false
}

func mayAddress(ip netip.Addr) bool {
	return slices.ContainsFunc(permitted, func(p netip.Prefix) bool { return p.Contains(ip) })
}

// stale reports whether the current certificate must be replaced for a
// connection that came in by the address; the zero address asks for none.
func (l *Leaf) stale(by netip.Addr) bool {
	c, now := l.parsed, l.now()
	switch {
	case c == nil,
		c.CheckSignatureFrom(l.authority.cert) != nil,
		now.Before(c.NotBefore),
		now.After(c.NotAfter.Add(-renewLeft)):
		return true
	}
	for _, n := range l.names {
		if c.VerifyHostname(n) != nil {
			return true
		}
	}
	return by.IsValid() && mayAddress(by) && c.VerifyHostname(by.String()) != nil
}

// issue signs a new certificate for all present addresses and the one a
// connection came in by.
func (l *Leaf) issue(by netip.Addr) error {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return err
	}
	now := l.now()
	template := &x509.Certificate{
		SerialNumber: serial(),
		Subject:      pkix.Name{CommonName: "Panside"},
		NotBefore:    now.Add(-backdate),
		NotAfter:     now.Add(leafLife - backdate),
		KeyUsage:     x509.KeyUsageDigitalSignature,
		ExtKeyUsage:  []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		DNSNames:     append([]string{"localhost"}, l.names...),
	}
	wanted := append([]netip.Addr{netip.MustParseAddr("127.0.0.1"), netip.IPv6Loopback(), by}, l.addresses()...)
	var have []netip.Addr
	for _, ip := range wanted {
		ip = ip.Unmap().WithZone("")
		if mayAddress(ip) && !slices.Contains(have, ip) {
			have = append(have, ip)
			template.IPAddresses = append(template.IPAddresses, ip.AsSlice())
		}
	}
	der, err := x509.CreateCertificate(rand.Reader, template, l.authority.cert, key.Public(), l.authority.key)
	if err != nil {
		return err
	}
	keyPEM, err := encodeKey(key)
	if err != nil {
		return err
	}
	both := append(encodeCertificate(der), keyPEM...)
	cert, err := tls.X509KeyPair(both, both)
	if err != nil {
		return err
	}
	if err := durable.WriteFile(filepath.Join(l.dir, leafFile), both); err != nil {
		return unusableFolder(l.dir, err)
	}
	l.current, l.parsed = &cert, cert.Leaf
	l.log.Info("issued a server certificate", "addresses", have, "names", template.DNSNames, "until", template.NotAfter)
	return nil
}

// Certificate serves as tls.Config.GetCertificate. The address a connection
// came in by is one the laptop has, whatever the network did since the start.
func (l *Leaf) Certificate(hello *tls.ClientHelloInfo) (*tls.Certificate, error) {
	by := netip.Addr{}
	if hello.Conn != nil {
		if tcp, ok := hello.Conn.LocalAddr().(*net.TCPAddr); ok {
			by = tcp.AddrPort().Addr().Unmap().WithZone("")
		}
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.stale(by) {
		if err := l.issue(by); err != nil {
			// The old one still serves the other addresses.
			l.log.Error("can’t issue a server certificate", "cause", err)
			if l.current == nil {
				return nil, err
			}
		}
	}
	return l.current, nil
}

// Load reads a certificate chain and its key that the user brings. Names are
// those it was issued for. Error: fault.Certificate.
func Load(certFile, keyFile string, now time.Time) (get func(*tls.ClientHelloInfo) (*tls.Certificate, error), names []string, err error) {
	cert, err := tls.LoadX509KeyPair(certFile, keyFile)
	if err == nil {
		switch {
		case now.After(cert.Leaf.NotAfter):
			err = errors.New("it ended on " + cert.Leaf.NotAfter.Format("January 2, 2006"))
		case bytes.Equal(cert.Leaf.RawIssuer, cert.Leaf.RawSubject) && cert.Leaf.IsCA:
			err = errors.New("it is an authority’s certificate, not a server’s")
		}
	}
	if err != nil {
		return nil, nil, fault.Wrap(fault.Certificate, say.New("certificate-unusable", say.Text("certificate", certFile), say.Text("key", keyFile)), err)
	}
	return func(*tls.ClientHelloInfo) (*tls.Certificate, error) { return &cert, nil }, cert.Leaf.DNSNames, nil
}
