package bridge

import (
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/verdict"
)

// readAnswers reads the fields of the evidence that are ids of the book's
// questions, and refuses a field that is nothing at all.
func readAnswers(evidence []byte, questions []coin.Question) (answers []verdict.Answer, err error) {
	if len(evidence) == 0 || string(evidence) == "null" {
		return nil, nil
	}
	known := evidenceFields[:len(evidenceFields):len(evidenceFields)]
	for i := range questions {
		known = append(known, questions[i].ID)
	}
	if err := knownFields(evidence, "evidence.", known); err != nil {
		return nil, err
	}
	var given map[string]text
	if err := json.Unmarshal(evidence, &given); err != nil {
		return nil, bad("evidence", fault.BadInput, say.New("judge-evidence-not-an-object"))
	}
	for i := range questions {
		if choice := given[questions[i].ID]; choice != "" {
			answers = append(answers, verdict.Answer{Question: questions[i].ID, Choice: word(choice)})
		}
	}
	return answers, nil
}
