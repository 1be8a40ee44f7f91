package simscale

import (
	"panside/internal/dialect"
	"panside/internal/mass"
)

// Status is what the display says of itself, in the words of a reading; ""
// when the scale is off.
func (d Display) Status() mass.Status {
	switch {
	case d.Off:
		return ""
	case d.Over:
		return mass.StatusOver
	case d.Under:
		return mass.StatusUnder
	case d.Unmarked:
		return mass.StatusUnknown
	case d.Zero:
		return mass.StatusZero
	case d.Stable:
		return mass.StatusStable
	}
	return mass.StatusMoving
}

// Line is the output line for what the display shows now, in a format of
// dialect.All by its name. It is nil when the scale is off, and for what the
// format can't say or a name that doesn't exist.
func (s *Scale) Line(format string) []byte {
	d, ok := dialect.ByName(format)
	if !ok || d.Format == nil || s.display.Off {
		return nil
	}
	return d.Format(mass.Quantity{Value: s.display.Value, Unit: mass.Gram}, s.display.Status())
}
