// Package bridge is the one way into the core: JSON in, JSON out. The phone
// reaches it through WebAssembly, the server through its API and commands; all
// get the same answers.
package bridge

import (
	"encoding/json"
	"errors"

	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/verdict"
)

// methods are what can be called. Each has its own file. A method gets the
// question as JSON and returns what is written as JSON under "ok".
var methods = map[string]func(in []byte) (any, error){
	"judge": callJudge,
	"look":  callLook,
	"key":   callKey,
	"book":  callBook,
	"coins": callCoins,

	"density": callDensity,
	"roll":    callRoll,

	"scale-check": callCheck,
}

// problem is an error on the wire.
type problem struct {
	Code     fault.Code `json:"code"`
	Sentence string     `json:"sentence"`
	Field    string     `json:"field,omitempty"`
}

// Call answers a method with {"ok":…} or {"error":{"code","sentence","field"}}.
// It never panics: a fault in the core becomes an internal error. in belongs to
// the bridge from then on.
func Call(method string, in []byte) []byte { return call(methods, method, in) }

func call(methods map[string]func(in []byte) (any, error), method string, in []byte) (out []byte) {
	defer func() {
		if r := recover(); r != nil {
			out = failed(errors.New("panic in the core"))
		}
	}()
	f, ok := methods[method]
	if !ok {
		return failed(fault.New(fault.NotFound, "The core has no method of that name. Nothing was done; the page and the program may be of different versions, so load the page again."))
	}
	answer, err := f(in)
	if err != nil {
		return failed(err)
	}
	out, err = json.Marshal(struct {
		OK any `json:"ok"`
	}{answer})
	if err != nil {
		return failed(err)
	}
	return out
}

func failed(err error) []byte {
	f := fault.Of(err)
	p := problem{Code: f.Code, Sentence: f.Sentence}
	var input *verdict.InputError
	var find *coin.FindError
	var field *journal.FieldError
	var value *fault.Field
	switch {
	case errors.As(err, &input):
		p.Field = input.Field
	case errors.As(err, &find):
		p.Field = find.Field
	case errors.As(err, &field):
		p.Field = field.Field
	case errors.As(err, &value):
		p.Field = value.Name
	}
	out, err := json.Marshal(struct {
		Error problem `json:"error"`
	}{p})
	if err != nil { // strings always marshal
		return []byte(`{"error":{"code":"internal","sentence":"Something unexpected went wrong."}}`)
	}
	return out
}
