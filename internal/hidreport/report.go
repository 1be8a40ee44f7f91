package hidreport

import (
	"slices"
	"strconv"
	"time"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

// Dialect is the name that readings from a HID scale carry.
const Dialect = "hid-weight"

var (
	cut        = fault.New(fault.Garbled, say.New("usb-report-length"))
	impossible = fault.New(fault.Garbled, say.New("usb-report-impossible"))
	noUnit     = fault.New(fault.UnknownUnit, say.New("usb-no-unit"))
	over       = fault.New(fault.Overload, say.New("scale-overload"))
	under      = fault.New(fault.Underload, say.New("usb-below-zero"))
)

func trouble(says say.Line) *fault.Error {
	return fault.New(fault.ScaleFault, says)
}

// statuses of the usage table, by their place in the list.
var statuses = [...]struct {
	status  mass.Status
	problem *fault.Error
}{
	1: {mass.StatusError, trouble(say.New("usb-fault"))},
	2: {mass.StatusZero, nil},
	3: {mass.StatusMoving, nil},
	4: {mass.StatusStable, nil},
	5: {mass.StatusUnder, under},
	6: {mass.StatusOver, over},
	7: {mass.StatusError, trouble(say.New("usb-calibration"))},
	8: {mass.StatusError, trouble(say.New("usb-zero"))},
}

// units of the usage table, by their place in the list, in the spellings of
// mass.ParseUnit; it refuses the tael and the tons.
var units = [...]string{
	1: "mg", 2: "g", 3: "kg", 4: "ct", 5: "tael", 6: "gr", 7: "dwt", 8: "t", 9: "ton", 10: "ozt", 11: "oz", 12: "lb",
}

// Read decodes one report as the device sent it, with its number in front if
// the device numbers its reports. ours is false for reports that carry no
// weight. at becomes the time of the reading.
//
// A weight in motion has the status of one and its value. One under zero is
// given out without a value: by the tables the weight is a magnitude then, which
// is known from memory only. A device without a status field gives the status
// unknown. Problems: fault.Garbled, fault.ScaleFault, fault.Overload,
// fault.Underload, fault.UnknownUnit, fault.RefusedUnit.
func (l *Layout) Read(report []byte, at time.Time) (r mass.Reading, ours bool) {
	data := report
	if l.id != 0 {
		if len(report) == 0 || report[0] != l.id {
			return mass.Reading{}, false
		}
		data = report[1:]
	}
	r = mass.Reading{Raw: slices.Clone(report), At: at, Status: mass.StatusError, Dialect: Dialect}
	n := (l.bits + 7) / 8
	if len(data) < n || slices.ContainsFunc(data[n:], func(b byte) bool { return b != 0 }) {
		r.Problem = cut
		return r, true
	}
	r.Status, r.Problem = l.readStatus(data)
	if r.Problem == nil {
		l.readWeight(data, &r)
	}
	return r, true
}

func (l *Layout) readStatus(data []byte) (mass.Status, *fault.Error) {
	if l.status.size == 0 {
		return mass.StatusUnknown, nil
	}
	i, ok := l.status.member(data, usageStatus)
	if !ok || i >= len(statuses) {
		return mass.StatusError, impossible
	}
	return statuses[i].status, statuses[i].problem
}

// readWeight sets the quantity, or the status and problem that say why not.
func (l *Layout) readWeight(data []byte, r *mass.Reading) {
	fail := func(why *fault.Error) { r.Status, r.Problem = mass.StatusError, why }
	i, ok := l.unit.member(data, usageUnit)
	if !ok || i >= len(units) {
		fail(noUnit)
		return
	}
	unit, err := mass.ParseUnit(units[i])
	if err != nil {
		fail(fault.Of(err))
		return
	}
	power := int64(0)
	if l.scale.size > 0 {
		power = l.scale.value(data)
	}
	value, ok1 := decimal(l.weight.value(data), power)
	step, ok2 := decimal(1, power)
	if !ok1 || !ok2 {
		fail(impossible)
		return
	}
	r.Quantity, r.HasValue, r.Resolution = mass.Quantity{Value: value, Unit: unit}, true, step
}

// decimal is n × 10^power, exactly; ok is false if it has too many digits.
func decimal(n, power int64) (d mass.Decimal, ok bool) {
	switch {
	case power < -15 || power > 15:
		return mass.Decimal{}, false
	case power <= 0:
		return mass.NewDecimal(n, uint8(-power)), true
	}
	text := strconv.FormatInt(n, 10) + "000000000000000"[:power]
	d, err := mass.ParseDecimal(text)
	return d, err == nil
}

// value is the field's number.
func (f field) value(data []byte) int64 {
	var u uint64
	for i := range f.size {
		at := f.offset + i
		u |= uint64(data[at/8]>>(at%8)&1) << i
	}
	if f.signed && u>>(f.size-1) == 1 {
		return int64(u) - 1<<f.size
	}
	return int64(u)
}

// member is the place in a list that the field selects, from 1. A plain field
// of the list's usage holds the place itself.
func (f field) member(data []byte, list usage) (i int, ok bool) {
	v := f.value(data)
	if f.list == nil {
		return int(v), v > 0
	}
	u, ok := f.list.exact(int(v - int64(f.min)))
	return int(u - list), ok && u > list
}
