package certs

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

func TestProof(t *testing.T) {
	a, other := authority(t, t.TempDir()), authority(t, t.TempDir())
	const host, nonce = "192.168.1.5:8311", "AAAAAAAAAAAAAAAAAAAAAA"
	p, err := a.Prove(host, nonce)
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Verify(a.Fingerprint(), host, nonce); err != nil {
		t.Fatal(err)
	}
	if again, err := a.Prove(host, nonce); err != nil || bytes.Equal(again.Signature, p.Signature) {
		t.Errorf("the same signature twice (%v)", err)
	}
	foreign, err := other.Prove(host, nonce)
	if err != nil {
		t.Fatal(err)
	}
	bent := p
	bent.Signature = bytes.Clone(p.Signature)
	bent.Signature[40] ^= 1
	for what, refused := range map[string]error{
		"another server":          foreign.Verify(a.Fingerprint(), host, nonce),
		"another key's signature": Proof{p.Key, foreign.Signature}.Verify(a.Fingerprint(), host, nonce),
		"another host":            p.Verify(a.Fingerprint(), "192.168.1.6:8311", nonce),
		"another port":            p.Verify(a.Fingerprint(), "192.168.1.5:8312", nonce),
		"an old nonce":            p.Verify(a.Fingerprint(), host, "BBBBBBBBBBBBBBBBBBBBBB"),
		"a bent signature":        bent.Verify(a.Fingerprint(), host, nonce),
		"no signature":            Proof{p.Key, nil}.Verify(a.Fingerprint(), host, nonce),
		"no key":                  Proof{nil, p.Signature}.Verify(a.Fingerprint(), host, nonce),
		"half a fingerprint":      p.Verify(a.Fingerprint()[:20], host, nonce),
	} {
		if refused == nil {
			t.Errorf("%s is believed", what)
		}
	}
}

// TestProofByOpenSSL lets another implementation check a signature, where
// there is one; browsers' own check is in the browser tests.
func TestProofByOpenSSL(t *testing.T) {
	openssl, err := exec.LookPath("openssl")
	if err != nil {
		t.Skip("this machine has no openssl")
	}
	a := authority(t, t.TempDir())
	p, err := a.Prove("kitchen.local:8311", "AAAAAAAAAAAAAAAAAAAAAA")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for name, data := range map[string][]byte{
		"key.der": p.Key, "sig.der": derSignature(p.Signature),
		"message": ProofMessage("kitchen.local:8311", "AAAAAAAAAAAAAAAAAAAAAA"),
		"forged":  ProofMessage("kitchen.local:8312", "AAAAAAAAAAAAAAAAAAAAAA"),
	} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	verify := func(message string) ([]byte, error) {
		cmd := exec.Command(openssl, "dgst", "-sha256", "-keyform", "DER", "-verify", "key.der", "-signature", "sig.der", message)
		cmd.Dir = dir
		return cmd.CombinedOutput()
	}
	if out, err := verify("message"); err != nil {
		t.Errorf("%v: %s", err, out)
	}
	if out, err := verify("forged"); err == nil {
		t.Errorf("a forged message passes: %s", out)
	}
}

// derSignature wraps r and s as two ASN.1 integers in a sequence (RFC 3279,
// 2.2.3), the form openssl reads.
func derSignature(raw []byte) []byte {
	integer := func(b []byte) []byte {
		b = bytes.TrimLeft(b, "\x00")
		if b[0]&0x80 != 0 {
			b = append([]byte{0}, b...)
		}
		return append([]byte{2, byte(len(b))}, b...)
	}
	both := append(integer(raw[:32]), integer(raw[32:])...)
	return append([]byte{0x30, byte(len(both))}, both...)
}
