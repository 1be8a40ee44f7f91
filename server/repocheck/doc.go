// Package repocheck holds tests about the repository itself: which package may
// import which, that every package says what it is for, that what the notes name
// is there, that what stands in Go and in TypeScript is the same, and that nothing
// of a developer's machine or of unfinished work gets in. It has no code of its own.
package repocheck
