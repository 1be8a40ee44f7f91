// Package bridge is the one way into the core: JSON in, JSON out. The phone
// reaches it through WebAssembly, the server through its API and commands; all
// get the same answers.
//
// # A phone's methods
//
// A [Phone] has, beside the methods that everybody has, those of its notebook
// and of its sync. This is their protocol, of version [PhoneProtocol]; examples
// of every method stand in testdata/wire/phone, to which tests hold both the
// core and the phone's program. The phone keeps entries, the core knows what
// they mean:
//
//   - The phone stores each entry as the text it was given ("raw"), never as a
//     parsed object written out again: its hash is over these very bytes. It
//     stores by inserting under the entry's id, which must be unique there; a
//     second page that writes at the same time then fails instead of
//     overwriting. It keeps beside each entry its record (indexed), a running
//     number, and whether the laptop has it ("sent").
//   - What a method returns to be stored is stored in one transaction before
//     the next journal call. If storing fails, the notebook is ahead of the
//     store: call journal-open again, then say that it wasn't saved.
//   - All journal calls of a phone go one after the other, over all its pages
//     (a lock by name of the browser does that).
//
// Each method takes one line of JSON. Where more is to be handed over, it
// follows after the line end just as it is stored: entries one a line, the
// snapshot, or the body of the laptop's answer. Times ("now") are ms since
// 1970.
//
// Starting. Each start of the app writes under a name of its own, so that a
// phone that was put back to an old state, or shows the app twice, clashes with
// nothing; the name isn't to be stored:
//
//	journal-open      {"entries":N,"phone":id} + snapshot
//	                  N the number of entries in the store, nothing after the
//	                  line without a snapshot; phone see below
//	                  -> {"v","entries","rebuild"}
//	                  v: PhoneProtocol. rebuild: drop the snapshot, open without
//	                  one and add all.
//	journal-add       {"total":N} + entries, at most some thousand a call: first
//	                  all that are newer than the snapshot, or all
//	                  -> {"entries","complete","unreadable":[line,…]}
//	                  complete is false when fewer than N are in; with a
//	                  snapshot: rebuild as above.
//	journal-snapshot  {} -> {"entries"} + snapshot
//	                  Bytes beside the answer's line, to be stored with the
//	                  running number of the last entry handed over, now and
//	                  then: after a thousand new entries, when the page is left.
//	                  Without bytes: none now.
//
// Writing; all answer {"record","entries":[{"id","record","kind","field",
// "raw"}]}, to be stored with sent = no. All take "by":{"phone":id,"name":NAME}
// too: the name that the laptop knows this phone by, "" before it joined one,
// and the record that says so. phone is "" at first; the entries then hold one
// of kind "phone", whose record is to be kept for the calls to come. So other
// phones can say who wrote what. A phone that gives no by stays nameless.
//
//	journal-write     {"now","kind":"find"|"hunt"|"setting"|…,"record":""|id,
//	                  "set":{field:value,…},"saw":ids} + all entries of the
//	                  record, if there is one
//	                  record "" makes a new one. null takes a value away. saw is
//	                  the "ids" of the record as it was on the screen. Refused
//	                  values: error with "field"; then nothing was written.
//	                  The fields and their values are in internal/journal's
//	                  fields.go and value.go; others are kept as they are.
//	journal-count     {"now","hunt":id,"calls":{"ordinary":3,"look":1},
//	                  "metals":[{"name":"90% silver","coins":1,"keepers":1}]}
//	                  coins judged hands-free since the last time, by call, and by
//	                  metal with the keepers among them; below 0 for those taken
//	                  back; every ten coins or few seconds is often enough
//	journal-pause     {"now","hunt":id,"begin":true|false}
//	journal-undo      {"now","entries":[id,…]} + all entries of their records
//	                  the ids one write answered with; an undo can be undone
//
// Reading:
//
//	journal-list      {"kind","hunt","find_kind","fate","denomination",
//	                  "deleted","after","limit"}, all but kind optional
//	                  -> {"total","more","kind","records":[…]}, newest first;
//	                  finds without trace and what else is long
//	journal-record    {"record":id,"now"} + all entries of the record
//	                  -> {"kind","find"|"hunt"|"plain":{…},"history":[…]}
//	                  its values and entries with "by":{"phone","name","here"},
//	                  left out where nobody said who it was
//	journal-hunts     {"now"} -> {"hunts":[{…,"account"}],"sources":[…],
//	                  "counting"}, the hunt that coins are counted for, or ""
//	journal-conflicts {} -> {"records":[{"record","kind","conflicts",
//	                  "overlooked"}]}, what a person has to decide
//
// With the laptop. The core says what is to be done, the phone does it and
// answers; steps and replies are [panside/internal/sync]'s Step and Reply:
//
//	sync-wake         {"why":"start"|"stop"|"occasion"}
//	                  {"why":"notice","cursor"}, the laptop's own word of how far
//	                  its journal has grown
//	                  -> {}
//	sync-next         {"now"} -> step + body of the request, if it is one
//	sync-answer       {"now",reply…} + the answer's body, or the entries read
//	                  -> the step after it, as above
//	                  The journal's lock is held from here until a step that is
//	                  neither "read" nor "store".
//	sync-part         {"bytes","most","went","ms"} or {"bytes","most","failed"}
//	                  -> {"bytes"}: how much of a photo to fetch at once, after
//	                  bytes at once, of which so many took so long; 0 at first
package bridge
