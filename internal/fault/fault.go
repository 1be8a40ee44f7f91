// Package fault carries errors that a person at the table may read.
//
// Every fault has two texts. The sentence is for the person: what happened,
// whether anything is lost, what to do now. The cause is for the log and is
// never shown. Code ties the two together across the wire, so that a phone can
// react without reading prose.
package fault

import "errors"

// Error is a fault with its two texts. Make one with New, Wrap or WithEnding.
type Error struct {
	Code     Code
	Sentence string
	Cause    error

	reason string // what happened, without what became of it; empty if it was made as one
}

// New returns a fault with a sentence for the person and no deeper cause.
func New(code Code, sentence string) *Error {
	return &Error{Code: code, Sentence: sentence}
}

// Wrap returns a fault with a sentence for the person and the cause for the log.
func Wrap(code Code, sentence string, cause error) *Error {
	return &Error{Code: code, Sentence: sentence, Cause: cause}
}

// WithEnding returns a fault of which the sentence is a reason and an ending: what
// happened, and what became of what was asked. A place where something else
// becomes of it gives the reason alone.
func WithEnding(code Code, reason, ending string) *Error {
	return &Error{Code: code, Sentence: reason + " " + ending, reason: reason}
}

// Reason is what happened, without the ending if that was given apart.
func (e *Error) Reason() string {
	if e.reason == "" {
		return e.Sentence
	}
	return e.reason
}

// Error gives the log's text: the code, the sentence and the cause.
func (e *Error) Error() string {
	s := string(e.Code) + ": " + e.Sentence
	if e.Cause != nil {
		s += " (" + e.Cause.Error() + ")"
	}
	return s
}

// Unwrap returns the cause, nil if there is none.
func (e *Error) Unwrap() error { return e.Cause }

// unexpected is what a person reads when an error brought no sentence along.
const unexpected = "Something unexpected went wrong. Nothing that was saved is lost; try again, and look at the laptop’s log if it stays."

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
	return &Error{Code: Internal, Sentence: unexpected, Cause: err}
}
