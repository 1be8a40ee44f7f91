package density_test

import (
	"slices"
	"testing"

	"panside/internal/density"
	"panside/internal/say"
)

func TestCompare(t *testing.T) {
	metals := append([]density.Metal{{Name: "90% silver", Low: 10.30, High: 10.35}, {Name: "copper-nickel", Low: 8.92, High: 8.97}}, density.Foreign(say.English)...)
	got := density.Compare(density.Result{Density: 10.32, U: 0.03}, metals)
	if got[0].Name != "90% silver" || got[0].Misfit != 0 {
		t.Errorf("best match %+v", got[0])
	}
	remaining := map[string]bool{}
	for _, m := range got {
		remaining[m.Name] = m.Remains
	}
	if remaining["copper-nickel"] || remaining["iron and steel"] || !remaining["lead and its alloys with tin"] {
		t.Errorf("remaining: %v", remaining)
	}
	// The traditional trap: tungsten passes for fine gold.
	gold := density.Compare(density.Result{Density: 19.28, U: 0.05}, density.Foreign(say.English))
	for _, name := range []string{"tungsten", "fine gold"} {
		i := slices.IndexFunc(gold, func(m density.Match) bool { return m.Name == name })
		if !gold[i].Remains {
			t.Errorf("%s is excluded at 19.28: %v", name, gold[i].Misfit)
		}
	}
}
