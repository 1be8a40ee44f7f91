// Package device holds what is known of a phone or a desk that has joined the
// server, and the rule for the name a person gives it.
package device

import (
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// Role says what a device may do.
type Role string

// The roles. The words are on the wire and in the database: never change them.
const (
	Phone Role = "phone" // weighs, judges, keeps its journal
	Desk  Role = "desk"  // a page on the laptop itself; also lets phones in and ends them
)

// Device is one joined phone or desk.
type Device struct {
	ID       string
	Name     string
	Role     Role
	Created  time.Time
	LastSeen time.Time
}

// maxName is the longest name kept, in characters; it fits a list line on a
// narrow phone.
const maxName = 40

// CleanName makes a typed name fit to be listed: control and other invisible
// characters become blanks, runs of blanks become one, and it is cut to 40
// characters. A name with nothing left becomes fallback.
func CleanName(typed, fallback string) string {
	visible := strings.Map(func(r rune) rune {
		if r == unicode.ReplacementChar || !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, typed)
	name := strings.Join(strings.Fields(visible), " ")
	if runes := []rune(name); len(runes) > maxName {
		name = strings.TrimSpace(string(runes[:maxName]))
	}
	if name == "" {
		return fallback
	}
	return name
}

// FreeName is a clean name that no device of the list has, whatever the size of
// its letters: the name itself, or with the lowest number behind it, from 2 on,
// cut before that to stay within 40 characters.
func FreeName(name string, list []Device) string {
	free := name
	for n := 2; slices.ContainsFunc(list, func(d Device) bool { return strings.EqualFold(d.Name, free) }); n++ {
		number := " " + strconv.Itoa(n)
		runes := []rune(name)
		free = strings.TrimSpace(string(runes[:min(len(runes), maxName-len(number))])) + number
	}
	return free
}
