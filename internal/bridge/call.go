package bridge

import (
	"errors"

	"panside/internal/book"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
)

// methods are what can be called without the coin book, bookMethods what is
// answered from it. Each has its own file. A method gets the question as JSON and
// returns what is written as JSON under "ok".
var methods = map[string]func(t *say.Tongue, in []byte) (any, error){
	"scale-check": callCheck,
	"scale-guide": callGuide,

	"radio-weight": callRadio,
}

var bookMethods = map[string]func(s *book.Shelf, in []byte) (any, error){
	"judge": callJudge,
	"shown": callShown,
	"look":  callLook,
	"key":   callKey,
	"dated": callDated,
	"keep":  callKeep,
	"book":  callBook,
	"coins": callCoins,
	"fits":  callFits,
	"ring":  callRing,

	"density": callDensity,
	"roll":    callRoll,
}

// problem is an error on the wire.
type problem struct {
	Code     fault.Code `json:"code"`
	Sentence string     `json:"sentence"`
	Field    string     `json:"field,omitempty"`
}

// Call is CallIn in English.
func Call(method string, in []byte) []byte { return CallIn(book.DefaultLanguage, method, in) }

// CallIn answers a method with {"ok":…} or {"error":{"code","sentence","field"}}, in
// a language as Use's shelves know them;
// on a phone also with {"need":[names]} when files of the book are to be put
// first, see shelf.go.
// It never panics: a fault in the core becomes an internal error. in belongs to
// the bridge from then on.
func CallIn(language, method string, in []byte) []byte {
	var shelf func() *book.Shelf
	if of := theBook.Load(); of != nil {
		shelf = func() *book.Shelf { return (*of)(language) }
	}
	t := say.English
	if shelf != nil && language != book.DefaultLanguage {
		t = shelf().Tongue()
	}
	line, _ := call(methods, shelf, t, method, in)
	return line
}

// call answers with a line of JSON and what is to be kept as it is, nil for
// nothing.
func call(methods map[string]func(t *say.Tongue, in []byte) (any, error), shelf func() *book.Shelf, t *say.Tongue, method string, in []byte) (line, kept []byte) {
	defer func() {
		if r := recover(); r != nil {
			line, kept = failed(t, errors.New("panic in the core")), nil
		}
	}()
	f, ok := methods[method]
	if of, is := bookMethods[method]; is {
		if shelf == nil {
			return failed(t, fault.New(fault.BookMissing, say.New("core-without-book"))), nil
		}
		f, ok = func(_ *say.Tongue, in []byte) (any, error) { return of(shelf(), in) }, true
	}
	if !ok {
		return failed(t, fault.New(fault.NotFound, say.New("core-no-such-method"))), nil
	}
	answer, err := f(t, in)
	if err != nil {
		return failed(t, err), nil
	}
	if w, ok := answer.(withBytes); ok {
		answer, kept = w.answer, w.kept
	}
	line, err = json.Marshal(struct {
		OK any `json:"ok"`
	}{answer})
	if err != nil {
		return failed(t, err), nil
	}
	return line, kept
}

// withBytes is an answer with more beside it than JSON should carry.
type withBytes struct {
	answer any
	kept   []byte
}

// Refusal is the answer of a method that ends with err, for those who go on in Go:
// {"error":{"code","sentence","field"}}.
func Refusal(t *say.Tongue, err error) []byte { return failed(t, err) }

func failed(t *say.Tongue, err error) []byte {
	var lacking *book.Lacking
	if errors.As(err, &lacking) {
		return needs(t, lacking.Names)
	}
	out, err := json.Marshal(struct {
		Error problem `json:"error"`
	}{problemOf(t, err)})
	if err != nil { // strings always marshal
		return []byte(`{"error":{"code":"internal","sentence":""}}`)
	}
	return out
}

// problemOf is an error as it goes over the wire.
func problemOf(t *say.Tongue, err error) problem {
	f := fault.Of(err)
	p := problem{Code: f.Code, Sentence: f.In(t)}
	var in *fault.Field
	if errors.As(err, &in) {
		p.Field = in.Name
	}
	return p
}
