package dialect

import (
	"encoding/json"

	"panside/internal/mass"
)

// listenLine is the form of one reading on the listen command's output. value
// is text so that its digits count; the other numbers are exact decimals
// written out.
type listenLine struct {
	Raw        string       `json:"raw"`
	Value      *string      `json:"value"`
	Unit       *mass.Unit   `json:"unit"`
	Grams      *json.Number `json:"grams"`
	Resolution *json.Number `json:"resolution"`
	Status     mass.Status  `json:"status"`
	Dialect    *string      `json:"dialect"`
	Problem    *problem     `json:"problem"`
}

type problem struct {
	Code     string `json:"code"`
	Sentence string `json:"sentence"`
}

// ListenLine is a reading as one line of JSON with its line end:
//
//	{"raw":"ST,GS,+   3.11  g","value":"3.11","unit":"g","grams":3.11,
//	 "resolution":0.01,"status":"stable","dialect":"status-comma","problem":null}
//
// raw holds each byte as the character of that number (ISO 8859-1). value,
// unit, grams and resolution are null without a value, resolution also when it
// is not known; resolution is in unit. problem has a code and a sentence.
func ListenLine(r mass.Reading) []byte {
	raw := make([]rune, len(r.Raw))
	for i, b := range r.Raw {
		raw[i] = rune(b)
	}
	line := listenLine{Raw: string(raw), Status: r.Status}
	if r.Dialect != "" {
		line.Dialect = &r.Dialect
	}
	if r.Problem != nil {
		line.Problem = &problem{string(r.Problem.Code), r.Problem.English()}
	}
	if r.HasValue {
		value := r.Quantity.Value.String()
		line.Value, line.Unit = &value, &r.Quantity.Unit
		if grams, err := r.Quantity.Grams(); err == nil {
			line.Grams = number10(grams)
		}
		if r.Resolution.Sign() > 0 {
			line.Resolution = number10(r.Resolution)
		}
	}
	out, err := json.Marshal(line)
	if err != nil {
		// Strings and plain decimals always marshal.
		panic(err)
	}
	return append(out, '\n')
}

func number10(d mass.Decimal) *json.Number {
	n := json.Number(d.String())
	return &n
}
