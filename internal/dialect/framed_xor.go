package dialect

import (
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// Blocks between control characters with a check character.
//
//	STX S +    3.11 g   ETX BCC
//	│   │ │       │ │   │   └ exclusive-or of all bytes after STX, ETX included
//	│   │ │       │ │   └ 03 hexadecimal
//	│   │ │       │ └ unit, 3 columns, set left
//	│   │ │       └ value, 8 columns, set right with blanks or zeros
//	│   │ └ sign: + or -
//	│   └ S stable, Z stable at zero, M in motion, H over, L under, F fault
//	└ 02 hexadecimal
//
// Sent continuously or on ENQ (05 hexadecimal). The check character can have
// any value, also that of a control character.
//
// Knowledge: the block and its longitudinal check are those of ISO 1745:1975
// and ECMA-16 (from memory: the check begins after STX and includes ETX); the
// fields between differ from scale to scale, these are a usual choice. Common
// practice.
var framedXOR = Dialect{
	Name:      "framed-xor",
	Summary:   say.New("format-framed-xor"),
	Settings:  []Settings{{9600, "8N1"}, {9600, "7E1"}, {4800, "7E1"}, {2400, "7E1"}},
	Poll:      []byte{0x05},
	KeepAwake: true,
	Parse:     parseFramedXOR,
	Format:    formatFramedXOR,
	framing:   blockFraming,
	bits:      16,
}

const framedXORBytes = 1 + 1 + 1 + 8 + 3 + 1 + 1

func parseFramedXOR(frame []byte) Result {
	if len(frame) < 4 || frame[0] != stx || frame[len(frame)-2] != etx || !strings.Contains("SZMHLF", string(frame[1:2])) {
		return Result{Outcome: NotMine}
	}
	if len(frame) != framedXORBytes {
		if strings.Trim(string(frame[2:len(frame)-2]), "0123456789.+- gmkctdwozlbrnGN") != "" {
			return Result{Outcome: NotMine}
		}
		return Result{Outcome: BadLength}
	}
	if blockCheck(frame[1:len(frame)-1]) != frame[len(frame)-1] {
		return Result{Outcome: BadChecksum}
	}
	sign, field, unit := frame[2], string(frame[3:11]), string(frame[11:14])
	if sign != '+' && sign != '-' || unit[0] == ' ' {
		return Result{Outcome: Impossible}
	}
	var status mass.Status
	switch frame[1] {
	case 'S':
		status = mass.StatusStable
	case 'Z':
		status = mass.StatusZero
	case 'M':
		status = mass.StatusMoving
	case 'H':
		return overload()
	case 'L':
		return underload()
	default:
		return withoutWeight(scaleFault(say.New("scale-says-no-number")))
	}
	if strings.ContainsAny(field, "+-") {
		return Result{Outcome: Impossible}
	}
	n, ok := parseNumber(string(sign) + field)
	if !ok {
		return Result{Outcome: Impossible}
	}
	return weighed(status, n, unit)
}

// blockCheck is the exclusive-or of all bytes.
func blockCheck(data []byte) byte {
	var check byte
	for _, b := range data {
		check ^= b
	}
	return check
}

func formatFramedXOR(q mass.Quantity, status mass.Status) []byte {
	mark := ""
	switch status {
	case mass.StatusStable:
		mark = "S"
	case mass.StatusZero:
		mark = "Z"
	case mass.StatusMoving:
		mark = "M"
	case mass.StatusOver:
		mark = "H"
	case mass.StatusUnder:
		mark = "L"
	default:
		return nil
	}
	sign, digits := signed(q.Value)
	value, unit := right(digits, 8), left(unitWord(q.Unit), 3)
	if value == "" || unit == "" {
		return nil
	}
	block := []byte("\x02" + mark + sign + value + unit + "\x03")
	return append(block, blockCheck(block[1:]))
}
