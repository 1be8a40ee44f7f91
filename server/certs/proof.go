package certs

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"encoding/base64"
	"errors"
	"math/big"
)

// Proof lets a phone check that the server it reached at some address holds
// the authority's key, whose fingerprint it knows from the code it scanned.
type Proof struct {
	// Key is the authority's public key as a SubjectPublicKeyInfo (DER); its
	// SHA-256 is the Fingerprint.
	Key []byte
	// Signature is ECDSA on P-256 with SHA-256 over ProofMessage: r and s, 32
	// bytes each, big-endian (the form of IEEE P1363, which browsers verify).
	Signature []byte
}

// ProofMessage is what is signed: three lines, each with its line feed. The
// first keeps the signature from meaning anything else: nothing else the
// authority signs begins so, a certificate's bytes begin with 0x30. The host
// is the one the phone asked for, port included as in the Host header, so that
// a server at an old address can't pass the question on and hand back the
// answer. The nonce makes each answer a new one.
func ProofMessage(host, nonce string) []byte {
	return []byte("panside server proof, version 1\nhost " + host + "\nnonce " + nonce + "\n")
}

// Prove signs. The caller makes sure that host is one of this server's.
func (a *Authority) Prove(host, nonce string) (Proof, error) {
	hash := sha256.Sum256(ProofMessage(host, nonce))
	r, s, err := ecdsa.Sign(rand.Reader, a.key, hash[:])
	if err != nil {
		return Proof{}, err
	}
	signature := make([]byte, 64)
	r.FillBytes(signature[:32])
	s.FillBytes(signature[32:])
	return Proof{a.cert.RawSubjectPublicKeyInfo, signature}, nil
}

// Verify is what a phone does with a proof: the key must be the one the
// fingerprint names and have signed for this host and nonce.
func (p Proof) Verify(fingerprint, host, nonce string) error {
	sum := sha256.Sum256(p.Key)
	if base64.RawURLEncoding.EncodeToString(sum[:]) != fingerprint {
		return errors.New("another key than the one the fingerprint names")
	}
	parsed, err := x509.ParsePKIXPublicKey(p.Key)
	if err != nil {
		return err
	}
	key, ok := parsed.(*ecdsa.PublicKey)
	if !ok || key.Curve != elliptic.P256() || len(p.Signature) != 64 {
		return errors.New("not a signature by a P-256 key")
	}
	hash := sha256.Sum256(ProofMessage(host, nonce))
	r, s := new(big.Int).SetBytes(p.Signature[:32]), new(big.Int).SetBytes(p.Signature[32:])
	if !ecdsa.Verify(key, hash[:], r, s) {
		return errors.New("the key did not sign this")
	}
	return nil
}
