package fault

import "panside/internal/say"

// Field is a fault in one named value of a question, a form or a record, so that
// a screen or a program can point at it. It is the only error of its kind.
type Field struct {
	Name  string // as the question spells it: "dry_g", "weights.0.class"
	Fault *Error
}

// InField names the value that a line is about.
func InField(name string, code Code, what say.Line) *Field {
	return &Field{name, New(code, what)}
}

// Error gives the log's text.
func (e *Field) Error() string { return e.Name + ": " + e.Fault.Error() }

// Unwrap returns the fault, for Of.
func (e *Field) Unwrap() error { return e.Fault }
