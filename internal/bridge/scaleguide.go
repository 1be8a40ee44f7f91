package bridge

import (
	"bytes"
	"errors"

	"panside/internal/calibration"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
)

// guideIn is what "scale-guide" takes: where a check stands, and what happened since.
// The core keeps nothing between two questions, so that the phone can go on with
// the laptop's core and the other way round.
type guideIn struct {
	// Draft and Moment are those of the answer before. Without Moment the check goes
	// on after a pause; without both it begins.
	Draft  json.RawMessage     `json:"draft"`
	Moment json.RawMessage     `json:"moment"`
	Events []calibration.Event `json:"events"`
}

// guideOut is where the check stands then.
type guideOut struct {
	Draft  calibration.Draft `json:"draft"`
	Moment calibration.Now   `json:"moment"`
	Ask    calibration.Ask   `json:"ask"`
	// Check is the question of "scale-check" that the readings so far make, and
	// Result its answer; both null while there is no reading or Draft is as it was.
	Check  *calibration.Sheet `json:"check"`
	Result *checkOut          `json:"result"`
	// Refused is why the check didn't begin with the weights named.
	Refused *problem `json:"refused"`
}

// callGuide answers "scale-guide". Errors: fault.BadInput. A draft that this version
// can't read counts as none.
func callGuide(t *say.Tongue, in []byte) (any, error) {
	var j guideIn
	if err := json.Unmarshal(in, &j); err != nil {
		return nil, fault.Wrap(fault.BadInput, say.New("check-unreadable"), err)
	}
	g := guideOf(j)
	before, err := json.Marshal(g.Draft)
	if err != nil {
		return nil, err
	}
	out := guideOut{}
	for _, e := range j.Events {
		var wrong *fault.Field
		if err := g.Take(e); errors.As(err, &wrong) {
			out.Refused = &problem{wrong.Fault.Code, wrong.Fault.In(t), wrong.Name}
		}
	}
	g.Moment.Said.In(t)
	out.Draft, out.Moment, out.Ask = g.Draft, g.Moment, g.Ask()
	after, err := json.Marshal(g.Draft)
	if err != nil {
		return nil, err
	}
	if len(g.Draft.Readings) == 0 || present(j.Moment) && bytes.Equal(before, after) {
		return out, nil
	}
	if r, err := g.Result(); err == nil {
		check, found := g.Draft.Check(), checkOutOf(t, r)
		out.Check, out.Result = &check, &found
	}
	return out, nil
}

// guideOf is the guide as the question has it.
func guideOf(j guideIn) *calibration.Guide {
	g := calibration.NewGuide(calibration.UsualPace)
	var d calibration.Draft
	if !present(j.Draft) || json.Unmarshal(j.Draft, &d) != nil {
		return g
	}
	var m calibration.Now
	if !present(j.Moment) || json.Unmarshal(j.Moment, &m) != nil {
		return calibration.ResumeGuide(calibration.UsualPace, d)
	}
	g.Draft, g.Moment = d, m
	g.Mend()
	return g
}

func present(raw json.RawMessage) bool { return len(raw) > 0 && string(raw) != "null" }
