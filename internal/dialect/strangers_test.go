package dialect

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"panside/internal/mass"
)

// TestOtherDevicesAreNoScales: what clocks, meters, sensors and machines send
// gives no weight, also when the person has named a unit for bare numbers.
func TestOtherDevicesAreNoScales(t *testing.T) {
	for name, form := range map[string]string{
		"a thermometer":             "23.%d C",
		"a thermometer in words":    "Temp: 23.%d C",
		"a voltmeter":               "12.%d V",
		"a voltmeter with a flag":   "DC  12.%d V  S",
		"a caliper":                 "12.%d mm",
		"a force gauge":             "3.%d N",
		"a torque wrench":           "-0.%d Kgfm",
		"a humidity sensor":         "Humidity: 40.%d %%",
		"a heater of a machine":     "ok T:20.%d /0.0 B:19.8 /0.0 @:0",
		"a position":                "X:10.%d Y:5.00 Z:0.30",
		"a satellite receiver":      "$GPGGA,1230%d,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47",
		"a modem":                   "+CSQ: 1%d,99",
		"a pedometer":               "0.12,0.3%d,0.56",
		"a clock":                   "12:30:1%d",
		"a dated clock":             "2025-01-31 12:30:1%d",
		"a log":                     "[ %d.123456] usb 1-1: new device",
		"a meter with a date":       "2025-01-31 12:30 3.%d V",
		"a code reader":             "40123456789%d",
		"a code reader with a word": "ID 40123456%d",
		"two columns":               "1.5%d 2.50",
		"pairs of digits":           "12 3%d 07",
		"an address":                "192.168.1.%d",
		"a version":                 "V1.2.%d",
		"a prompt":                  "> M%d",
		"a parcel":                  "1 lb 3.%d oz",
		"a count":                   "1%d pcs",
		"a percentage":              "1%d.5 %%",
		"a reversed number":         "=1%d.000",
		"tons":                      "1%d.5 t",
		"a person's scale":          "Weight 80.%d stone",
	} {
		for _, opts := range []Options{{}, {Unit: mass.Gram}} {
			d := NewDecoder(opts)
			d.Feed([]byte("\r\n"), start)
			for i := range 30 {
				line := fmt.Sprintf(form, i%7+1) + "\r\n"
				if got := values(d.Feed([]byte(line), start.Add(time.Duration(i)*100*time.Millisecond))); len(got) > 0 {
					t.Errorf("%s, %q: %v", name, line, got)
					break
				}
			}
			if ask, digits := d.NeedsUnit(); ask != AskNothing {
				t.Errorf("%s: asked for the unit of %s", name, digits)
			}
		}
	}
}

// TestALineWithOneByteMoreIsExplainedOrRefused puts one byte anywhere into
// plain lines. What is read then has the old value, or shows the new byte in
// its digits.
func TestALineWithOneByteMoreIsExplainedOrRefused(t *testing.T) {
	for _, line := range []string{
		"Net:     13.11 g  ?", "ST GS +  13.11 g", "  13.11 g", "STNT+0013.11g", "No. 12  13.11 g",
		"2025-01-31 20:15  13.11 g", "+  13.11  GS", "G 23.11 g T 10.00 g N 13.11 g",
	} {
		want := wordedLine.Parse([]byte(line)).Quantity
		for at := range len(line) + 1 {
			for c := byte(' '); c <= '~'; c++ {
				r := wordedLine.Parse([]byte(line[:at] + string(rune(c)) + line[at:]))
				if r.Outcome != Read || !r.HasValue || r.counted != "" || r.Quantity == want || r.Quantity.Value == want.Value && isLetter(c) {
					continue
				}
				if isDigit(c) || strings.IndexByte("+-., /[", c) >= 0 && r.Quantity.Value.Cmp(want.Value.Neg()) == 0 {
					continue
				}
				t.Errorf("%q put into %q at %d: %v", c, line, at, r.Quantity)
			}
		}
	}
}

// TestALineWithOneByteOtherIsExplainedOrRefused puts a byte in the place of
// another: it never swallows a digit, but for what can stand there on other
// scales: a sign or a letter at the line's beginning in front, and behind a
// separator, or a letter of the unit. Those show as a lost decimal, which the
// Decoder holds against the lines before.
func TestALineWithOneByteOtherIsExplainedOrRefused(t *testing.T) {
	for _, line := range []string{
		"Net:     13.11 g  ?", "ST GS +  13.11 g", "  13.11 g", "STNT+0013.11g", "13.11 g",
		"2025-01-31 20:15  13.11 g", "+  13.11  GS", "S 13.11 g", "13.11 g S",
	} {
		want := wordedLine.Parse([]byte(line)).Quantity
		for at := range len(line) {
			for c := byte('!'); c <= '~'; c++ {
				if !isDigit(line[at]) || isDigit(c) {
					continue
				}
				r := wordedLine.Parse([]byte(line[:at] + string(rune(c)) + line[at+1:]))
				front := (at == 0 || !isDigit(line[at-1])) && (strings.IndexByte("+-", c) >= 0 || strings.Trim(line[:at], " ") == "" && isLetter(c))
				behind := r.Quantity.Value.Places() < want.Value.Places() && strings.IndexByte(",;|/GgKkm", c) >= 0
				if r.Outcome == Read && r.HasValue && r.Quantity != want && r.counted == "" && !front && !behind {
					t.Errorf("%q in %q at %d: %v", c, line, at, r.Quantity)
				}
			}
		}
	}
}
