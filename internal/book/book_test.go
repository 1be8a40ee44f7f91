package book_test

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"panside/internal/book"
	"panside/internal/book/booktest"
	"panside/internal/book/data"
	"panside/internal/fault"
	"panside/internal/look"
)

// opened is a shelf with the manifest alone.
func opened(t *testing.T) *book.Shelf {
	t.Helper()
	s := book.NewShelf()
	if err := s.Open(data.Files()[book.ManifestName], "en"); err != nil {
		t.Fatal(err)
	}
	return s
}

// lacks returns the files that err asks for.
func lacks(t *testing.T, err error) []string {
	t.Helper()
	var lacking *book.Lacking
	if !errors.As(err, &lacking) {
		t.Fatalf("%v, want files that are lacking", err)
	}
	return lacking.Names
}

func put(t *testing.T, s *book.Shelf, names []string) {
	t.Helper()
	for _, n := range names {
		if err := s.Put(n, data.Files()[n]); err != nil {
			t.Fatal(err)
		}
	}
}

func code(err error) fault.Code {
	if err == nil {
		return ""
	}
	return fault.Of(err).Code
}

// TestEachQuestionAsksForItsOwnFiles: first the manifest, then what the country's
// judgements take, and the look-fors of a denomination when they are asked for.
func TestEachQuestionAsksForItsOwnFiles(t *testing.T) {
	s := book.NewShelf()
	_, err := s.Judging("US")
	if names := lacks(t, err); !slices.Equal(names, []string{book.ManifestName}) {
		t.Fatalf("an empty shelf asks for %v", names)
	}
	s = opened(t)
	_, err = s.Judging("US")
	put(t, s, lacks(t, err))
	coins, err := s.Judging("US")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := coins.Find("US", "cent", 1982, "D"); err != nil {
		t.Error(err)
	}
	_, err = s.LooksOf("US", "cent")
	names := lacks(t, err)
	if len(names) != 2 || !strings.Contains(names[1], "/us/cent-") {
		t.Fatalf("a cent's look-fors ask for %v", names)
	}
	put(t, s, names)
	looks, err := s.LooksOf("US", "cent")
	if err != nil {
		t.Fatal(err)
	}
	q := look.Query{Country: "US", Denomination: "cent", Year: 1955}
	if got, want := looks.Sheet(q), data.Looks().Sheet(q); !reflect.DeepEqual(got, want) {
		t.Errorf("a sheet of %d, want %d", len(got), len(want))
	}
	_, err = s.LooksOf("US", "dime")
	if names := lacks(t, err); len(names) != 1 {
		t.Errorf("a dime's look-fors ask for %v", names)
	}
	_, err = s.LooksWithKey()
	put(t, s, lacks(t, err))
	withKey, err := s.LooksWithKey()
	if err != nil || withKey.Key().Start != data.Looks().Key().Start {
		t.Errorf("the key: %v", err)
	}
	if _, err := s.LooksOf("US", "penny"); err != nil {
		t.Errorf("a denomination without look-fors of its own: %v", err)
	}
}

// TestADamagedFileIsRefusedAndToldOnce: any changed byte, a cut file and one under
// another's name; whoever needs it is told once, and then it is asked for anew.
func TestADamagedFileIsRefusedAndToldOnce(t *testing.T) {
	s := opened(t)
	_, err := s.Judging("US")
	names := lacks(t, err)
	put(t, s, names[1:])
	whole := data.Files()[names[0]]
	flipped := bytes.Clone(whole)
	flipped[len(flipped)/2] ^= 1
	for what, content := range map[string][]byte{
		"a flipped bit": flipped, "a cut file": whole[:len(whole)-1], "nothing": nil, "another file": data.Files()[names[1]],
	} {
		if err := s.Put(names[0], content); code(err) != fault.BookDamaged {
			t.Errorf("%s: %v", what, err)
		}
		if _, err := s.Judging("US"); code(err) != fault.BookDamaged || fault.Of(err).English() == "" {
			t.Errorf("asked after %s: %v", what, err)
		}
		_, err := s.Judging("US")
		if again := lacks(t, err); !slices.Equal(again, names[:1]) {
			t.Errorf("after %s it asks for %v", what, again)
		}
	}
	put(t, s, names[:1])
	if _, err := s.Judging("US"); err != nil {
		t.Error(err)
	}
}

func TestAFileThatCannotBeHadIsToldOnce(t *testing.T) {
	s := opened(t)
	_, err := s.LooksOf("US", "cent")
	names := lacks(t, err)
	put(t, s, names[:1])
	for gone, want := range map[bool]fault.Code{false: fault.BookMissing, true: fault.BookVersion} {
		s.Lost(names[1], "why", gone)
		if _, err := s.LooksOf("US", "cent"); code(err) != want {
			t.Errorf("gone %v: %v", gone, err)
		}
		if _, err := s.LooksOf("US", "penny"); err != nil {
			t.Errorf("one that doesn't need it: %v", err)
		}
		_, err := s.LooksOf("US", "cent")
		if again := lacks(t, err); !slices.Equal(again, names[1:]) {
			t.Errorf("then it asks for %v", again)
		}
	}
}

// TestAManifestOfAnotherVersion: a newer core with older data, and the other way
// round, say so instead of reading what they don't know.
func TestAManifestOfAnotherVersion(t *testing.T) {
	sound := string(data.Files()[book.ManifestName])
	this := fmt.Sprintf(`"format":%d`, book.Format)
	for manifest, want := range map[string]fault.Code{
		strings.Replace(sound, this, fmt.Sprintf(`"format":%d,"more":true`, book.Format+1), 1): fault.BookVersion,
		strings.Replace(sound, this, `"format":0`, 1):                                          fault.BookVersion,
		sound[:len(sound)/2]: fault.BookDamaged,
		"<!doctype html>":    fault.BookDamaged,
		"{" + this + "}":     fault.BookDamaged,
		strings.Replace(sound, this, this+`,"more":true`, 1): fault.BookDamaged,
	} {
		s := book.NewShelf()
		if err := s.Open([]byte(manifest), "en"); code(err) != want {
			t.Errorf("%.40s: %v, want %s", manifest, err, want)
		}
		if _, err := s.Coins(); code(err) != want {
			t.Errorf("asked for after %.40s: %v", manifest, err)
		}
		_, err := s.Coins()
		if names := lacks(t, err); !slices.Equal(names, []string{book.ManifestName}) {
			t.Errorf("then it asks for %v", names)
		}
	}
}

// TestAJudgementNeedsNoOtherCountry: with strays from fewer countries it takes
// fewer files, and another country's come when they are asked for.
func TestAJudgementNeedsNoOtherCountry(t *testing.T) {
	files := booktest.FewerStrays(t)
	s := book.NewShelf()
	if err := s.Open(files[book.ManifestName], "en"); err != nil {
		t.Fatal(err)
	}
	for _, step := range []struct {
		country string
		files   int // metals, own, strays, strangers
	}{{"US", 3}, {"CA", 3}, {"GB", 0}} {
		_, err := s.Judging(step.country)
		if step.files == 0 {
			if err != nil {
				t.Errorf("%s still wants %v", step.country, err)
			}
			continue
		}
		names := lacks(t, err)
		if len(names) != step.files {
			t.Errorf("%s takes %v, want %d files", step.country, names, step.files)
		}
		for _, n := range names {
			if err := s.Put(n, files[n]); err != nil {
				t.Fatal(err)
			}
		}
	}
	coins, err := s.Judging("US")
	if err != nil || len(coins.Countries()) != 4 || coins.Countries()[0].ID != "US" || coins.Countries()[2].ID != "GB" {
		t.Errorf("in the end it has %v, %v", coins.Countries(), err)
	}
}
