package digest

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"testing"

	"pgregory.net/rapid"
)

// TestPublishedSums are NIST's examples for SHA-256 (CSRC, “SHA-256 examples”, one
// and two blocks), the million letters of FIPS 180-2's appendix B.3, and nothing.
func TestPublishedSums(t *testing.T) {
	for _, c := range []struct {
		data []byte
		sum  string
	}{
		{nil, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
		{[]byte("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
		{[]byte("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"), "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
		{bytes.Repeat([]byte("a"), 1_000_000), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"},
	} {
		for _, sum := range [][Size]byte{plain(c.data), Sum256(c.data)} {
			if got := Hex(sum[:]); got != c.sum {
				t.Errorf("%d bytes: %s, want %s", len(c.data), got, c.sum)
			}
		}
	}
}

// TestEqualsTheStandardLibrary at every length around the blocks' ends.
func TestEqualsTheStandardLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOfN(rapid.Byte(), 0, 200).Draw(t, "data")
		want := sha256.Sum256(data)
		if got := plain(data); got != want || Hex(got[:]) != hex.EncodeToString(want[:]) {
			t.Fatalf("%x, want %x", got, want)
		}
	})
	for n := range 300 {
		data := bytes.Repeat([]byte{0xa5}, n)
		if plain(data) != sha256.Sum256(data) {
			t.Errorf("%d bytes differ", n)
		}
	}
}
