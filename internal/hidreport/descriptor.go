// Package hidreport reads weights from USB HID weighing devices (usage page
// 0x8D): where the fields lie it learns from the device's own report
// descriptor, what they mean from the usages there.
//
// Sources: Device Class Definition for Human Interface Devices 1.11 (2001),
// section 6.2.2, for descriptors (from memory); HID Point of Sale Usage Tables
// 1.02 (2001) for the usages, their numbers taken from public usage tables.
// Those tables disagree about the scale class, so it is never decoded.
package hidreport

import (
	"panside/internal/fault"
	"panside/internal/say"
)

// Layout says where in a device's reports its weight is.
type Layout struct {
	id     byte // of the weight report; 0 if the device numbers none
	bits   int  // length of the weight report without the number
	status field
	unit   field
	scale  field
	weight field
}

// field is one value in a report.
type field struct {
	offset, size int // bits; size 0: the report has no such field
	signed       bool
	min          int32  // logical minimum
	list         usages // what the value selects from, if the field is an array
}

// usage is a usage page in the high and a usage in the low 16 bits.
type usage uint32

// Usages of page 0x8D, Weighing Devices.
const (
	page usage = 0x8D << 16

	usageScales      = page | 0x01
	usageScaleDevice = page | 0x20
	usageAttributes  = page | 0x30 // the reports: 0x30 to 0x35
	usageData        = page | 0x32
	usageStatistics  = page | 0x35
	usageWeight      = page | 0x40
	usageScaling     = page | 0x41
	usageUnit        = page | 0x50 // the list; its members follow it
	usageUnitLast    = page | 0x5C
	usageStatus      = page | 0x70 // the list; its members follow it
	usageStatusLast  = page | 0x78
)

// usages is a list of ranges, in the order of the descriptor.
type usages []struct{ first, last usage }

// at returns the i-th usage; past the end the last one repeats, as the HID
// definition has it for fields with more values than usages.
func (u usages) at(i int) (usage, bool) {
	for _, r := range u {
		if n := int(r.last-r.first) + 1; i >= n {
			i -= n
		} else {
			return r.first + usage(i), true
		}
	}
	if len(u) == 0 {
		return 0, false
	}
	return u[len(u)-1].last, true
}

// exact is at without the repetition: what an array's value selects.
func (u usages) exact(i int) (usage, bool) {
	n := 0
	for _, r := range u {
		n += int(r.last-r.first) + 1
	}
	if i < 0 || i >= n {
		return 0, false
	}
	return u.at(i)
}

// within reports whether the list lies inside a range.
func (u usages) within(first, last usage) bool {
	for _, r := range u {
		if r.first < first || r.last > last {
			return false
		}
	}
	return len(u) > 0
}

// maxReportBits bounds what a descriptor may claim; real weight reports have a
// few dozen.
const maxReportBits = 4096

// ParseDescriptor finds the weight in a report descriptor. Errors:
// fault.NotAScale if the device has no input report with a weight and a unit on
// page 0x8D; fault.Damaged if the descriptor can't be read.
func ParseDescriptor(descriptor []byte) (*Layout, error) {
	p := parser{reports: map[byte]*Layout{}}
	for rest := descriptor; len(rest) > 0; {
		n, ok := p.item(rest)
		if !ok {
			return nil, fault.New(fault.Damaged, say.New("usb-descriptor-unreadable"))
		}
		rest = rest[n:]
	}
	for _, id := range p.order {
		if l := p.reports[id]; p.scale && l.weight.size > 0 && l.unit.size > 0 {
			return l, nil
		}
	}
	return nil, fault.New(fault.NotAScale, say.New("usb-not-a-scale"))
}

// global is the state that items of type global set.
type global struct {
	page        usage
	min, max    int32
	size, count int
	id          byte
}

type parser struct {
	global
	stack       []global
	usages      usages // local, for the next main item
	first       usage  // local usage minimum
	collections []usage
	scale       bool // an application collection of a scale was seen
	reports     map[byte]*Layout
	order       []byte
}

// item reads one item and returns its length in bytes.
func (p *parser) item(b []byte) (n int, ok bool) {
	const long = 0xFE
	if b[0] == long {
		if len(b) < 3 || len(b) < 3+int(b[1]) {
			return 0, false
		}
		return 3 + int(b[1]), true
	}
	size := int(b[0] & 3)
	if size == 3 {
		size = 4
	}
	if len(b) < 1+size {
		return 0, false
	}
	var u uint32
	for i := range size {
		u |= uint32(b[1+i]) << (8 * i)
	}
	s := int32(u)
	if size > 0 && size < 4 {
		s = int32(u<<(32-8*size)) >> (32 - 8*size)
	}
	const main, globals, locals = 0, 1, 2
	switch tag := b[0] >> 4; b[0] >> 2 & 3 {
	case main:
		ok = p.main(tag, u)
		p.usages, p.first = nil, 0
	case globals:
		ok = p.setGlobal(tag, u, s)
	case locals:
		ok = p.setLocal(tag, u, size)
	}
	return 1 + size, ok
}

func (p *parser) setGlobal(tag byte, u uint32, s int32) bool {
	switch tag {
	case 0:
		p.page = usage(u&0xFFFF) << 16
	case 1:
		p.min = s
	case 2:
		p.max = s
	case 7:
		p.size = int(min(u, maxReportBits+1))
	case 8:
		p.id = byte(u)
		return u > 0 && u < 256
	case 9:
		p.count = int(min(u, maxReportBits+1))
	case 10:
		p.stack = append(p.stack, p.global)
		return len(p.stack) <= 16
	case 11:
		if len(p.stack) == 0 {
			return false
		}
		p.global = p.stack[len(p.stack)-1]
		p.stack = p.stack[:len(p.stack)-1]
	}
	return true
}

func (p *parser) setLocal(tag byte, u uint32, size int) bool {
	full := usage(u)
	if size < 4 {
		full = p.page | usage(u)
	}
	switch tag {
	case 0:
		p.usages = append(p.usages, struct{ first, last usage }{full, full})
	case 1:
		p.first = full
	case 2:
		if full < p.first || full-p.first > 0xFFFF {
			return false
		}
		p.usages = append(p.usages, struct{ first, last usage }{p.first, full})
	}
	return len(p.usages) <= 1024
}

func (p *parser) main(tag byte, flags uint32) bool {
	const input, collection, end = 8, 10, 12
	switch tag {
	case input:
		return p.input(flags)
	case collection:
		u, _ := p.usages.at(0)
		const application = 1
		if flags == application && (u == usageScales || u == usageScaleDevice) {
			p.scale = true
		}
		p.collections = append(p.collections, u)
		return len(p.collections) <= 64
	case end:
		if len(p.collections) == 0 {
			return false
		}
		p.collections = p.collections[:len(p.collections)-1]
	}
	return true
}

// input places the fields of an input item.
func (p *parser) input(flags uint32) bool {
	l := p.reports[p.id]
	if l == nil {
		l = &Layout{id: p.id}
		p.reports[p.id] = l
		p.order = append(p.order, p.id)
	}
	start := l.bits
	if l.bits += p.size * p.count; p.size > maxReportBits || p.count > maxReportBits || l.bits > maxReportBits {
		return false
	}
	const constant, variable = 1, 2
	if flags&constant != 0 || p.size == 0 || p.size > 32 || !p.inData() {
		return true
	}
	for i := range p.count {
		f := field{offset: start + i*p.size, size: p.size, signed: p.min < 0, min: p.min}
		if flags&variable == 0 {
			f.list = p.usages
			l.place(p.listUsage(), f)
			continue
		}
		u, _ := p.usages.at(i)
		l.place(u, f)
	}
	return true
}

// inData reports whether the item belongs to the weight itself, and not to a
// limit, an attribute or a statistic, which use the same usages.
func (p *parser) inData() bool {
	for _, u := range p.collections {
		if u >= usageAttributes && u <= usageStatistics && u != usageData {
			return false
		}
	}
	return true
}

// listUsage says what an array selects from.
func (p *parser) listUsage() usage {
	switch {
	case p.usages.within(usageStatus+1, usageStatusLast):
		return usageStatus
	case p.usages.within(usageUnit+1, usageUnitLast):
		return usageUnit
	}
	return 0
}

func (l *Layout) place(u usage, f field) {
	var at *field
	switch u {
	case usageWeight:
		at = &l.weight
	case usageScaling:
		at = &l.scale
		f.signed = true // a power of ten, whatever the limits given
	case usageUnit:
		at = &l.unit
	case usageStatus:
		at = &l.status
	default:
		return
	}
	if at.size == 0 {
		*at = f
	}
}
