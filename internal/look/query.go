package look

import (
	"slices"
	"strconv"

	"panside/internal/fault"
	"panside/internal/say"
)

// Check tells in a sentence what of a query can't be used. It knows words, not
// coins: which issues there are is the catalogue's business.
// Errors: fault.BadInput.
func (q Query) Check() error {
	switch {
	case q.Denomination == "":
		return fault.New(fault.BadInput, say.New("look-no-denomination"))
	case q.Year != 0 && (q.Year < 1500 || q.Year > 2100):
		return fault.New(fault.BadInput, say.New("look-year", say.Text("year", strconv.Itoa(q.Year))))
	case q.Hint != NoHint && !slices.Contains(hints, q.Hint):
		return fault.New(fault.BadInput, say.New("look-hint-unknown"))
	}
	return nil
}
