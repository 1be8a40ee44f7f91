package journal

import (
	"bytes"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/json"
)

// asAny reads a batch as any JSON is read.
func asAny(raw []byte) (b Batch, err error) {
	err = json.Unmarshal(raw, &b)
	return b, err
}

// TestABatchIsReadAsAnyJSON: telling entries apart gives what reading them would.
func TestABatchIsReadAsAnyJSON(t *testing.T) {
	split := 0
	rapid.Check(t, func(t *rapid.T) {
		var values func(depth int) *rapid.Generator[any]
		values = func(depth int) *rapid.Generator[any] {
			plain := []*rapid.Generator[any]{rapid.String().AsAny(), rapid.Float64().AsAny(), rapid.Bool().AsAny(), rapid.SampledFrom([]string{`\`, `"`, `\"`, `{`, `}`, `]},{`, `\\`}).AsAny()}
			if depth > 0 {
				plain = append(plain, rapid.SliceOfN(values(depth-1), 0, 3).AsAny(), rapid.MapOfN(rapid.StringN(0, 4, 8), values(depth-1), 0, 3).AsAny())
			}
			return rapid.OneOf(plain...)
		}
		entry := rapid.MapOfN(rapid.String(), values(2), 0, 4)
		raw := []byte(`{"v":1,"receipt":"7.aa","entries":[`)
		for i := range rapid.IntRange(1, 4).Draw(t, "entries") {
			one, err := json.Marshal(entry.Draw(t, "entry"))
			if err != nil {
				t.Fatal(err)
			}
			if i > 0 {
				raw = append(raw, ',')
			}
			raw = append(raw, one...)
		}
		raw = append(raw, "]}"...)
		want, err := asAny(raw)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := splitBatch(raw)
		if !ok || !reflect.DeepEqual(got, want) {
			t.Fatalf("%v %+v, want %+v", ok, got, want)
		}
		split++
	})
	if split == 0 {
		t.Error("nothing was split")
	}
}

func TestOtherFormsOfABatch(t *testing.T) {
	for _, raw := range []string{
		`{"v":1,"entries":[]}`, `{"v":1,"receipt":"","entries":[]}`, `{ "v":1,"receipt":"","entries":[{}]}`,
		`{"entries":[{"a":1}],"v":1}`, `{"v":2,"receipt":"","entries":[{}]}`, `{"v":1,"receipt":"a\u0041","entries":[{}]}`,
		`{"v":1,"receipt":"","entries":[{} ,{}]}`, `{"v":1,"receipt":"","entries":[{}],"more":3}`, `{"v":1,"receipt":"","entries":[7]}`,
		``, `{`, `{"v":1,"receipt":"`, `{"v":1,"receipt":"","entries":[`, `{"v":1,"receipt":"","entries":[{}`, `{"v":1,"receipt":"","entries":[{"}]}`,
		`{"v":1,"receipt":"","entries":[{}]}x`, `{"v":1,"receipt":"","entries":[{},]}`, `null`,
	} {
		want, wantErr := asAny([]byte(raw))
		got, err := ParseBatch([]byte(raw))
		if (err == nil) != (wantErr == nil) || err == nil && !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, %v; want %+v, %v", raw, got, err, want, wantErr)
		}
	}
}

// FuzzParseBatch: what is told apart fits together again, and what is JSON is
// read as such.
func FuzzParseBatch(f *testing.F) {
	f.Add([]byte(`{"v":1,"receipt":"1.a","entries":[{"id":"a.1"},{"value":"\"}]}"}]}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		got, err := ParseBatch(raw)
		want, wantErr := asAny(raw)
		switch {
		case wantErr == nil && (err != nil || !reflect.DeepEqual(got, want)):
			t.Fatalf("%q: %+v, %v; want %+v", raw, got, err, want)
		case err == nil && wantErr != nil: // ParseEntry refuses what isn't JSON in it
			for _, e := range got.Entries {
				if !bytes.Contains(raw, e) {
					t.Fatalf("%q has no %q", raw, e)
				}
			}
		}
	})
}
