// Package syncsim plays nights of searching against the real journal, database,
// photo store and routes: phones that write, meet a laptop over a bad network,
// crash, are copied or put back to an old state, with clocks that jump; a laptop
// that crashes at every step, tears parts of photos, loses the log beside its
// records or has it damaged, and is put back from a backup, in its place or on
// another computer. At each of its starts it says of which writers how many
// entries are missing that it had acknowledged, and of no others. In the morning everything that
// was confirmed is there once, no value is replaced by one whose writer hadn't
// seen it, every photo has its bytes, and all devices show the same.
//
// A seed decides everything, so any night can be played again. Which faults
// happened is counted, and none may be missing.
//
// It has no code of its own beside the tests. `go test ./server/syncsim` plays
// some nights; PANSIDE_LONG=1 plays ten thousand, PANSIDE_SEED=N one of them.
package syncsim
