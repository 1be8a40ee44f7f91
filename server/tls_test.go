package main

import (
	"crypto/tls"
	"errors"
	"net/http"
	"slices"
	"testing"

	"panside/server/config"
)

// TestOnlySuitesThatAuthenticate offers each suite of TLS 1.2 alone, as an older
// phone may. Those with CBC are refused; TLS 1.1 is too.
func TestOnlySuitesThatAuthenticate(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	known := k.client.Transport.(*http.Transport).TLSClientConfig
	try := func(version uint16, suites ...uint16) error {
		c := known.Clone()
		c.MinVersion, c.MaxVersion, c.CipherSuites = tls.VersionTLS10, version, suites
		conn, err := tls.Dial("tcp", k.Addr().String(), c)
		if err != nil {
			return err
		}
		return conn.Close()
	}
	// The authority's keys are elliptic; suites for RSA keys have none to use here.
	good := []uint16{
		tls.TLS_ECDHE_ECDSA_WITH_AES_128_GCM_SHA256, tls.TLS_ECDHE_ECDSA_WITH_AES_256_GCM_SHA384, tls.TLS_ECDHE_ECDSA_WITH_CHACHA20_POLY1305_SHA256,
	}
	for _, s := range slices.Concat(tls.CipherSuites(), tls.InsecureCipherSuites()) {
		if !slices.Contains(s.SupportedVersions, tls.VersionTLS12) {
			continue
		}
		if err := try(tls.VersionTLS12, s.ID); (err == nil) != slices.Contains(good, s.ID) {
			t.Errorf("%s: %v", s.Name, err)
		}
	}
	if err := errors.Join(try(tls.VersionTLS12), try(tls.VersionTLS13)); err != nil {
		t.Error(err)
	}
	if try(tls.VersionTLS11) == nil {
		t.Error("TLS 1.1 is spoken")
	}
}
