// Package digest is SHA-256 (FIPS 180-4) for both homes of the core. The server
// takes it from the standard library; the phone has the bare function, since
// crypto/sha256 brings ciphers, a random source and their self-tests along,
// which are 37 kB of the phone's download.
package digest

// Size is the length of a sum in bytes.
const Size = 32

// Hex writes a sum, or the beginning of one, in lower case.
func Hex(sum []byte) string {
	const digits = "0123456789abcdef"
	out := make([]byte, 0, 2*len(sum))
	for _, b := range sum {
		out = append(out, digits[b>>4], digits[b&15])
	}
	return string(out)
}

// The constants of FIPS 180-4, 4.2.2 and 5.3.3: the first 32 bits of the fractional
// parts of the cube roots of the first 64 primes, and of the square roots of the
// first eight.
var roundConstants = [64]uint32{
	0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
	0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
	0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
	0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
	0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
	0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
	0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
	0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2,
}

var beginning = [8]uint32{0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19}

const block = 64

// plain is SHA-256 as the standard describes it.
func plain(data []byte) (sum [Size]byte) {
	h := beginning
	whole := len(data) / block * block
	for at := 0; at < whole; at += block {
		compress(&h, data[at:at+block])
	}
	// The rest, a one bit, zeros, and the length in bits (5.1.1): one block or two.
	var last [2 * block]byte
	n := copy(last[:], data[whole:])
	last[n] = 0x80
	end := block
	if n+1+8 > block {
		end = 2 * block
	}
	for i, bits := 1, uint64(len(data))*8; i <= 8; i, bits = i+1, bits>>8 {
		last[end-i] = byte(bits)
	}
	for at := 0; at < end; at += block {
		compress(&h, last[at:at+block])
	}
	for i, word := range h {
		sum[4*i], sum[4*i+1], sum[4*i+2], sum[4*i+3] = byte(word>>24), byte(word>>16), byte(word>>8), byte(word)
	}
	return sum
}

// compress works one block in (6.2.2). The rotations are written out, since a
// call for each would cost more than the rest.
func compress(h *[8]uint32, data []byte) {
	var w [64]uint32
	for t := range 16 {
		w[t] = uint32(data[4*t])<<24 | uint32(data[4*t+1])<<16 | uint32(data[4*t+2])<<8 | uint32(data[4*t+3])
	}
	for t := 16; t < 64; t++ {
		x, y := w[t-2], w[t-15]
		s1 := (x>>17 | x<<15) ^ (x>>19 | x<<13) ^ x>>10
		s0 := (y>>7 | y<<25) ^ (y>>18 | y<<14) ^ y>>3
		w[t] = s1 + w[t-7] + s0 + w[t-16]
	}
	a, b, c, d, e, f, g, k := h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7]
	for t := range 64 {
		s1 := (e>>6 | e<<26) ^ (e>>11 | e<<21) ^ (e>>25 | e<<7)
		t1 := k + s1 + (e&f ^ ^e&g) + roundConstants[t] + w[t]
		s0 := (a>>2 | a<<30) ^ (a>>13 | a<<19) ^ (a>>22 | a<<10)
		t2 := s0 + (a&b ^ a&c ^ b&c)
		k, g, f, e, d, c, b, a = g, f, e, d+t1, c, b, a, t1+t2
	}
	h[0] += a
	h[1] += b
	h[2] += c
	h[3] += d
	h[4] += e
	h[5] += f
	h[6] += g
	h[7] += k
}
