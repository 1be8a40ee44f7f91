package verdict

// Claim is what a verdict comes down to. Two verdicts with the same claim say
// the same, whatever figures and remarks their words hold; nobody compares
// words.
type Claim struct {
	Call Call
	// Alloy is the id of the alloy, or family of alloys, that the headline names;
	// several that it leaves open are joined by “+” in order of their ids, since
	// which of them is the likelier changes with every reading. Empty for none.
	Alloy string
	// Kind is that of the explanation which the headline gives; empty where it
	// names an alloy only.
	Kind Kind
	// Planchet is the id of the planchet that the explanation names, if it does.
	Planchet string
}

// String gives the claim as one word, the same for the same claim only.
func (c Claim) String() string {
	return string(c.Call) + "/" + c.Alloy + "/" + string(c.Kind) + "/" + c.Planchet
}

// MarshalText writes that word; readers compare it and take nothing out of it.
func (c Claim) MarshalText() ([]byte, error) { return []byte(c.String()), nil }
