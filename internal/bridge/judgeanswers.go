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
	var given map[string]json.RawMessage
	if err := json.Unmarshal(evidence, &given); err != nil {
		return nil, bad("evidence", fault.BadInput, say.New("judge-evidence-not-an-object"))
	}
	for i := range questions {
		a, err := readAnswer(questions[i].ID, given[questions[i].ID])
		if err != nil {
			return nil, err
		}
		if a != nil {
			answers = append(answers, *a)
		}
	}
	return answers, nil
}

// ruledIn is what a ruler found: mm with its standard uncertainty, and the same on a coin that is
// known to show a choice, if one was measured.
type ruledIn struct {
	MM    float64 `json:"mm"`
	U     float64 `json:"u"`
	Known *struct {
		Choice string  `json:"choice"`
		MM     float64 `json:"mm"`
		U      float64 `json:"u"`
	} `json:"known"`
}

// readAnswer reads one answer: a choice, or what a ruler found, as an object or, as a find keeps
// it, the text of one. Nil for none.
func readAnswer(question string, raw json.RawMessage) (*verdict.Answer, error) {
	if len(raw) == 0 {
		return nil, nil
	}
	if raw[0] != '{' {
		var choice text
		if err := json.Unmarshal(raw, &choice); err != nil || choice == "" {
			return nil, err
		}
		if choice[0] != '{' || choice == notPlain {
			return &verdict.Answer{Question: question, Choice: word(choice)}, nil
		}
		raw = json.RawMessage(choice)
	}
	var in *ruledIn
	if err := json.Strict(raw, &in); err != nil || in == nil {
		return nil, bad("evidence."+question, fault.BadInput, say.New("ruler-not-an-object"))
	}
	r := verdict.Ruled{MM: in.MM, U: in.U}
	if k := in.Known; k != nil {
		r.Known = &verdict.KnownRuled{Choice: k.Choice, MM: k.MM, U: k.U}
	}
	return &verdict.Answer{Question: question, Ruled: &r}, nil
}
