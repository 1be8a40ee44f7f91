//go:build phone

package say

// enServer stays with the server: what it says reaches the phone written out.
var enServer map[string]string
