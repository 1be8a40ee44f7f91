// Package mass holds weights: exact decimal values as a scale shows them, the
// units they come in, the scale's own uncertainty, and the two records that
// travel through the program, Reading and Estimate.
//
// What a scale displays is kept exactly (Decimal). Floating point (Grams)
// begins only where statistics begin.
package mass

// Grams is a mass in grams for statistics. What a scale displayed is a
// Quantity instead.
type Grams float64

// Quantity is an exact value with its unit, as read or typed.
type Quantity struct {
	Value Decimal
	Unit  Unit
}

// Grams converts exactly to grams. A finer unit brings more digits along; none
// is rounded away. Errors: fault.UnknownUnit, fault.RefusedUnit, and
// fault.BadNumber if the exact result has more than 18 digits.
func (q Quantity) Grams() (Decimal, error) {
	f, err := q.Unit.Factor()
	if err != nil {
		return Decimal{}, err
	}
	return q.Value.Mul(f)
}

// String prints the value with its digits and the unit's usual symbol.
func (q Quantity) String() string { return q.Value.String() + " " + string(q.Unit) }
