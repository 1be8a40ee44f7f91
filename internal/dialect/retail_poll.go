package dialect

import (
	"bytes"
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// Retail poll with status bytes.
//
//	-> W CR
//	<- LF    3.11G CR LF S 0 0 CR ETX
//	   │        ││       │ │ └ second status byte
//	   │        ││       │ └ first status byte
//	   │        ││       └ S, left out by some; so is the LF before it
//	   │        │└ unit in capitals, 1 to 5 letters, behind the last digit
//	   │        └ value with its sign; ^^^^ over, ____ under, ---- zero fault
//	   └ a reply begins with a line feed and ends with ETX (03 hexadecimal)
//
//	first byte, from bit 0:  in motion, at zero, memory fault, memory fault
//	second byte, from bit 0: under, over, memory fault, calibration fault
//	bits 4 and 5 are always 1, bit 6 of the second: a third byte follows
//
//	LF S 1 0 CR ETX     the status alone, when there is no weight to give
//	LF ? CR ETX         the command was not understood
//
// Sent on command only, usually at 9600 7E1.
//
// Knowledge: service manuals of retail and shipping scales of several makers.
// They agree on the bits but for the first byte, which one of them inverts as a
// whole; a reply of that kind shows both memory faults and is refused. Common
// practice.
var retailPoll = Dialect{
	Name:      "retail-poll",
	Summary:   say.New("format-retail-poll"),
	Settings:  []Settings{{9600, "7E1"}, {9600, "8N1"}, {2400, "7E1"}, {4800, "7E1"}},
	Poll:      []byte("W\r"),
	KeepAwake: true,
	Parse:     parseRetailPoll,
	Format:    formatRetailPoll,
	framing:   replyFraming,
	bits:      12,
}

func parseRetailPoll(frame []byte) Result {
	body, ok := bytes.CutPrefix(frame, []byte{lf})
	if !ok {
		return Result{Outcome: NotMine}
	}
	if body, ok = bytes.CutSuffix(body, []byte{cr, etx}); !ok {
		return Result{Outcome: NotMine}
	}
	if string(body) == "?" {
		return withoutWeight(notUnderstood)
	}
	weight, state, both := strings.Cut(string(body), "\r")
	if !both {
		weight, state = "", string(body)
	}
	state = strings.TrimPrefix(state, "\n")
	state = strings.TrimPrefix(state, "S")
	status, ok := retailStatus(state)
	if !ok {
		return Result{Outcome: NotMine}
	}
	if status.Outcome == Read && status.Status != mass.StatusMoving && status.Status != mass.StatusStable && status.Status != mass.StatusZero {
		return status // over, under or a fault: whatever stands in the value
	}
	if !both {
		if status.Status != mass.StatusMoving {
			return withoutWeight(notTheLoad(say.New("scale-sent-status")))
		}
		return status
	}
	if mixedPair(weight) {
		return refusedPair()
	}
	field, unit := splitTail(weight)
	if !isLetters(unit) || len(unit) > 5 {
		return retailFiller(weight)
	}
	n, ok := parseNumber(field)
	if !ok {
		return Result{Outcome: Impossible}
	}
	return weighed(status.Status, n, unit)
}

// retailFiller reads a value field filled with one sign.
func retailFiller(weight string) Result {
	filler := strings.TrimRight(weight, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz")
	if len(filler) == len(weight) || len(filler) < 2 {
		return Result{Outcome: NotMine}
	}
	if strings.Trim(filler, "-") == "" {
		return withoutWeight(scaleFault(say.New("scale-says-zero")))
	}
	r, found := outOfRange(filler)
	if !found {
		return Result{Outcome: NotMine}
	}
	return r
}

// retailStatus reads two status bytes or three.
func retailStatus(s string) (r Result, ok bool) {
	if len(s) < 2 || len(s) > 3 || (s[1]&0x40 != 0) != (len(s) == 3) {
		return Result{}, false
	}
	for i := range len(s) {
		if c := s[i]; c&0x30 != 0x30 || c >= 0x80 || c&0x40 != 0 && i != 1 {
			return Result{}, false
		}
	}
	const (
		inMotion, atZero         = 1, 2 // first byte
		under, over, calibration = 1, 2, 8
		memory1, memory2         = 4 | 8, 4
	)
	switch {
	case s[0]&memory1 != 0 || s[1]&memory2 != 0:
		return withoutWeight(scaleFault(say.New("scale-says-memory"))), true
	case s[1]&calibration != 0:
		return withoutWeight(scaleFault(say.New("scale-says-calibration"))), true
	case s[1]&over != 0:
		return overload(), true
	case s[1]&under != 0:
		return underload(), true
	case s[0]&inMotion != 0:
		return Result{Outcome: Read, Status: mass.StatusMoving}, true
	case s[0]&atZero != 0:
		return Result{Outcome: Read, Status: mass.StatusZero}, true
	}
	return Result{Outcome: Read, Status: mass.StatusStable}, true
}

func formatRetailPoll(q mass.Quantity, status mass.Status) []byte {
	value, state := q.Value.String(), "00"
	switch status {
	case mass.StatusStable:
	case mass.StatusZero:
		state = "20"
	case mass.StatusMoving:
		state = "10"
	case mass.StatusOver:
		value, state = "^^^^^^^^", "02"
	case mass.StatusUnder:
		value, state = "________", "01"
	default:
		return nil
	}
	if value = right(value, 8); value == "" {
		return nil
	}
	return []byte("\n" + value + strings.ToUpper(unitWord(q.Unit)) + "\r\nS" + state + "\r\x03")
}
