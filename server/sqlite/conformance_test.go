package sqlite

import (
	"path/filepath"
	"testing"

	"panside/server/conformance"
)

func TestTheStoreIsAsItsCallersExpect(t *testing.T) {
	db := open(t, filepath.Join(t.TempDir(), "records.db"))
	conformance.TestDevices(t, db)
	conformance.TestOriginStore(t, db)
}
