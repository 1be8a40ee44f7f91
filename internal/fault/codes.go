package fault

// Code names a kind of fault on the wire and in logs.
type Code string

// The list is append-only: phones in the field know these words. codes.golden
// in testdata holds the order, and a test fails when a line is changed or
// removed.
const (
	Internal    Code = "internal"
	BadInput    Code = "bad-input"    // a field the person or program sent can't be used
	BadNumber   Code = "bad-number"   // not a plain decimal, or more digits than can be held exactly
	UnknownUnit Code = "unknown-unit" // a unit this program doesn't convert
	RefusedUnit Code = "refused-unit" // a unit it knows and won't convert (tael, lb:oz, tons)
	NoSuchIssue Code = "no-such-issue"

	NoScale        Code = "no-scale"        // nothing that looks like a scale was found
	PortMissing    Code = "port-missing"    // the named port isn't there
	PortBusy       Code = "port-busy"       // another program holds it
	PortPermission Code = "port-permission" // the user isn't allowed to open it
	PortLost       Code = "port-lost"       // was open, is gone: cable pulled or radio lost
	PortSettings   Code = "port-settings"   // the port refuses the line settings
	ScaleSilent    Code = "scale-silent"    // open, but nothing arrives
	NotAScale      Code = "not-a-scale"     // bytes arrive in no known format
	Garbled        Code = "garbled"         // a known format, but broken lines
	Overload       Code = "overload"
	Underload      Code = "underload"
	ReplayEnded    Code = "replay-ended"

	NotJoined     Code = "not-joined"     // no token or an ended one
	SecretExpired Code = "secret-expired" // the one-time secret is used, old or wrong
	TooManyTries  Code = "too-many-tries"
	WrongOrigin   Code = "wrong-origin"
	NotFound      Code = "not-found"
	DataFolder    Code = "data-folder" // the data folder can't be used
	Damaged       Code = "damaged"     // stored data fails its check
	NotVirtual    Code = "not-virtual" // asked to move a coin on a real scale

	DeskOnly    Code = "desk-only"    // only the laptop's own page may do this
	AddressBusy Code = "address-busy" // the address to listen on is taken or not ours
	Certificate Code = "certificate"  // a certificate or its key can't be used
	Stopping    Code = "stopping"     // the server is being stopped

	Recognising Code = "recognising"  // lines arrive; their format is not certain yet
	NotTheLoad  Code = "not-the-load" // a whole line that isn't about the pan: tare, limit, total
	ScaleFault  Code = "scale-fault"  // the scale reports a fault of its own

	Forked       Code = "forked"        // two histories under one writer: the phone was restored or copied
	Gap          Code = "gap"           // an entry's predecessors haven't arrived
	WireVersion  Code = "wire-version"  // phone and laptop speak different versions
	PhotoRefused Code = "photo-refused" // not a photo that is taken: type, size, dimensions
	PhotoTorn    Code = "photo-torn"    // the bytes that arrived aren't those of the hash

	SlowDown Code = "slow-down" // too many requests, or wrong codes, from one device

	AmbiguousUnit Code = "ambiguous-unit" // "gr": the gram or the grain

	BookMissing Code = "book-missing" // a part of the coin book isn't there and can't be had
	BookDamaged Code = "book-damaged" // a part of the coin book fails its check
	BookVersion Code = "book-version" // the coin book is of another version than the core

	TooCoarse Code = "too-coarse" // weights arrive whose steps are too wide for coins
)
