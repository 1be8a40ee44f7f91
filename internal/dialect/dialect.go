package dialect

import (
	"strconv"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

// Dialect is one format in which scales send their weight. The values in All
// are never changed after start.
type Dialect struct {
	// Name is short, lower case and describes the shape. It is printed by the
	// listen command and stored in settings, so it stays once published.
	Name string
	// Summary is one line for the list a person picks from.
	Summary say.Line
	// Settings are the usual line settings, the most usual first.
	Settings []Settings
	// Poll asks for one weight at once and changes nothing on the scale; nil if
	// the format has no such command.
	Poll []byte
	// KeepAwake is set if scales of this format commonly take a Poll as use
	// and put off switching themselves off.
	KeepAwake bool
	// Parse says what one frame means. It is pure. Lines come without their
	// line ends, blocks with their control characters; parity bits are gone.
	Parse func(frame []byte) Result
	// Format is the reverse of Parse: the complete bytes, line end included,
	// by which a scale of this format says the quantity and status. The
	// quantity doesn't matter for over and under. It returns nil for what the
	// format can't say.
	Format func(mass.Quantity, mass.Status) []byte

	framing framing
	// loose is set if the rest of a cut line can look like a whole one. Such a
	// line counts only if its beginning was seen.
	loose bool
	// plain is set if its lines may be named differently as they come: one scale
	// can send lines of all plain formats.
	plain bool
	// nested is set if this format can read nearly all that others read, so
	// that its evidence doesn't speak against theirs; see evidence.go.
	nested bool
	// bits is the evidence in one line of this format; see evidence.go.
	bits float64
}

// Settings are line settings of a serial port.
type Settings struct {
	Baud    int    // bits per second
	Framing string // data bits, parity and stop bits, as in "8N1", "7E1", "7O1"
}

// String prints the settings as in "9600 8N1".
func (s Settings) String() string { return strconv.Itoa(s.Baud) + " " + s.Framing }

// Outcome is what a dialect makes of a frame. The outcomes differ because
// detection and the person need to know a stranger from a broken friend.
type Outcome uint8

// The outcomes of Parse.
const (
	NotMine     Outcome = iota // the shape is not of this format
	Cut                        // begins or ends like a frame of this format and isn't whole
	BadLength                  // of this format, with characters missing or too many
	BadChecksum                // whole, and its check sum is wrong
	Impossible                 // whole, and says what can't be: "3.1.1", an unknown unit
	Read                       // understood to the last byte
)

var outcomeNames = [...]string{"not mine", "cut", "bad length", "bad checksum", "impossible", "read"}

// String names the outcome in English.
func (o Outcome) String() string { return outcomeNames[o] }

// Result is the meaning of one frame. All but Outcome and Problem count only
// with outcome Read.
type Result struct {
	Outcome Outcome
	// Status is StatusError if the frame was understood and holds no weight of
	// the load: a refused unit, a fault of the scale itself.
	Status     mass.Status
	Quantity   mass.Quantity
	HasValue   bool
	Resolution mass.Decimal // smallest step shown, in the quantity's unit
	Problem    *fault.Error // with StatusError, and where an outcome needs its own words

	// padded is set if blanks or zeros fill a field, so that the lines of this
	// scale have one width; the Decoder holds neighbouring lines to it.
	padded bool
	// unitless marks a number without a unit; the Decoder applies the unit the
	// person named, or refuses.
	unitless bool
	// comma is what the number says of the comma.
	comma commaMark
	// bits is the evidence in this line if it isn't that of the format.
	bits float64
	// noSign: the line has no stability sign. Status is then unknown, or what
	// the absence of the format's sign means if the scale uses it; sitting.go.
	noSign bool
	// blankSign: the place of the format's stability sign is in the line, and
	// blank, which means rest.
	blankSign bool
	// label is what the line says the weight is: net, gross, tare, total.
	label meaning
	// ticket: the label stands in front, as on a printed ticket of several
	// weights.
	ticket bool
	// heading marks a line with a date, a time or a counter and no weight.
	heading bool
	// counted are plain digits in front of the weight. The line counts only if
	// they turn out to be a counter.
	counted string
	// checked: a check character that agrees stands behind the line.
	checked bool
	// loneG marks the unit "G" right behind the number. In a frame it may as
	// well mean gross.
	loneG bool
	// blankUnit: Status is moving because the unit's columns are blank.
	blankUnit bool
	// gr marks the unit "gr", which can be the gram or the grain.
	gr bool
	// ask is what the person has to say before the number counts.
	ask Ask
}

// same reports whether two results say the same to the outside.
func (r Result) same(s Result) bool {
	return r.Outcome == s.Outcome && r.Status == s.Status && r.HasValue == s.HasValue &&
		r.Quantity == s.Quantity && r.Resolution == s.Resolution
}
