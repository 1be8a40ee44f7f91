package look

import (
	"slices"
	"strconv"

	"panside/internal/fault"
)

// Check tells in a sentence what of a query can't be used. It knows words, not
// coins: which issues there are is the catalogue's business.
// Errors: fault.BadInput.
func (q Query) Check() error {
	switch {
	case q.Denomination == "":
		return fault.New(fault.BadInput, "There is no denomination. Nothing was looked up; give one, such as cent.")
	case q.Year != 0 && (q.Year < 1500 || q.Year > 2100):
		return fault.New(fault.BadInput, "The year "+strconv.Itoa(q.Year)+" can’t be right. Nothing was looked up; check the year.")
	case q.Hint != NoHint && !slices.Contains(hints, q.Hint):
		return fault.New(fault.BadInput, "The hint can only be light, heavy or regular. Nothing was looked up; leave it out if there is no weighing.")
	}
	return nil
}
