package journal

import (
	"maps"
	"strings"
	"testing"

	"panside/internal/json"
)

// TestNamedPhotos follows the entries of finds: what is removed is named no
// more, what is written beside it still is, and a deletion changes nothing.
func TestNamedPhotos(t *testing.T) {
	a, b, c := strings.Repeat("a", 64), strings.Repeat("b", 64), strings.Repeat("c", 64)
	const one, two = "0190a000-0000-7000-8000-000000000001", "0190a000-0000-7000-8000-000000000002"
	photo := func(sum, from string) string {
		return `{"sha256":"` + sum + `","type":"image/jpeg","bytes":1,"from":"` + from + `"}`
	}
	entry := func(id, at, record, kind, field, value, more string) json.RawMessage {
		if !strings.HasSuffix(id, ".1") {
			more += `,"prev":"` + a + `"`
		}
		return json.RawMessage(`{"id":"` + id + `","at":"` + at + `.0","record":"` + record + `","kind":"` + kind + `","field":"` + field + `","value":` + value + more + `}`)
	}
	var n NamedPhotos
	if len(n.Now())+len(n.Removed()) > 0 {
		t.Error("names photos before it has seen any")
	}
	for i, step := range []struct {
		entry   json.RawMessage
		now     map[string]PhotoName
		removed map[string]bool
	}{
		{entry("x.1", "7", one, "find", "photo/"+a, photo(a, b), ""), map[string]PhotoName{a: {one, Stamp{7, 0}}, b: {one, Stamp{7, 0}}}, map[string]bool{}},
		{entry("y.1", "5", two, "find", "photo/"+a, photo(a, ""), ""), map[string]PhotoName{a: {two, Stamp{5, 0}}, b: {one, Stamp{7, 0}}}, map[string]bool{}},
		{entry("x.2", "8", two, "find", "deleted", "true", ""), map[string]PhotoName{a: {two, Stamp{5, 0}}, b: {one, Stamp{7, 0}}}, map[string]bool{}},
		{entry("x.3", "9", one, "find", "photo/"+a, "null", `,"replaces":["x.1"]`), map[string]PhotoName{a: {two, Stamp{5, 0}}}, map[string]bool{b: true}},
		{entry("y.2", "9", two, "find", "photo/"+a, "null", `,"replaces":["y.1"]`), map[string]PhotoName{}, map[string]bool{a: true, b: true}},
		// The ids of another find's entries, once of a second writer of that name.
		{entry("v.1", "9", one, "find", "photo/"+c, photo(c, ""), ""), map[string]PhotoName{c: {one, Stamp{9, 0}}}, map[string]bool{a: true, b: true}},
		{entry("v.2", "9", two, "find", "photo/"+c, "null", `,"replaces":["v.1"]`), map[string]PhotoName{c: {one, Stamp{9, 0}}}, map[string]bool{a: true, b: true}},
		{entry("v.3", "9", one, "find", "photo/"+c, "null", `,"replaces":["v.1"]`), map[string]PhotoName{}, map[string]bool{a: true, b: true, c: true}},
		{entry("y.3", "9", two, "find", "photo/"+a, photo(a, ""), `,"replaces":["y.2"]`), map[string]PhotoName{a: {two, Stamp{9, 0}}}, map[string]bool{b: true, c: true}},
		{entry("z.1", "9", two, "hunt", "photo/"+c, photo(c, ""), ""), map[string]PhotoName{a: {two, Stamp{9, 0}}}, map[string]bool{b: true, c: true}},
		{entry("z.2", "9", two, "find", "photo/x", `{"sha256":"../x"}`, ""), map[string]PhotoName{a: {two, Stamp{9, 0}}}, map[string]bool{b: true, c: true}},
		{json.RawMessage(`{"field":"photo/` + c + `"`), map[string]PhotoName{a: {two, Stamp{9, 0}}}, map[string]bool{b: true, c: true}},
	} {
		n.Add([]json.RawMessage{step.entry})
		if !maps.Equal(n.Now(), step.now) || !maps.Equal(n.Removed(), step.removed) {
			t.Errorf("step %d: now %v, removed %v", i, n.Now(), n.Removed())
		}
	}
}
