package httpapi

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/bridge"
	"panside/server/openapitest"
)

const corePath = "/api/v1/core/"

// coreQuestions are more than the description's examples, by method: enough that
// each part of an answer is met. The catalogue's own come from the book.
func coreQuestions() map[string][]string {
	questions := map[string][]string{
		"judge": {
			`{"denomination":"cent","mean_g":2.5,"u_g":0.005,"resolution_g":0.01}`,
			`{"denomination":"cent","mean_g":2.5,"u_g":0.7,"half":0.01,"u_whole_g":0.009,"resolution_g":0.01}`,
			`{"denomination":"cent","value":3.11,"year":"1982","mint":"d","evidence":{"magnetic":"no","edge":"plain","colour":"copper","diameter_mm":19.05,"density":"8.9","date":"sure","design":true}}`,
			`{"denomination":"cent","value":"3.1","brief":true}`,
			`{"denomination":"cent","value":"3.11","year":1982,"mint":"D"}`,
			`{"denomination":"cent","value":"3.11","year":1960,"mint":"D","evidence":{"us-cent-1960-date":"large"}}`,
			`{"denomination":"quarter","value":"2.27"}`,
			`{"denomination":"half","value":"11.42","evidence":{"ring":{"hz":[5460,12450],"u":0.002,"known":{"planchet":"us-half-clad","hz":[7100],"u":0.002}}}}`,
			`{"denomination":"half","value":"11.42","evidence":{"ring":"{\"hz\":[5460],\"u\":0.002}"}}`,
			`{"denomination":"dime","value":"2.50","source":"bank-roll"}`,
			`{"denomination":"dime","value":"37","unit":"gr","repeatability":"0.01","confidence":0.95}`,
			`{"denomination":"dime","value":"2.49","keep":"silver"}`, `{"denomination":"nickel","value":"5.00","keep":["wartime"]}`, `{"denomination":"dime","value":"2.49","year":1942,"keep":[]}`,
		},
		"look": {`{"denomination":"cent","year":1955,"mint":"-","hint":"light"}`, `{"country":"US","denomination":"dollar"}`,
			`{"country":"US","denomination":"quarter","year":0,"mint":"","hint":"light","judged":true,"alloys":["clad"],"years":["1965–"],"explanations":[{"kind":"wrong-planchet","name":"planchet of the clad dime","planchet":"us-dime-clad"}]}`},
		"ring": {
			`{"denomination":"cent"}`, `{"country":"EU","denomination":"ten-cent","ring":null}`, `{"denomination":"quarter","ring":{"hz":[9000,15600],"u":0.002}}`,
			`{"country":"CA","denomination":"quarter","ring":"{\"hz\":[10600,17800],\"u\":0.002}"}`, `{"denomination":"quarter","ring":{"hz":[3000,3100],"u":0.002}}`,
		},
		"key":     {`{"denomination":"cent","hint":"heavy","explanations":["wrong-planchet"]}`},
		"keep":    {`{"entry":"cent 1909 s"}`, `{"entry":"silver, US cents before 1959"}`, `{"entry":"soon"}`},
		"dated":   {`{"country":"US","denomination":"cent","kind":"doubled-die"}`},
		"coins":   {`{}`, `{"text":"silver"}`, `{"country":"US","denomination":"cent","year":1943,"mint":"D"}`},
		"density": {`{"method":"cup","dry_g":"26.73","wet_g":"2.59","water_c":21.5,"country":"US","denomination":"dollar","pressure_hpa":1013,"humidity_pct":40,"air_c":21}`},
		"roll":    {`{"issue":"dime 1998","other":"dime 1964","count":50,"total_g":"114.9","expected_share":0.01,"wrapper_g":"0.7"}`, `{"issue":"dime 1998","other":"dime 1964","count":50,"total_g":"114.9"}`},
		"scale-check": {`{"unit":"g","taken":1750000000000,"now":1790000000000,"temperature_c":21,"now_temperature_c":30,"place":"kitchen","now_place":"attic",
			"weights":[{"nominal_g":5,"class":"M1"},{"nominal_g":10,"value_g":"10.0003","expanded_g":0.0002,"density":8.0}],
			"readings":[{"shown":"5.00"},{"shown":"5.01","zero":"0.01"},{"shown":"5.00"},{"weight":1,"shown":"10.01"},{"weight":1,"shown":"10.00"}],
			"off_centre":[{"shown":"5.01"},{"shown":"4.99"}],"untouched":[{"after_s":0,"shown":"5.00"},{"after_s":600,"shown":"5.01"}]}`},
		"scale-guide": {
			`{"events":[{"do":"begin","weights":[{"nominal_g":30,"class":"F2"}],"times":3}]}`,
			`{"draft":{"at":"middle","times":1,"scale":{"name":"","format":""},"weights":[{"nominal_g":50,"class":"F2"}],"readings":[]},"moment":null,"events":[
				{"do":"show","at":0,"phase":"empty","shown":"0.00","unit":"g","status":"zero"},{"do":"show","at":1500,"phase":"empty","shown":"0.00","unit":"g","status":"zero"},
				{"do":"show","at":2000,"phase":"settled","shown":"50.15","unit":"g","status":"stable","resolution_g":0.01,"placement":3,"scale":{"name":"a","format":"print-line"}},
				{"do":"show","at":3500,"phase":"settled","shown":"50.15","unit":"g","status":"stable","resolution_g":0.01,"placement":3,"scale":{"name":"a","format":"print-line"}},
				{"do":"alone"},{"do":"show","at":4000,"problem":"The cable is out."}]}`,
		},
		"shown": {
			`{"on":null}`, `{"state":{"laid":true,"of":{"load":7},"shown":1,"claim":"ordinary/bronze//","best":1},"on":null}`,
			`{"state":null,"on":{"load":7,"asked":"US/cent"},"n":1,"at_ms":0.5,"settled":false,"question":{"denomination":"cent","mean_g":2.5,"u_g":0.005,"resolution_g":0.01}}`,
			`{"on":{"load":7},"n":1,"at_ms":0,"question":{"denomination":"cent","year":2050,"mean_g":2.5,"u_g":0.005}}`,
		},
		"radio-weight":  {`{"measurement":[0,200,0]}`, `{"feature":[48,0,0,0],"measurement":[]}`, `{"measurement":[0,255,255]}`},
		"scale-pattern": {`{"pattern":"{value","lines":["3.11 g"]}`, `{"pattern":"x","lines":[]}`},
	}
	var book struct {
		OK struct {
			Countries []struct {
				ID            string
				Denominations []struct{ ID string }
			}
		}
	}
	if err := json.Unmarshal(bridge.Call("book", []byte("{}")), &book); err != nil {
		panic(err)
	}
	for _, c := range book.OK.Countries {
		for _, d := range c.Denominations {
			for _, grams := range []string{"1.00", "2.50", "3.1", "5.67", "11.34", "26.73"} {
				questions["judge"] = append(questions["judge"], fmt.Sprintf(`{"country":%q,"denomination":%q,"value":%q}`, c.ID, d.ID, grams))
			}
			questions["look"] = append(questions["look"], fmt.Sprintf(`{"country":%q,"denomination":%q}`, c.ID, d.ID))
		}
	}
	return questions
}

// TestCoreMethodsAreAsDescribed asks the core itself: each method is described,
// its questions fit their schema, and so do all its answers.
func TestCoreMethodsAreAsDescribed(t *testing.T) {
	doc := openapitest.Read(description, coreDescription)
	var methods []string
	for _, r := range doc.Routes() {
		if m, ok := strings.CutPrefix(r, "POST "+corePath); ok && m != "{method}" {
			methods = append(methods, m)
		}
	}
	if want := bridge.Methods(); !slices.Equal(methods, want) {
		t.Errorf("described %q, there are %q", methods, want)
	}
	more := coreQuestions()
	for _, m := range methods {
		questions := more[m]
		examples, _ := doc.At("paths", corePath+m, "post", "requestBody", "content", "application/json", "schema", "examples").([]any)
		if len(examples) == 0 {
			t.Errorf("%s has no example", m)
		}
		for _, e := range examples {
			raw, err := json.Marshal(e)
			if err != nil {
				t.Fatal(err)
			}
			questions = append(questions, string(raw))
		}
		for _, q := range questions {
			if problem := doc.Question("post", corePath+m, []byte(q)); problem != "" {
				t.Errorf("%s: the question %s: %s", m, q, problem)
			}
			if problem := doc.Answer("post", corePath+m, 200, bridge.Call(m, []byte(q))); problem != "" {
				t.Errorf("%s: the answer to %s: %.1500s", m, q, problem)
			}
		}
	}
}

// TestARefusalOfTheCoreIsAsDescribed names the field.
func TestARefusalOfTheCoreIsAsDescribed(t *testing.T) {
	doc := openapitest.Read(description, coreDescription)
	for m, q := range map[string]string{"judge": `{"denomination":"cent","weight":"3.11"}`, "density": `{"method":"hung"}`, "roll": `{"issue":"nothing"}`} {
		answer := bridge.Call(m, []byte(q))
		if problem := doc.Answer("post", corePath+m, 400, answer); problem != "" || !strings.Contains(string(answer), `"field"`) {
			t.Errorf("%s: %s %s", m, problem, answer)
		}
	}
}

// init gives the core the coin book, as package main does.
func init() { bridge.Use(data.ShelfIn) }
