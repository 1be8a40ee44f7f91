package hints_test

import (
	"slices"
	"testing"

	"panside/internal/book/data"
	"panside/internal/hints"
	"panside/internal/look"
)

// TestLookForsAreInTheBook: each kind of mark leads to kinds that the book has, with what is taken for a
// second image among them, and to a question of the key.
func TestLookForsAreInTheBook(t *testing.T) {
	book := data.Looks()
	kinds := book.Kinds()
	for _, kind := range []hints.Kind{hints.SecondImage, hints.OtherSide, hints.Differs} {
		look, key := kind.LookFors()
		for _, id := range look {
			if !has(kinds, id) {
				t.Errorf("%s leads to %s, which isn't in the book", kind, id)
			}
		}
		if key != "" && !asks(book.Key(), key) {
			t.Errorf("%s leads to %s, which the key doesn't ask", kind, key)
		}
	}
	if look, _ := hints.SecondImage.LookFors(); !slices.Contains(look, "strike-doubling") || !slices.Contains(look, "worn-die-doubling") {
		t.Errorf("a second image leads to %v, without what is taken for a doubled die", look)
	}
}

func has(kinds []look.Kind, id string) bool {
	return slices.ContainsFunc(kinds, func(k look.Kind) bool { return k.ID == id })
}

func asks(k look.Key, question string) bool {
	return slices.ContainsFunc(k.Questions, func(q look.Question) bool { return q.ID == question })
}
