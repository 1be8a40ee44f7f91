//go:build !js

package digest

import "crypto/sha256"

// Sum256 is the SHA-256 of data.
func Sum256(data []byte) [Size]byte { return sha256.Sum256(data) }
