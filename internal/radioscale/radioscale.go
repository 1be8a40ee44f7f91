// Package radioscale reads weights from scales that speak the Weight Scale
// Service of Bluetooth Low Energy.
//
// Sources: Bluetooth SIG, Weight Scale Service 1.0 (2014) and GATT
// Specification Supplement, Weight Measurement and Weight Scale Feature. Their
// fields, units and steps are taken from public copies of these tables; that
// 0xFFFF is an unsuccessful measurement is known from memory.
//
// The finest step that the service can send is 5 g, or 0.01 lb (4.5 g), as heavy as
// a whole nickel. So Refuse takes the weight out of every reading before a coin
// could be judged by it.
package radioscale

import (
	"slices"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/moment"
	"panside/internal/say"
)

// Dialect is the name that readings from such a scale carry.
const Dialect = "radio-weight"

// Numbers that Bluetooth assigned to the service and its two characteristics.
const (
	Service     = 0x181D
	Measurement = 0x2A9D
	Feature     = 0x2A9E
)

// Flags of a measurement, by the bits of its first byte. What the other bits may
// mean one day is reserved.
const (
	inPounds  = 1 << iota // else in kilograms
	withTime              // 7 bytes
	withUser              // 1 byte
	withBody              // body mass index and height, 2 bytes each
	lastKnown = iota
)

const (
	header       = 3      // flags and weight
	unsuccessful = 0xFFFF // in place of a weight
)

var (
	cut      = fault.New(fault.Garbled, say.New("radio-length"))
	reserved = fault.New(fault.NotAScale, say.New("radio-reserved"))
	failed   = fault.New(fault.ScaleFault, say.New("radio-unsuccessful"))
)

// Steps says how finely a scale weighs; the zero value is the finest that the
// service can send, which counts for a scale that doesn't say.
type Steps struct{ code byte }

// steps of the feature's table, by the code in its bits 3 to 6. Code 0 is not
// specified, so that of the encoding itself is taken.
var steps = [...]struct{ grams, hundredths int }{
	{5, 1}, {500, 100}, {200, 50}, {100, 20}, {50, 10}, {20, 5}, {10, 2}, {5, 1},
}

// ParseFeature reads the value of the Weight Scale Feature. Bits past those of
// the table are passed over, as the service asks of whoever reads them. Errors:
// fault.Garbled for a value cut short, fault.NotAScale for a step that the table
// doesn't have.
func ParseFeature(value []byte) (Steps, error) {
	if len(value) < 4 {
		return Steps{}, cut
	}
	code := value[0] >> 3 & 0xF
	if int(code) >= len(steps) {
		return Steps{}, reserved
	}
	return Steps{code}, nil
}

// In is the step in kilograms, or in pounds.
func (s Steps) In(pounds bool) mass.Quantity {
	of := steps[s.code]
	if pounds {
		return mass.Quantity{Value: mass.NewDecimal(int64(of.hundredths), 2), Unit: mass.Pound}
	}
	return mass.Quantity{Value: mass.NewDecimal(int64(of.grams), 3), Unit: mass.Kilogram}
}

// Read decodes one Weight Measurement of a scale with these steps. at becomes the
// time of the reading. The weight is n × 0.005 kg or n × 0.01 lb, exactly. Time,
// user and body are passed over.
//
// A measurement with a reserved flag gives no weight: there are scales that say
// with one of them that they read below zero. Problems: fault.Garbled,
// fault.NotAScale, fault.ScaleFault.
func Read(value []byte, s Steps, at moment.Time) mass.Reading {
	r := mass.Reading{Raw: slices.Clone(value), At: at, Status: mass.StatusError, Dialect: Dialect}
	if len(value) < header {
		r.Problem = cut
		return r
	}
	flags, n := value[0], int64(value[1])|int64(value[2])<<8
	switch {
	case flags>>lastKnown != 0:
		r.Problem = reserved
	case len(value) != length(flags):
		r.Problem = cut
	case n == unsuccessful:
		r.Problem = failed
	default:
		step := s.In(flags&inPounds != 0)
		weight := mass.NewDecimal(n*5, 3)
		if step.Unit == mass.Pound {
			weight = mass.NewDecimal(n, 2)
		}
		r.Quantity, r.HasValue, r.Resolution = mass.Quantity{Value: weight, Unit: step.Unit}, true, step.Value
		r.Status = mass.StatusUnknown
	}
	return r
}

// length is that of a measurement with these flags.
func length(flags byte) int {
	n := header
	for bit, size := range [...]int{0, 7, 1, 4} {
		if flags>>bit&1 != 0 {
			n += size
		}
	}
	return n
}

// TooCoarse says to the person why no coin is judged by a scale with these steps.
// Its code is fault.TooCoarse.
func (s Steps) TooCoarse(pounds bool) *fault.Error {
	step := s.In(pounds)
	if !pounds { // 5 g is easier to grasp than 0.005 kg
		step = mass.Quantity{Value: mass.NewDecimal(int64(steps[s.code].grams), 0), Unit: mass.Gram}
	}
	return fault.New(fault.TooCoarse, say.New("radio-too-coarse",
		say.Figure("step", step.Value.String()), say.Text("unit", string(step.Unit))))
}

// Refuse takes the weight out of a reading and says instead that it is too coarse
// for a coin. A reading with another problem stays.
func (s Steps) Refuse(r mass.Reading) mass.Reading {
	if r.HasValue {
		r.Problem = s.TooCoarse(r.Quantity.Unit == mass.Pound)
		r.Quantity, r.HasValue, r.Resolution, r.Status = mass.Quantity{}, false, mass.Decimal{}, mass.StatusError
	}
	return r
}
