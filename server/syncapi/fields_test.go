package syncapi

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"regexp"
	"slices"
	"strings"
	"testing"

	"panside/internal/journal"
	"panside/server/openapitest"
)

const hash = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"

// fieldValues are values of each field that are good, and others that aren't.
var fieldValues = map[string]map[string]struct{ good, bad []string }{
	"find": {
		"deleted":           {[]string{`true`, `false`}, []string{`1`, `"true"`}},
		"note":              {[]string{`""`, `"a\nb"`}, []string{`5`, `"` + strings.Repeat("x", 8001) + `"`}},
		"hunt":              {[]string{`"0190a000-0000-7000-8000-000000000001"`}, []string{`"0190A000-0000-7000-8000-000000000001"`, `"x"`, `1`}},
		"found":             {[]string{`0`, `1750000000000`}, []string{`-1`, `1.5`, `"1"`, `253402300800000`}},
		"coin":              {[]string{`{"country":"US","denomination":"cent"}`, `{"country":"US","denomination":"cent","year":1982,"mint":"-","issue":"us-cent-bronze","more":1}`}, []string{`{"country":"us","denomination":"cent"}`, `{"country":"US","denomination":""}`, `{"country":"US"}`, `{"country":"US","denomination":"cent","year":82}`, `{"country":"US","denomination":"cent","mint":"DDDDD"}`, `"cent"`}},
		"weight":            {[]string{`{"value":"3.11","unit":"g"}`, `{"value":"-0.5","unit":"gr","mean_g":-0.03,"u_g":0,"resolution_g":0.01,"status":"stable","at":5,"scale":{"name":"x","kind":"serial","assumed":true},"calibration":{"repeatability_g":0.01,"calibration_g":0.01,"assumed":false}}`}, []string{`{"value":3.11,"unit":"g"}`, `{"value":"3.","unit":"g"}`, `{"value":"3e1","unit":"g"}`, `{"value":"3.1","unit":"stone"}`, `{"value":"3.1","unit":"g","u_g":-1}`, `{"unit":"g"}`}},
		"trace":             {[]string{`{"unit":"g","from":5,"after":[0,100],"shown":["3.1",""],"status":["moving","stable"]}`}, []string{`{"unit":"g","from":5,"after":["0"],"shown":[],"status":[]}`, `[]`}},
		"verdict":           {[]string{`{"call":"look","headline":"Too heavy","alloys":[]}`}, []string{`{"call":"look","headline":""}`, `{"call":"Look!","headline":"x"}`, `{}`}},
		"gist":              {[]string{`{"call":"keeper"}`, `{"call":"look","metal":"bronze","seen":["small date"]}`}, []string{`{"metal":"bronze"}`, `{"call":"Look!"}`, `{"call":"look","metal":"` + strings.Repeat("x", 61) + `"}`, `{"call":"look","seen":[""]}`, `{"call":"look","seen":["a","b","c","d","e"]}`, `{"call":"look","seen":["` + strings.Repeat("x", 41) + `"]}`, `{"call":"look","metal":"a\nb"}`}},
		"evidence":          {[]string{`{}`, `{"magnetic":"no","us-cent-1982-date":"small"}`}, []string{`{"magnetic":""}`, `{"magnetic":true}`, `{"density":"` + strings.Repeat("x", 241) + `"}`, `[]`}},
		"kind":              {[]string{`"doubled-die"`}, []string{`"Doubled die"`, `""`, `5`}},
		"certainty":         {[]string{`"guess"`}, []string{`"maybe"`, `true`}},
		"photo/" + hash:     {[]string{`{"sha256":"` + hash + `","type":"image/jpeg","bytes":5}`, `{"sha256":"` + hash + `","type":"image/webp","bytes":26214400,"width":3,"height":4,"side":"edge","where":"the rim","x":0.5,"y":1,"taken":5,"from":"` + hash + `"}`}, []string{`{"sha256":"x","type":"image/jpeg","bytes":5}`, `{"sha256":"` + hash + `","type":"image/gif","bytes":5}`, `{"sha256":"` + hash + `","type":"image/jpeg","bytes":0}`, `{"sha256":"` + hash + `","type":"image/jpeg","bytes":26214401}`, `{"sha256":"` + hash + `","type":"image/jpeg","bytes":5,"x":2}`, `{"sha256":"` + hash + `","type":"image/jpeg","bytes":5,"side":"rim"}`}},
		"rim/" + hash:       {[]string{`{"x":10.5,"y":-3,"a":400,"b":399.5,"turn":-12,"mm":19.05,"by":"hand"}`, `{"x":0,"y":0,"a":1,"b":1,"by":"found","more":1}`}, []string{`{"x":0,"y":0,"a":0,"b":1,"by":"found"}`, `{"x":0,"y":0,"a":1,"b":1}`, `{"x":0,"y":0,"a":1,"b":1,"by":"guess"}`, `{"x":0,"y":0,"a":1,"b":1,"mm":4,"by":"found"}`, `{"x":"0","y":0,"a":1,"b":1,"by":"found"}`}},
		"measure/m1":        {[]string{`{"photo":"` + hash + `","is":"line","points":[[1,2],[3.5,4]],"value":0.21,"u":0.02,"unit":"mm","of":"us-cent-am","at":5}`, `{"photo":"` + hash + `","is":"area","points":[[1,2],[3,4],[5,6]],"value":-1,"u":0,"unit":"mm2","more":1}`, `{"photo":"` + hash + `","other":"` + hash + `","is":"between","points":[[1,2],[3,4],[5,6],[7,8]],"value":30.5,"u":2.1,"unit":"deg"}`}, []string{`{"photo":"` + hash + `","other":"x","is":"between","points":[[1,2],[3,4]],"value":1,"u":0,"unit":"deg"}`, `{"photo":"x","is":"line","points":[[1,2],[3,4]],"value":1,"u":0,"unit":"mm"}`, `{"photo":"` + hash + `","is":"line","points":[[1,2]],"value":1,"u":0,"unit":"mm"}`, `{"photo":"` + hash + `","is":"height","points":[[1,2],[3,4]],"value":1,"u":0,"unit":"mm"}`, `{"photo":"` + hash + `","is":"line","points":[[1,2],[3,4]],"value":1,"u":-1,"unit":"mm"}`, `{"photo":"` + hash + `","is":"line","points":[[1,2],[3,4]],"value":1,"u":0,"unit":"inch"}`, `{"photo":"` + hash + `","is":"line","points":[[1,2],[3,4]],"value":1,"u":0,"unit":"mm","of":"AM!"}`}},
		"reference/obverse": {[]string{`"` + hash + `"`}, []string{`"x"`, `5`, `true`}},
		"lies":              {[]string{`{}`, `{"in":"flip","label":"A-17","where":"left drawer"}`}, []string{`{"in":"pocket"}`, `{"label":"a\nb"}`, `{"label":"` + strings.Repeat("x", 41) + `"}`, `[]`}},
		"fate":              {[]string{`"second-opinion"`}, []string{`"sell"`}},
	},
	"hunt": {
		"deleted":        {[]string{`true`}, []string{`"yes"`}},
		"note":           {[]string{`"x"`}, []string{`[]`}},
		"source":         {[]string{`"jar"`}, []string{`"bank"`}},
		"place":          {[]string{`"the blue jar"`}, []string{`"a\tb"`, `"` + strings.Repeat("x", 81) + `"`}},
		"country":        {[]string{`"US"`}, []string{`"USA"`}},
		"denomination":   {[]string{`"cent"`}, []string{`""`}},
		"rolls":          {[]string{`0`, `10000`}, []string{`10001`, `-1`}},
		"coins":          {[]string{`2500`}, []string{`100000001`, `2.5`}},
		"searched":       {[]string{`2500`}, []string{`-1`}},
		"paid":           {[]string{`{"amount":"25.00","currency":"USD"}`}, []string{`{"amount":"25","currency":"$"}`, `{"amount":"-1","currency":"USD"}`, `{"amount":25,"currency":"USD"}`, `{"amount":"1000000000","currency":"USD"}`}},
		"returned":       {[]string{`{"amount":"0.005","currency":"GBP"}`}, []string{`{"amount":"0.00005","currency":"USD"}`}},
		"begun":          {[]string{`1750000000000`}, []string{`-1`}},
		"ended":          {[]string{`1750000000000`}, []string{`"now"`}},
		"pause/5":        {[]string{`0`, `9`}, []string{`-1`}},
		"roll/1":         {[]string{`{"coins":50,"done":true}`, `{}`}, []string{`{"coins":-1}`, `50`}},
		"count/look/a":   {[]string{`-3`, `3`}, []string{`100000001`, `"3"`}},
		"metal/bronze/a": {[]string{`{"name":"Bronze","coins":3}`, `{"name":"90 % silver","coins":-3,"keepers":-1,"more":true}`, `{"name":"x"}`}, []string{`{"coins":3}`, `{"name":"","coins":3}`, `{"name":"a\nb","coins":3}`, `{"name":"` + strings.Repeat("x", 81) + `"}`, `{"name":"x","coins":100000001}`, `{"name":"x","keepers":-100000001}`, `{"name":"x","coins":"3"}`, `3`}},
	},
	"setting": {"deleted": {[]string{`false`}, []string{`0`}}},
	"phone": {
		"deleted":     {[]string{`true`}, []string{`0`}},
		"name":        {[]string{`"the kitchen phone"`, `""`}, []string{`"a\nb"`, `"` + strings.Repeat("x", 81) + `"`, `5`}},
		"writer/k3-7": {[]string{`true`}, []string{`1`, `"k3-7"`}},
	},
}

// TestFieldsAreAsDescribed: the core and the description agree on every field,
// and on which of its values are good.
func TestFieldsAreAsDescribed(t *testing.T) {
	doc := openapitest.Read(Description, Fields)
	for _, kind := range journal.Kinds() {
		var tried []string
		for field, values := range fieldValues[kind] {
			family, _, many := strings.Cut(field, "/")
			if many {
				family += "/"
			}
			tried = append(tried, family)
			schema := schemaOf(t, doc, kind, field)
			for _, v := range slices.Concat(values.good, values.bad) {
				good := slices.Contains(values.good, v)
				if problem := doc.Check([]byte(v), schema...); (problem == "") != good {
					t.Errorf("%s %s %s: described as good: %v, want %v; %s", kind, field, v, !good, good, problem)
				}
				if err := written(kind, field, v); (err == nil) != good {
					t.Errorf("%s %s %s: the core says %v, good %v", kind, field, v, err, good)
				}
			}
		}
		slices.Sort(tried)
		if want := journal.Fields(kind); !slices.Equal(tried, want) {
			t.Errorf("of kind %s %q are tried, there are %q", kind, tried, want)
		}
	}
}

// schemaOf is where the document describes a field's value.
func schemaOf(t *testing.T, doc openapitest.Document, kind, field string) []string {
	t.Helper()
	at := []string{"components", "schemas", strings.ToUpper(kind[:1]) + kind[1:] + "Fields"}
	if exact := append(slices.Clip(at), "properties", field); doc.At(exact...) != nil {
		return exact
	}
	families, _ := doc.At(append(slices.Clip(at), "patternProperties")...).(map[string]any)
	for pattern := range families {
		if regexp.MustCompile(pattern).MatchString(field) {
			return append(at, "patternProperties", pattern)
		}
	}
	t.Errorf("%s %s is not described", kind, field)
	return at
}

func written(kind, field, value string) error {
	book := journal.NewNotebook(func(b []byte) { rand.Read(b) })
	_, _, err := book.Write(1_750_000_000_000, journal.Change{Kind: kind, Set: map[string]json.RawMessage{field: json.RawMessage(value)}})
	return err
}

// brokenEntries break one rule each, by the word for it.
var brokenEntries = map[journal.Rule][]string{
	journal.RuleForm: {
		strings.Replace(entry, `,"at"`, `, "at"`, 1), " " + entry, entry + " ", `{}`,
		strings.Replace(entry, `"id":"a.1","at":"5.0"`, `"at":"5.0","id":"a.1"`, 1),
		strings.Replace(entry, `,"field":"note"`, ``, 1),
	},
	journal.RuleID:     {strings.Replace(entry, "a.1", "A.1", 1), strings.Replace(entry, "a.1", "a.0", 1), strings.Replace(entry, "a.1", "a", 1), strings.Replace(entry, "a.1", strings.Repeat("a", 41)+".1", 1), strings.Replace(entry, "a.1", "a.9007199254740992", 1)},
	journal.RuleAt:     {strings.Replace(entry, "5.0", "5", 1), strings.Replace(entry, "5.0", "05.0", 1), strings.Replace(entry, "5.0", "253402300800000.0", 1)},
	journal.RuleRecord: {strings.Replace(entry, "0190a000", "0190A000", 1)},
	journal.RuleKind:   {strings.Replace(entry, `"find"`, `"Find"`, 1), strings.Replace(entry, `"find"`, `"`+strings.Repeat("f", 21)+`"`, 1)},
	journal.RuleField:  {strings.Replace(entry, `"note"`, `""`, 1), strings.Replace(entry, `"note"`, `"`+strings.Repeat("f", 81)+`"`, 1)},
	journal.RuleValue: {
		strings.Replace(entry, `"\u003cx"`, `"<x"`, 1), strings.Replace(entry, `"\u003cx"`, `[1, 2]`, 1),
		strings.Replace(entry, `"\u003cx"`, "\"\u2028\"", 1), strings.Replace(entry, `"\u003cx"`, "\"\xff\"", 1), strings.Replace(entry, `"\u003cx"`, `nothing`, 1),
	},
	journal.RuleValueSize: {strings.Replace(entry, `"\u003cx"`, `"`+strings.Repeat("x", 65535)+`"`, 1)},
	journal.RuleReplaces:  {strings.Replace(entry, `}`, `,"replaces":["b.2","b.1"]}`, 1), strings.Replace(entry, `}`, `,"replaces":["b.1","b.1"]}`, 1), strings.Replace(entry, `}`, `,"replaces":["a.1"]}`, 1)},
	journal.RulePrev:      {strings.Replace(entry, `}`, `,"prev":"`+hash+`"}`, 1), strings.Replace(entry, "a.1", "a.2", 1)},
}

// TestARefusalSaysWhichRuleIsBroken: each rule of an entry has its word, and the
// description has all of them.
func TestARefusalSaysWhichRuleIsBroken(t *testing.T) {
	if _, err := journal.ParseEntry([]byte(entry)); err != nil {
		t.Fatal(err)
	}
	doc := openapitest.Read(Description)
	words, _ := doc.At("components", "schemas", "Receipt", "properties", "refused", "items", "properties", "broken", "enum").([]any)
	text, _ := doc.At("components", "schemas", "Entry", "description").(string)
	for _, w := range words {
		rule := journal.Rule(w.(string))
		if len(brokenEntries[rule]) == 0 || !strings.Contains(text, string(rule)) {
			t.Errorf("%s is tried: %v, explained: %v", rule, len(brokenEntries[rule]) > 0, strings.Contains(text, string(rule)))
		}
	}
	if len(words) != len(brokenEntries) {
		t.Errorf("%d rules are described, %d tried", len(words), len(brokenEntries))
	}
	for rule, list := range brokenEntries {
		for _, raw := range list {
			_, err := journal.ParseEntry([]byte(raw))
			var broken *journal.RuleError
			if !errors.As(err, &broken) || broken.Rule != rule {
				t.Errorf("%.200s: %v, want %s", raw, err, rule)
			}
		}
	}
}

// TestLimitsAreAsDescribed holds the figures to the code's.
func TestLimitsAreAsDescribed(t *testing.T) {
	want := map[string]float64{
		"entries_a_push": journal.MaxBatch, "entries_a_page": journal.MaxPage, "bytes_of_entries": journal.MaxBytes,
		"value_bytes": journal.MaxValue, "replaces": journal.MaxReplaces, "photo_bytes": journal.MaxPhoto, "photos_asked_at_once": maxAsked,
	}
	doc := openapitest.Read(Fields)
	if problem := doc.Limited(want); problem != "" || len(doc.Limits()) != len(want) {
		t.Errorf("%sdescribed %v", problem, doc.Limits())
	}
}
