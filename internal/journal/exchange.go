package journal

import (
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
)

// The messages by which phones and laptop bring their sets together. All carry
// the wire version as "v".

// Limits of one message.
const (
	MaxBatch = 1000      // entries pushed at once
	MaxPage  = 5000      // entries pulled at once
	MaxBytes = 900 << 10 // of entries in either, so that a body stays below 1 MiB
)

// Batch is what a phone pushes: entries in their wire form, each writer's in
// order.
type Batch struct {
	V int `json:"v"`
	// Receipt is the cursor of the newest receipt the phone has, empty for none.
	Receipt string            `json:"receipt"`
	Entries []json.RawMessage `json:"entries"`
}

// Receipt answers a batch. What isn't refused is on the laptop's disk.
type Receipt struct {
	V       int       `json:"v"`
	Stored  int       `json:"stored"` // new ones
	Known   int       `json:"known"`  // that were there already
	Refused []Refusal `json:"refused"`
	// Cursor is that of the laptop's newest entry. The phone keeps it beside its
	// own and sends it with whatever it asks next.
	Cursor string `json:"cursor"`
	// Restart says that the laptop doesn't know the receipt that came with the
	// batch: its records were put back from a backup, and what the phone sent
	// before may be gone.
	Restart bool `json:"restart"`
}

// Refusal says which entry of a batch was not taken, and why: fault.Forked,
// fault.Gap or fault.BadInput.
type Refusal struct {
	Index    int        `json:"index"`        // in the batch, from 0
	ID       string     `json:"id,omitempty"` // if it could be read
	Code     fault.Code `json:"code"`
	Sentence string     `json:"sentence"`
	// Why is what Sentence says, to be written in the phone's language.
	Why say.Line `json:"-"`
	// Broken is the rule of the wire form that it breaks, with fault.BadInput.
	Broken Rule `json:"broken,omitempty"`
}

// Page answers a pull: the entries behind a cursor in the order they came to
// the laptop, so each writer's in order and each after those it replaces.
type Page struct {
	V       int               `json:"v"`
	Entries []json.RawMessage `json:"entries"`
	Cursor  string            `json:"cursor"` // to pull the next page with
	More    bool              `json:"more"`
	// Restart says that the laptop doesn't know the cursor or the receipt, so
	// this is the first page: its records were put back from a backup, or it is another
	// laptop. The phone then pushes again whatever the pages don't bring.
	Restart bool `json:"restart"`
}

// PhotoProgress says how much of a photo the laptop has.
type PhotoProgress struct {
	V        int   `json:"v"`
	Have     int64 `json:"have"`     // bytes from its start
	Complete bool  `json:"complete"` // checked and on the disk
	// Verified says that the photo was read back from the disk since: the phone
	// may free its copy.
	Verified bool `json:"verified"`
}
