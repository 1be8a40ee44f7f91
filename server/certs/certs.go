// Package certs gives the server its HTTPS certificate: from a small authority
// of its own, made on first run, or from files the user brings.
//
// The authority's certificate is what a person installs on a phone, so it is
// made to be harmless elsewhere: critical name constraints (RFC 5280, 4.2.1.10)
// keep it to .local names, localhost and private, link-local and loopback
// addresses; it may sign TLS servers only and no further authority. Its key
// file is readable by its owner alone.
//
// The authority's key is also how a phone knows this server again after its
// address changed (Fingerprint), also when the user brings a certificate.
package certs

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/base64"
	"encoding/pem"
	"errors"
	"io/fs"
	"math/big"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/durable"
	"panside/server/spoken"
)

const (
	authorityFile = "authority.pem"
	keyFile       = "authority-key.pem"

	authorityLife = 20 * 365 * 24 * time.Hour
	// backdate lets a phone in whose clock is behind.
	backdate = 24 * time.Hour
)

// permitted are the address ranges the authority may sign for: loopback
// (RFC 1122, RFC 4291), private (RFC 1918), unique local (RFC 4193) and
// link-local (RFC 3927, RFC 4291).
var permitted = []netip.Prefix{
	netip.MustParsePrefix("127.0.0.0/8"),
	netip.MustParsePrefix("10.0.0.0/8"),
	netip.MustParsePrefix("172.16.0.0/12"),
	netip.MustParsePrefix("192.168.0.0/16"),
	netip.MustParsePrefix("169.254.0.0/16"),
	netip.MustParsePrefix("::1/128"),
	netip.MustParsePrefix("fc00::/7"),
	netip.MustParsePrefix("fe80::/10"),
}

// permittedNames cover the name itself and all below it.
var permittedNames = []string{"local", "localhost"}

// Authority signs the server's certificates.
type Authority struct {
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
}

// OpenAuthority reads the authority from a folder, or makes it if the folder
// has none. owner stands in the certificate's name, so that a person finds it
// again in a phone's list.
//
// Errors: fault.DataFolder if the folder can't be used, fault.Certificate if
// the files are there and can't be used; they are never replaced silently,
// since every phone trusts them.
func OpenAuthority(dir, owner string, now time.Time) (*Authority, error) {
	certName, keyName := filepath.Join(dir, authorityFile), filepath.Join(dir, keyFile)
	certPEM, certErr := os.ReadFile(certName)
	keyPEM, keyErr := os.ReadFile(keyName)
	if errors.Is(certErr, fs.ErrNotExist) && errors.Is(keyErr, fs.ErrNotExist) {
		return makeAuthority(dir, owner, now)
	}
	a, err := parseAuthority(certPEM, keyPEM, errors.Join(certErr, keyErr))
	if err != nil {
		return nil, fault.Wrap(fault.Certificate, say.New("certificate-authority-unusable", say.Text("folder", dir), say.Text("certificate", authorityFile), say.Text("key", keyFile)), err)
	}
	if now.After(a.cert.NotAfter) {
		return nil, fault.New(fault.Certificate, say.New("certificate-authority-ended", say.Text("folder", dir), say.Of("day", spoken.Day(a.cert.NotAfter)), say.Text("certificate", authorityFile), say.Text("key", keyFile)))
	}
	// A copy from a backup may have become readable for others.
	if err := os.Chmod(keyName, 0o600); err != nil {
		return nil, unusableFolder(dir, err)
	}
	return a, nil
}

func parseAuthority(certPEM, keyPEM []byte, readErr error) (*Authority, error) {
	if readErr != nil {
		return nil, readErr
	}
	cert, err := parseCertificate(certPEM)
	if err != nil {
		return nil, err
	}
	key, err := parseKey(keyPEM)
	if err != nil {
		return nil, err
	}
	if !key.PublicKey.Equal(cert.PublicKey) {
		return nil, errors.New("the key is not the certificate’s")
	}
	if !cert.IsCA {
		return nil, errors.New("the certificate is no authority")
	}
	return &Authority{cert, key}, nil
}

func makeAuthority(dir, owner string, now time.Time) (*Authority, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	template := &x509.Certificate{
		SerialNumber:                serial(),
		Subject:                     pkix.Name{CommonName: "Panside home authority, " + owner},
		NotBefore:                   now.Add(-backdate),
		NotAfter:                    now.Add(authorityLife),
		KeyUsage:                    x509.KeyUsageCertSign | x509.KeyUsageCRLSign,
		ExtKeyUsage:                 []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		IsCA:                        true,
		BasicConstraintsValid:       true,
		MaxPathLenZero:              true,
		PermittedDNSDomainsCritical: true,
		PermittedDNSDomains:         permittedNames,
		PermittedIPRanges:           ipNets(permitted),
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	if err != nil {
		return nil, err
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, err
	}
	keyPEM, err := encodeKey(key)
	if err != nil {
		return nil, err
	}
	// The key first: a certificate without its key would be refused next time,
	// a key without certificate as well; both are there or the start failed.
	if err := durable.WriteFile(filepath.Join(dir, keyFile), keyPEM); err != nil {
		return nil, unusableFolder(dir, err)
	}
	if err := durable.WriteFile(filepath.Join(dir, authorityFile), encodeCertificate(der)); err != nil {
		_ = os.Remove(filepath.Join(dir, authorityFile)) // there if its name alone isn't on the disk
		return nil, unusableFolder(dir, errors.Join(err, os.Remove(filepath.Join(dir, keyFile))))
	}
	return &Authority{cert, key}, nil
}

// DER is the authority's certificate as phones install it.
func (a *Authority) DER() []byte { return a.cert.Raw }

// Name is how a phone lists the authority.
func (a *Authority) Name() string { return a.cert.Subject.CommonName }

// Fingerprint names the server by the authority's public key: the SHA-256 of
// its SubjectPublicKeyInfo, base64url without padding.
func (a *Authority) Fingerprint() string {
	sum := sha256.Sum256(a.cert.RawSubjectPublicKeyInfo)
	return base64.RawURLEncoding.EncodeToString(sum[:])
}

func ipNets(prefixes []netip.Prefix) []*net.IPNet {
	nets := make([]*net.IPNet, len(prefixes))
	for i, p := range prefixes {
		nets[i] = &net.IPNet{
			IP:   p.Addr().AsSlice(),
			Mask: net.CIDRMask(p.Bits(), p.Addr().BitLen()),
		}
	}
	return nets
}

// serial is a random serial number of 127 bits (RFC 5280, 4.1.2.2: positive,
// at most 20 octets).
func serial() *big.Int {
	b := make([]byte, 16)
	rand.Read(b)
	b[0] &= 0x7f
	b[15] |= 1 // never zero
	return new(big.Int).SetBytes(b)
}

func encodeCertificate(der []byte) []byte {
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der})
}

func encodeKey(key *ecdsa.PrivateKey) ([]byte, error) {
	der, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, err
	}
	return pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: der}), nil
}

func parseCertificate(text []byte) (*x509.Certificate, error) {
	block, _ := pem.Decode(text)
	if block == nil || block.Type != "CERTIFICATE" {
		return nil, errors.New("no PEM certificate")
	}
	return x509.ParseCertificate(block.Bytes)
}

func parseKey(text []byte) (*ecdsa.PrivateKey, error) {
	block, _ := pem.Decode(text)
	if block == nil || block.Type != "PRIVATE KEY" {
		return nil, errors.New("no PEM private key")
	}
	key, err := x509.ParsePKCS8PrivateKey(block.Bytes)
	if err != nil {
		return nil, err
	}
	ec, ok := key.(*ecdsa.PrivateKey)
	if !ok {
		return nil, errors.New("not an elliptic curve key")
	}
	return ec, nil
}

func unusableFolder(dir string, err error) error {
	return fault.Wrap(fault.DataFolder, say.New("folder-unwritable", say.Text("folder", dir)), err)
}
