package calibration_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"panside/internal/calibration"
	"panside/internal/mass"
)

// TestOIMLR111 holds every limit to OIML R 111-1:2004, table 1, typed from a
// reprint apart from the program.
func TestOIMLR111(t *testing.T) {
	f, err := os.Open(filepath.Join("..", "..", "testdata", "published", "oiml-r111.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 9 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	for _, row := range rows[1:] {
		for i, cell := range row[1:] {
			limit, ok := calibration.Limit(mass.Grams(number(row[0])), calibration.Class(rows[0][i+1]))
			if !ok {
				t.Errorf("%s g %s is missing", row[0], rows[0][i+1])
			}
			near(t, row[0]+" g "+rows[0][i+1]+" in mg", 1000*float64(limit), number(cell), 1e-9)
		}
	}
}
