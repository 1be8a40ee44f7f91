package figures

import (
	"os"
	"path/filepath"
	"testing"

	"panside/internal/othercoin"
)

// shoot photographs a scene of the second world of coins. Rendering takes longer than judging, so
// PANSIDE_KEPT names a folder where photos are kept for the next run, of other code under test; who
// changes how scenes are rendered empties it.
func shoot(t testing.TB, s *othercoin.Scene) *othercoin.Shot {
	folder := os.Getenv("PANSIDE_KEPT")
	if folder == "" {
		return s.Shoot()
	}
	name := filepath.Join(folder, s.Name()+".jpg")
	if kept, err := os.ReadFile(name); err == nil {
		shot, err := s.Again(kept)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		return shot
	}
	shot := s.Shoot()
	if err := os.WriteFile(name, shot.JPEG, 0o600); err != nil {
		t.Fatal(err)
	}
	return shot
}
