// Package sync brings a phone's records and photos together with the laptop's,
// as a machine without I/O. It alone knows what goes when: the phone's program
// does what it is told, and says what came of it.
//
//	for {
//		switch step := m.Next(now); step.Do {
//		case sync.Alone: // let no other page of this phone have a round meanwhile
//		case sync.Read:  // look into the phone's store
//		case sync.Ask:   // send a request to the laptop
//		case sync.Store: // change the phone's store, as a whole or not at all
//		case sync.Wait:  // until a time, or for an occasion; let others have the round
//		}
//		m.Answer(now, reply)
//	}
//
// # A round
//
// Something is only ever called sent by the laptop's own answer, and a round can
// be begun again at any point. It goes in this order (round.go):
//
//  1. Push: entries that the laptop doesn't have, in the order they were written.
//  2. Pull: what is new there, page by page, each stored with its cursor.
//  3. Push once more what waited for the pull, what the laptop has lost, and what
//     had to be written again; with another pull where the first brought no end.
//  4. Wanted: which photos the laptop lacks that it should have. Those that are
//     here count as unsent again, of the others it is told that they aren't.
//  5. Photos, in parts, each from where the laptop has it to. After each photo a
//     new occasion begins a new round, so that entries don't wait for photos.
//     A photo counts as sent once the laptop has read it back from its disk.
//  6. Free: photos that were sent four weeks ago, or all when the phone is
//     crowded, after the laptop has read them from its disk once more.
//
// After a round that failed the next one comes by itself, after 3 s, then twice
// as long each time, up to a minute; an occasion begins one at once.
//
// # What is undone, and when
//
// The laptop answers a push with a receipt and a pull with a cursor, and gets
// both with each request. If it doesn't know one of them (Restart), it was put
// back from a backup or is another one: both are forgotten, and every entry and
// photo counts as not sent. So a photo is kept for weeks after it was sent.
//
// Two histories under one writer (a fork) take a fault that no run of this app
// makes; they are written again under other names before anything else goes,
// since what comes after may name them.
//
// # What may be lost: nothing
//
// The machine keeps nothing that matters. What is sent, how far the journal was
// read and what each photo's state is, stands in the phone's store, and every
// round reads it there. So a machine that is gone (the page closed, its worker
// died) is replaced by a new one that begins a round; only how long to wait and
// how large a part may be are found anew. Each step has an id of its own, and an
// answer to a step of another machine, or to one that was answered already, is
// passed over.
//
// The phone holds its journal's lock from an answer to the next step that is
// neither [Read] nor [Store], so that what the notebook has read is stored
// before anything else is written.
//
// # Why it is not part of internal/journal
//
// That package says what entries mean, and the server has it too. This one is
// the phone's alone: it knows of paths, statuses, photos and patience, and uses
// the journal, never the other way round.
package sync
