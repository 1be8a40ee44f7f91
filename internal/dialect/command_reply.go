package dialect

import (
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// Command and reply with two status letters.
//
//	-> SI              the computer asks for the weight as it is now
//	<- S S       3.11 g
//	   │ │          │ └ unit
//	   │ │          └ value with its sign, set right, usually in 10 columns
//	   │ └ S stable, D in motion
//	   └ the answer to a weight command
//
//	S +   over          S -   under
//	S I   can't be done at the moment
//	ES, ET, EL          the command was not understood or not possible
//
// Sent on command, on a key or continuously; CR LF at the end.
//
// Knowledge: interface manuals of laboratory balances; several makers answer
// the same commands in the same way. Common practice, there is no standard.
var commandReply = Dialect{
	Name:      "command-reply",
	Summary:   say.New("format-command-reply"),
	Settings:  []Settings{{9600, "8N1"}, {2400, "7E1"}, {4800, "8N1"}},
	Poll:      []byte("SI\r\n"),
	KeepAwake: true,
	Parse:     parseCommandReply,
	Format:    formatCommandReply,
	bits:      12,
}

func parseCommandReply(frame []byte) Result {
	s := strings.TrimRight(string(frame), " ")
	switch s {
	case "S":
		return Result{Outcome: Cut}
	case "S +":
		return overload()
	case "S -":
		return underload()
	case "S I":
		return withoutWeight(busy)
	case "ES", "ET", "EL":
		return withoutWeight(notUnderstood)
	}
	var status mass.Status
	switch {
	case strings.HasPrefix(s, "S S"):
		status = mass.StatusStable
	case strings.HasPrefix(s, "S D"):
		status = mass.StatusMoving
	default:
		return Result{Outcome: NotMine}
	}
	rest := s[3:]
	switch {
	case rest == "":
		return Result{Outcome: Cut}
	case rest[0] != ' ':
		return Result{Outcome: NotMine}
	case strings.Contains(rest, "S S") || strings.Contains(rest, "S D"):
		return Result{Outcome: BadLength} // two lines run together
	case mixedPair(rest):
		return refusedPair()
	}
	field, tail := splitTail(rest[1:])
	unit, spaced := strings.CutPrefix(tail, " ")
	if strings.Trim(unit, " .") == "" {
		return Result{Outcome: Cut}
	}
	n, ok := parseNumber(field)
	if !ok || !spaced {
		return Result{Outcome: Impossible}
	}
	return weighed(status, n, unit)
}

func formatCommandReply(q mass.Quantity, status mass.Status) []byte {
	word := "S D "
	switch status {
	case mass.StatusStable, mass.StatusZero:
		word = "S S "
	case mass.StatusMoving:
	case mass.StatusOver:
		return []byte("S +\r\n")
	case mass.StatusUnder:
		return []byte("S -\r\n")
	default:
		return nil
	}
	value := right(q.Value.String(), 10)
	if value == "" {
		return nil
	}
	return []byte(word + value + " " + unitWord(q.Unit) + "\r\n")
}
