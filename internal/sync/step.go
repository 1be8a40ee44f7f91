package sync

import "panside/internal/journal"

// What a step asks the phone to do.
const (
	Alone = "alone" // let no other page of this phone have a round until the next Wait
	Read  = "read"  // look into the store
	Ask   = "ask"   // send a request to the laptop
	Store = "store" // change the store
	Wait  = "wait"  // until a time or an occasion
)

// Step is one thing to do. Exactly one of the fields named like what is to be
// done is set; for Alone none is.
type Step struct {
	ID string `json:"id"` // to be named in the answer; empty for Wait
	Do string `json:"do"`

	Read  *Query   `json:"read,omitempty"`
	Ask   *Request `json:"ask,omitempty"`
	Store *Change  `json:"store,omitempty"`
	// Until, with Wait, is when to ask for the next step, in ms since 1970; 0 for
	// when there is an occasion.
	Until int64 `json:"until,omitempty"`

	// Doing is what a screen says meanwhile.
	Doing Doing `json:"doing"`
	// Shown is what a screen says of the last round; nil if it is as it was.
	Shown *Shown `json:"shown,omitempty"`
}

// What a query looks for in the phone's store.
const (
	Marks   = "marks"   // the receipt and the cursor
	Entries = "entries" // entries that aren't sent, and the marks
	Unsent  = "unsent"  // photos that aren't sent, and that the laptop hasn't refused for good
	One     = "one"     // a photo's size and type
	Held    = "held"    // which of some photos are here and not refused
	Old     = "old"     // photos that were sent before a time, the oldest first
	Room    = "room"    // how much of the phone's storage is used
)

// Query is what to look for.
type Query struct {
	What string `json:"what"`
	// LeaveOut, Limit and Bytes are for Entries: in the order of storing, without
	// some, no more than so many or as many as first exceed so many bytes; 0 for
	// all. The machine sends fewer if they are too many.
	LeaveOut []string `json:"leave_out,omitempty"`
	Limit    int      `json:"limit,omitempty"`
	Bytes    int      `json:"bytes,omitempty"`
	Photos   []string `json:"photos,omitempty"` // for Held, and one for One
	Before   int64    `json:"before,omitempty"` // for Old: ms since 1970, itself included
}

// Request is one to the laptop. Its body is beside the step; that of a photo's
// part is to be cut from the photo.
type Request struct {
	Method  string            `json:"method"`
	Path    string            `json:"path"`
	Headers map[string]string `json:"headers,omitempty"`
	Part    *Part             `json:"part,omitempty"`
}

// Part is bytes From up to, without, To of a photo.
type Part struct {
	Photo string `json:"photo"`
	From  int64  `json:"from"`
	To    int64  `json:"to"`
}

// Change is to be stored in one transaction, in the order of its fields.
type Change struct {
	// Forget: the laptop was put back or is another one. Every entry and photo
	// counts as not sent, and both marks are empty.
	Forget bool `json:"forget,omitempty"`
	// Drop are entries that are there under other names now. With any, the
	// snapshot goes too, and other pages open their notebooks anew.
	Drop []journal.ID `json:"drop,omitempty"`
	// Add are new entries; Added: the laptop has them.
	Add   []journal.Row `json:"add,omitempty"`
	Added bool          `json:"added,omitempty"`
	// Sent are entries that the laptop has.
	Sent []string `json:"sent,omitempty"`
	// Receipt and Cursor are the new marks; nil leaves one as it is.
	Receipt *string `json:"receipt,omitempty"`
	Cursor  *string `json:"cursor,omitempty"`

	Photos *PhotoChange `json:"photos,omitempty"`

	// Reopen: the notebook has read what isn't stored, or what is stored was
	// changed under it. It is opened anew before it is next used.
	Reopen bool `json:"reopen,omitempty"`
}

// PhotoChange is what becomes of photos, each by its hash.
type PhotoChange struct {
	Unsent  []string `json:"unsent,omitempty"` // the laptop lacks them
	Sent    []string `json:"sent,omitempty"`   // it has read them back from its disk, at At
	At      int64    `json:"at,omitempty"`     // ms since 1970
	Refused string   `json:"refused,omitempty"`
	Why     string   `json:"why,omitempty"`  // why it won't ever take the refused one
	Free    []string `json:"free,omitempty"` // are to go from this phone
}

// Reply is what came of a step.
type Reply struct {
	Step string `json:"step"`
	// Failed says that the store couldn't be read or changed, or that the core
	// refused; the round ends with it.
	Failed *Ended `json:"failed,omitempty"`

	Alone bool `json:"alone,omitempty"` // for Alone: it is

	// For Ask: the answer's status, 0 if none came. Its body is beside the reply.
	// Gone: nothing was asked, for the photo isn't here any more.
	Status int  `json:"status,omitempty"`
	Gone   bool `json:"gone,omitempty"`

	// For Read. The texts of Entries are beside the reply, one a line, in the
	// order of IDs.
	Receipt string   `json:"receipt,omitempty"`
	Cursor  string   `json:"cursor,omitempty"`
	IDs     []string `json:"ids,omitempty"`
	Photos  []string `json:"photos,omitempty"`  // for Unsent and Old; for Held those that were sent
	Waiting []string `json:"waiting,omitempty"` // for Held those that aren't sent
	Bytes   int64    `json:"bytes,omitempty"`   // for One; 0 if it isn't here any more
	Type    string   `json:"type,omitempty"`
	Used    float64  `json:"used,omitempty"` // for Room: 0 to 1; 0 when the browser doesn't say

	Body []byte `json:"-"`
}

// Doing is what the sync does now.
type Doing struct {
	Is       string    `json:"is"` // nothing, entries, photos
	Progress *Progress `json:"progress,omitempty"`
}

// Progress is how far the photos' sending has come.
type Progress struct {
	Done int     `json:"done"`
	Of   int     `json:"of"`
	Part float64 `json:"part"` // of the photo under way, 0 to 1
}

// How a round ended.
const (
	Never   = "never"
	Well    = "well"
	Away    = "away"    // the laptop wasn't reached, which is no fault
	NoStore = "store"   // the phone's storage failed
	Refused = "refused" // by the laptop or the core, in their words
)

// Ended is how the last round ended.
type Ended struct {
	Is       string `json:"is"`
	At       int64  `json:"at,omitempty"`       // Well: ms since 1970
	Trouble  string `json:"trouble,omitempty"`  // NoStore: the phone's word for it
	Code     string `json:"code,omitempty"`     // Refused
	Sentence string `json:"sentence,omitempty"` // Refused: for the person; empty if none is known
}

// Shown is what a screen says of the rounds so far.
type Shown struct {
	Ended Ended `json:"ended"`
	// LeftOver is what the laptop doesn't take, in its own words; empty if there
	// is nothing.
	LeftOver string `json:"left_over"`
	// Unreadable counts entries that the laptop sent since the page was opened and
	// this app can't read. The laptop keeps them.
	Unreadable int `json:"unreadable"`
	// Wanted are photos that should be on the laptop and aren't, as it last said.
	Wanted []Wanted `json:"wanted"`
	// Unread counts photos that the laptop has and hasn't read back yet.
	Unread int `json:"unread"`
}

// Wanted is a photo that should be on the laptop and isn't.
type Wanted struct {
	Photo string `json:"photo"`
	Why   string `json:"why"` // one of journal's Photo words
	// Record is a find that names it; empty if none is known.
	Record string `json:"record"`
	Here   bool   `json:"here"` // this device has it, and sends it
	// WaitingFor are devices that haven't said that they don't have it, by name;
	// none: nobody has it.
	WaitingFor []string `json:"waiting_for"`
}
