package json

import (
	"bytes"
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// inner and the types below have what the core's answers and questions have.
type inner struct {
	A     string `json:"a"`
	B     int    `json:"b,omitempty"`
	Plain bool
}

type word string

type numbered2 [2]int

// loud writes and reads itself as JSON.
type loud struct{ s string }

func (l loud) MarshalJSON() ([]byte, error) { return json.Marshal(map[string]string{"loud": l.s}) }

func (l *loud) UnmarshalJSON(b []byte) error {
	l.s = string(b)
	return nil
}

// stamped writes and reads itself as text.
type stamped struct{ s string }

func (s stamped) MarshalText() ([]byte, error) { return []byte("<" + s.s + ">"), nil }

func (s *stamped) UnmarshalText(b []byte) error {
	s.s = strings.Trim(string(b), "<>")
	return nil
}

type outer struct {
	inner
	Name   string                     `json:"name"`
	Word   word                       `json:"word,omitempty"`
	X      float64                    `json:"x"`
	Y      float32                    `json:"y,omitempty"`
	N      int64                      `json:"n"`
	U      uint8                      `json:"u"`
	Is     bool                       `json:"is,omitempty"`
	List   []inner                    `json:"list"`
	Words  []word                     `json:"words,omitempty"`
	Pair   numbered2                  `json:"pair"`
	Map    map[string]int             `json:"map"`
	By     map[word]*inner            `json:"by,omitempty"`
	Raw    json.RawMessage            `json:"raw,omitempty"`
	Raws   map[string]json.RawMessage `json:"raws,omitempty"`
	Ptr    *inner                     `json:"ptr,omitempty"`
	PtrN   *float64                   `json:"ptr_n"`
	Lists  *[]word                    `json:"lists"`
	Any    any                        `json:"any"`
	Loud   loud                       `json:"loud"`
	LoudP  *loud                      `json:"loud_p"`
	Stamp  stamped                    `json:"stamp"`
	Keyed  map[stamped]int            `json:"keyed,omitempty"`
	Hidden string                     `json:"-"`
	own    int
}

// texts has what has to be written as numbers, and what is no Unicode.
var texts = rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{
	"", "plain", `"\/`, "<b>&amp;</b>", "\u2028\u2029", "\x00\x01\x1f\x7f\b\f\n\r\t", "½¢ “a” – é 🪙", "\xff\xfe", "a\xe2\x80", "\xed\xa0\x80", "\ufffd",
}))

var floats = rapid.OneOf(rapid.Float64().Filter(func(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }), rapid.SampledFrom([]float64{
	0, math.Copysign(0, -1), 1, -1, 0.1, 1e-6, 9.999e-7, 1e-9, 1e20, 1e21, 1.5e300, 5e-324, math.MaxFloat64, 3.11, 123456789.125,
}))

func anyInner(t *rapid.T) inner {
	return inner{texts.Draw(t, "a"), rapid.IntRange(-3, 3).Draw(t, "b"), rapid.Bool().Draw(t, "plain")}
}

func anyOuter(t *rapid.T) outer {
	o := outer{inner: anyInner(t), Name: texts.Draw(t, "name"), Word: word(texts.Draw(t, "word")), X: floats.Draw(t, "x"),
		Y: float32(rapid.Float32Range(-1e30, 1e30).Draw(t, "y")), N: rapid.Int64().Draw(t, "n"), U: rapid.Byte().Draw(t, "u"), Is: rapid.Bool().Draw(t, "is"),
		Pair: numbered2{1, 2}, Loud: loud{texts.Draw(t, "loud")}, Stamp: stamped{texts.Draw(t, "stamp")}, own: 1}
	if rapid.Bool().Draw(t, "more") {
		in := anyInner(t)
		o.List, o.Ptr, o.LoudP = []inner{in, anyInner(t)}, &in, &loud{"p"}
		o.Map, o.By = map[string]int{"b": 1, "a": 2, texts.Draw(t, "key"): 3}, map[word]*inner{"x": nil, "y": &in}
		o.Words, o.Raw = []word{"", word(texts.Draw(t, "w"))}, json.RawMessage(" {\"a\" : [ 1 , \"<\u2028 \\\" x\" ] } ")
		o.Raws = map[string]json.RawMessage{"r": json.RawMessage("null"), "n": nil}
		o.Any = []any{1.5, "s", nil, true, map[string]any{"k": texts.Draw(t, "v")}}
		o.PtrN, o.Lists, o.Keyed = &o.X, &[]word{"l"}, map[stamped]int{{"k2"}: 1, {"k1"}: 2}
	}
	return o
}

func TestWritesTheSameBytesAsTheLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOuter(t)
		for _, v := range []any{o, &o, o.List, o.Any, o.Raws, texts.Draw(t, "s"), floats.Draw(t, "f")} {
			got, err := marshal(v)
			want, wantErr := json.Marshal(v)
			if (err == nil) != (wantErr == nil) || !bytes.Equal(got, want) {
				t.Fatalf("%s, %v\nwant %s, %v", got, err, want, wantErr)
			}
		}
	})
}

func TestReadsTheSameValuesAsTheLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		raw, err := json.Marshal(anyOuter(t))
		if err != nil {
			t.Fatal(err)
		}
		same(t, raw)
		var indented bytes.Buffer
		if err := json.Indent(&indented, raw, " ", "\t"); err != nil {
			t.Fatal(err)
		}
		same(t, indented.Bytes())
	})
}

// same reads data with both into values of several sorts.
func same(t interface{ Fatalf(string, ...any) }, data []byte) {
	if got, want := check(data) == nil, json.Valid(data); got != want {
		t.Fatalf("%q: valid %v, want %v", data, got, want)
	}
	for _, empty := range []func() any{
		func() any { return new(outer) }, func() any { return new(any) }, func() any { return new(map[string]json.RawMessage) },
		func() any { return new([]inner) }, func() any { return new(string) }, func() any { return new(int8) }, func() any { return new(float64) },
		func() any { return new(loud) }, func() any { return new(*stamped) }, func() any { return new([2]string) }, func() any { return new(map[int]string) },
	} {
		got, want := empty(), empty()
		err, wantErr := unmarshal(data, got, false), json.Unmarshal(data, want)
		if (err == nil) != (wantErr == nil) || !reflect.DeepEqual(got, want) {
			t.Fatalf("%q into %T: %+v, %v\nwant %+v, %v", data, got, reflect.ValueOf(got).Elem(), err, reflect.ValueOf(want).Elem(), wantErr)
		}
		dec := json.NewDecoder(bytes.NewReader(data))
		dec.DisallowUnknownFields()
		if err, wantErr := unmarshal(data, empty(), true), dec.Decode(empty()); json.Valid(data) && (err == nil) != (wantErr == nil) {
			t.Fatalf("%q strictly into %T: %v, want %v", data, got, err, wantErr)
		}
	}
}

var samples = []string{
	`{}`, ` [ ] `, `null`, `true`, `"a"`, `1`, `-0`, `1e3`, `1.5E-3`, `01`, `1.`, `.5`, `-`, `+1`, `1e`, `nul`, `{"a"}`, `{"a":}`, `{"a":1,}`, `[1,]`, `[,]`, `{,}`,
	`"\u0041\ud83e\ude99\ud83e\n\ud83ex\ude99"`, `"\x"`, `"\u12"`, "\"\x01\"", "\"\xff\"", `"`, ``, ` `, `{"a":1}x`, `[1 2]`, `{"A":"fold","NAME":"n","nAmE":"m"}`,
	`{"n":1.0,"name":"still read"}`, `{"u":256,"is":true}`, `{"n":"1"}`, `{"list":[{"a":"x","unknown":1},null,{}],"list":[{"b":2}]}`, `{"map":{"a":1},"map":{"b":2}}`,
	`{"ptr":null,"raw":null,"loud":null,"stamp":null,"any":null,"x":null,"list":null,"map":null}`, `{"stamp":5}`, `{"pair":[1,2,3]}`, `{"pair":[1]}`, `{"by":{"x":null,"y":{}}}`,
	`{"inner":{"a":"x"}}`, `{"Hidden":"x","own":3}`, `{"lists":["a",null]}`, `[[[[]]]]`, `{"keyed":{"<k>":1}}`, `9223372036854775808`, `1e400`, `{"1":"a","x":"b"}`, `["a","b","c"]`,
}

func TestSamples(t *testing.T) {
	for _, s := range samples {
		same(t, []byte(s))
	}
	for _, n := range []int{9_999, 10_000, 10_001} {
		deep := []byte(strings.Repeat("[", n) + "1" + strings.Repeat("]", n))
		if got, want := check(deep) == nil, json.Valid(deep); got != want {
			t.Errorf("%d deep: %v, want %v", n, got, want)
		}
	}
}

func FuzzReadsLikeTheLibrary(f *testing.F) {
	for _, s := range samples {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) { same(t, data) })
}

func TestWhatCannotBeWritten(t *testing.T) {
	for _, v := range []any{math.NaN(), math.Inf(1), make(chan int), map[string]any{"a": []any{math.NaN()}}, map[float64]int{1: 1}} {
		if out, err := marshal(v); err == nil || len(out) > 0 {
			t.Errorf("%v: %s", v, out)
		}
	}
	if out, err := marshal(map[string][]byte{"b": {1}}); err == nil {
		t.Errorf("bytes: %s", out)
	}
	if unmarshal([]byte("1"), nil, false) == nil || unmarshal([]byte("1"), 1, false) == nil {
		t.Error("read into nothing")
	}
}

// Weighed is embedded by its address: all of it is there, or nothing.
type Weighed struct {
	G     float64 `json:"g"`
	Twice int     `json:"twice,omitempty"`
}

// TestAnEmbeddedPointer is written as the library does, and left out where it is
// none; reading makes it where one of its fields comes.
func TestAnEmbeddedPointer(t *testing.T) {
	type answer struct {
		Of string `json:"of"`
		*Weighed
		Last bool `json:"last"`
	}
	for _, a := range []answer{{Of: "none"}, {Of: "one", Weighed: &Weighed{G: 2.5}, Last: true}, {Of: "two", Weighed: &Weighed{3.11, 2}}} {
		want, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		got, err := marshal(a)
		if err != nil || string(got) != string(want) {
			t.Errorf("%s (%v), want %s", got, err, want)
		}
		var back answer
		if err := unmarshal(want, &back, true); err != nil || !reflect.DeepEqual(back, a) {
			t.Errorf("%s is read as %+v (%v)", want, back, err)
		}
	}
}
