package syncsim

import (
	"math/rand/v2"
	"strings"
	"testing"

	"panside/internal/sync/synctest"
	"panside/server/testjpeg"
)

// TestTheRealLaptopIsLikeThatOfTheSyncsTests; internal/sync holds that one to
// the same.
func TestTheRealLaptopIsLikeThatOfTheSyncsTests(t *testing.T) {
	empty := t.TempDir()
	template(t, empty)
	l := &laptop{t: t, rng: rand.New(rand.NewPCG(1, 1)), base: t.TempDir(), faults: faults{}, lost: func() {}, calm: true, steady: true}
	first := l.folder()
	copyFolder(t, empty, first)
	l.start(first)
	defer l.stop()
	synctest.Conform(t, testjpeg.Noise(1, 40), func(q synctest.Request) (int, []byte) {
		status, body, _ := l.serve(request{q.Method, strings.TrimPrefix(q.Path, "/api/v1"), q.Headers["Content-Range"], q.Body})
		return status, body
	})
}
