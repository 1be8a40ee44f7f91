//go:build !wordless

package say

// english are the templates by subject, a file each. Codes are one namespace: they begin
// with their subject.
var english = []map[string]string{
	enVerdict,
	enLook,
	enCalibration,
	enShown,
	enFaults,
	enServer,
}
