package bridge

import (
	"errors"

	"panside/internal/book"
	"panside/internal/fault"
	"panside/internal/json"
)

// methods are what can be called without the coin book, bookMethods what is
// answered from it. Each has its own file. A method gets the question as JSON and
// returns what is written as JSON under "ok".
var methods = map[string]func(in []byte) (any, error){
	"scale-check": callCheck,
	"scale-guide": callGuide,
}

var bookMethods = map[string]func(s *book.Shelf, in []byte) (any, error){
	"judge": callJudge,
	"shown": callShown,
	"look":  callLook,
	"key":   callKey,
	"dated": callDated,
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

// Call answers a method with {"ok":…} or {"error":{"code","sentence","field"}};
// on a phone also with {"need":[names]} when files of the book are to be put
// first, see shelf.go.
// It never panics: a fault in the core becomes an internal error. in belongs to
// the bridge from then on.
func Call(method string, in []byte) []byte {
	line, _ := call(methods, theBook.Load(), method, in)
	return line
}

// call answers with a line of JSON and what is to be kept as it is, nil for
// nothing.
func call(methods map[string]func(in []byte) (any, error), shelf *func() *book.Shelf, method string, in []byte) (line, kept []byte) {
	defer func() {
		if r := recover(); r != nil {
			line, kept = failed(errors.New("panic in the core")), nil
		}
	}()
	f, ok := methods[method]
	if of, is := bookMethods[method]; is {
		if shelf == nil {
			return failed(fault.New(fault.BookMissing, "This program was built without its coin book, so it can’t judge. Nothing was done; install it again.")), nil
		}
		f, ok = func(in []byte) (any, error) { return of((*shelf)(), in) }, true
	}
	if !ok {
		return failed(fault.New(fault.NotFound, "The core has no method of that name. Nothing was done; the page and the program may be of different versions, so load the page again.")), nil
	}
	answer, err := f(in)
	if err != nil {
		return failed(err), nil
	}
	if w, ok := answer.(withBytes); ok {
		answer, kept = w.answer, w.kept
	}
	line, err = json.Marshal(struct {
		OK any `json:"ok"`
	}{answer})
	if err != nil {
		return failed(err), nil
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
func Refusal(err error) []byte { return failed(err) }

func failed(err error) []byte {
	var lacking *book.Lacking
	if errors.As(err, &lacking) {
		return needs(lacking.Names)
	}
	out, err := json.Marshal(struct {
		Error problem `json:"error"`
	}{problemOf(err)})
	if err != nil { // strings always marshal
		return []byte(`{"error":{"code":"internal","sentence":"Something unexpected went wrong."}}`)
	}
	return out
}

// problemOf is an error as it goes over the wire.
func problemOf(err error) problem {
	f := fault.Of(err)
	p := problem{Code: f.Code, Sentence: f.Sentence}
	var in *fault.Field
	if errors.As(err, &in) {
		p.Field = in.Name
	}
	return p
}
