package repocheck

import (
	"errors"
	"io/fs"
	"os"
	"testing"
)

// TestDownloadStaysSmall holds what a phone on a slow network has to load: the
// core with its catalogue, and the page before it.
func TestDownloadStaysSmall(t *testing.T) {
	const core = "../../pwa/dist/core/core.wasm.br"
	info, err := os.Stat(core)
	if errors.Is(err, fs.ErrNotExist) {
		t.Skip("the phone app isn't built, so there is no download to measure; the test command builds it first")
	}
	if err != nil {
		t.Fatal(err)
	}
	const most = 1_200_000
	t.Logf("core with catalogue: %d bytes brotli", info.Size())
	if info.Size() > most {
		t.Errorf("the core's download is %d bytes, more than %d: see what was drawn in with `go list -deps ./pwa/wasm`", info.Size(), most)
	}
}
