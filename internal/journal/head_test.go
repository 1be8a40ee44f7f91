package journal

import (
	"errors"
	"slices"
	"testing"
)

func TestLacking(t *testing.T) {
	at := func(w Writer, seq uint64, hash Hash) Head { return Head{w, seq, hash, int64(seq) * 10, "phone"} }
	promised := []Head{at("back", 5, "e5"), at("fork", 5, "e5"), at("gone", 5, "e5"), at("grown", 5, "e5"), at("other", 5, "e5"), at("same", 5, "e5")}
	there := []Head{at("back", 3, "e3"), at("fork", 7, "x7"), at("grown", 9, "e9"), at("new", 2, "e2"), at("other", 5, "x5"), at("same", 5, "e5")}
	got, err := Lacking(promised, there, func(h Head) (bool, error) { return h.Writer == "grown", nil })
	want := []Lack{
		{"back", 3, 5, "e5", 30, 50, "phone"},
		{"fork", 0, 5, "e5", 0, 50, "phone"},
		{"gone", 0, 5, "e5", 0, 50, "phone"},
		{"other", 0, 5, "e5", 0, 50, "phone"},
	}
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("%+v, %v", got, err)
	}
	if got[0].Count() != 2 || got[2].Count() != 5 {
		t.Error("miscounted")
	}
	broken := errors.New("the disk")
	if _, err := Lacking(promised, there, func(Head) (bool, error) { return false, broken }); !errors.Is(err, broken) {
		t.Errorf("%v", err)
	}
}
