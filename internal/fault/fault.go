// Package fault carries errors that a person at the table may read.
//
// Every fault has two texts. What is said is for the person: what happened,
// whether anything is lost, what to do now. It is a line, written out in the
// reader's language where it leaves the program. The cause is for the log and is
// never shown. Code ties the two together across the wire, so that a phone can
// react without reading prose.
package fault

import (
	"errors"

	"panside/internal/say"
)

// Error is a fault with its two texts. Make one with New, Wrap or WithEnding.
type Error struct {
	Code  Code
	Cause error

	what   say.Line // what happened, and without an ending all the rest
	ending say.Line // what became of what was asked; none if that is in what
}

// New returns a fault with what is said to the person and no deeper cause.
func New(code Code, what say.Line) *Error {
	return &Error{Code: code, what: what}
}

// Wrap returns a fault with what is said to the person and the cause for the log.
func Wrap(code Code, what say.Line, cause error) *Error {
	return &Error{Code: code, what: what, Cause: cause}
}

// WithEnding returns a fault that says what happened and then what became of what
// was asked. A place where something else becomes of it gives the reason alone.
func WithEnding(code Code, reason, ending say.Line) *Error {
	return &Error{Code: code, what: reason, ending: ending}
}

// Reason is what happened, without the ending if that was given apart.
func (e *Error) Reason() say.Line { return e.what }

// Said is all that is said to the person.
func (e *Error) Said() say.Line {
	if e.ending.None() {
		return e.what
	}
	return say.New("fault-with-ending", say.Of("reason", e.what), say.Of("ending", e.ending))
}

// In is what is said, in a language.
func (e *Error) In(t *say.Tongue) string { return t.Write(e.Said()) }

// English is what is said in the terminal and in the log.
func (e *Error) English() string { return e.In(say.English) }

// Error gives the log's text: the code, what is said, and the cause.
func (e *Error) Error() string {
	s := string(e.Code) + ": " + e.English()
	if e.Cause != nil {
		s += " (" + e.Cause.Error() + ")"
	}
	return s
}

// Unwrap returns the cause, nil if there is none.
func (e *Error) Unwrap() error { return e.Cause }

// Of returns the fault inside err. An error without one becomes Internal with
// a general sentence, so that no raw error text ever reaches a screen. Of(nil)
// is nil.
func Of(err error) *Error {
	if err == nil {
		return nil
	}
	var f *Error
	if errors.As(err, &f) {
		return f
	}
	return Wrap(Internal, say.New("fault-unexpected"), err)
}
