package dialect

import "slices"

// all is the one list of formats. A new format is a new file and a new line
// here. Where two read a line alike the earlier one is named, so stricter ones
// come first.
var all = []Dialect{
	statusComma,
	commandReply,
	fixed16,
	fixed22,
	leadingMark,
	framedXOR,
	retailPoll,
	trailingFlag,
	printLine,
	valueOnly,
	wordedLine,
}

// All returns every format, in the order a person should be offered them.
func All() []Dialect { return slices.Clone(all) }

// ByName finds a format.
func ByName(name string) (Dialect, bool) {
	for _, d := range all {
		if d.Name == name {
			return d, true
		}
	}
	return Dialect{}, false
}

// Kin is one name for all formats whose lines one scale can send: the name
// itself but for the plain ones, which are told apart line by line. So a name
// that changes to one of its kin is no change of scale.
func Kin(name string) string {
	if d, ok := ByName(name); ok && d.plain {
		return wordedLine.Name
	}
	return name
}
