package bridge

import (
	"slices"
	"strings"

	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/stable"
	"panside/internal/verdict"
)

// readAnswers reads the fields of the evidence that are ids of the book's
// questions, in the book's order, and refuses a field that is nothing at all.
func readAnswers(evidence map[string]json.RawMessage, questions []string) (answers []verdict.Answer, err error) {
	for _, name := range stable.Keys(evidence) {
		if !slices.Contains(evidenceFields, name) && !slices.Contains(questions, name) {
			return nil, bad("evidence."+name, fault.BadInput, "There is no field “"+quoteable("evidence."+name)+"”. Nothing was judged; the fields are "+
				strings.Join(slices.Concat(evidenceFields, questions), ", ")+".")
		}
	}
	for _, id := range questions {
		raw, ok := evidence[id]
		if !ok {
			continue
		}
		var choice text
		if err := json.Unmarshal(raw, &choice); err != nil || choice == notPlain {
			return nil, bad("evidence."+id, fault.BadInput, "The answer must be a plain word. Nothing was judged; write the id of one of the choices.")
		}
		if choice != "" {
			answers = append(answers, verdict.Answer{Question: id, Choice: word(choice)})
		}
	}
	return answers, nil
}
