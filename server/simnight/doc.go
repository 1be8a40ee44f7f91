// Package simnight plays nights of searching against the real journal, database,
// photo store and routes: phones that write, meet a laptop over a bad network,
// crash, are copied or put back to an old state, with clocks that jump; a laptop
// that crashes at every step and is put back from a backup. A seed decides
// everything, so any night can be played again.
//
// It has no code of its own beside the tests. `go test ./server/simnight` plays
// some nights; PANSIDE_LONG=1 plays ten thousand, PANSIDE_SEED=N one of them.
package simnight
