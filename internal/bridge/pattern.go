//go:build !js

package bridge

import (
	"errors"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
)

// Only the server has the scale, and the formats would make the phone's download
// a fortieth larger.
func init() { methods["scale-pattern"] = callPattern }

// patternIn is what "scale-pattern" takes: a pattern as far as it is typed, and
// lines of the scale to try it on, without their line ends, each byte as the
// character of that number (ISO 8859-1).
type patternIn struct {
	Pattern string   `json:"pattern"`
	Lines   []string `json:"lines"`
}

// patternOut says what the pattern makes of the lines. With At the pattern
// itself is wrong, which is no error while it is typed; then Lines is empty.
type patternOut struct {
	At       int       `json:"at"` // column in the pattern, from 1; 0 if it is right
	Sentence string    `json:"sentence"`
	Lines    []lineOut `json:"lines"`
}

type lineOut struct {
	// Stop is the column from which the pattern doesn't explain the line; 0 if
	// it explains all of it.
	Stop    int    `json:"stop"`
	Value   string `json:"value"` // "" without one
	Unit    string `json:"unit"`
	Status  string `json:"status"` // "" if it isn't a reading
	Problem string `json:"problem"`
}

// mostPatternLines bounds the work of one question.
const mostPatternLines = 50

// callPattern answers "scale-pattern". Errors: fault.BadInput.
func callPattern(t *say.Tongue, in []byte) (any, error) {
	var q patternIn
	if json.Unmarshal(in, &q) != nil {
		return nil, bad("", fault.BadInput, say.New("pattern-question-unreadable"))
	}
	if len(q.Lines) > mostPatternLines {
		return nil, bad("lines", fault.BadInput, say.New("pattern-too-many-lines"))
	}
	out := patternOut{Lines: []lineOut{}}
	pattern, err := dialect.Compile(q.Pattern)
	var wrong *dialect.PatternError
	if errors.As(err, &wrong) {
		out.At, out.Sentence = wrong.Pos, t.Write(wrong.Line)
		return out, nil
	}
	for _, line := range q.Lines {
		out.Lines = append(out.Lines, tried(t, pattern, line))
	}
	return out, nil
}

func tried(t *say.Tongue, p *dialect.Pattern, line string) lineOut {
	raw := make([]byte, 0, len(line))
	for _, c := range line {
		raw = append(raw, byte(c))
	}
	r, stop := p.Match(raw)
	out := lineOut{Stop: stop}
	switch {
	case r.Problem != nil:
		out.Problem = r.Problem.In(t)
	case r.Outcome == dialect.Impossible:
		out.Problem = t.Write(say.New("pattern-no-number"))
	}
	if r.Outcome != dialect.Read {
		return out
	}
	out.Status = string(r.Status)
	if r.HasValue {
		out.Value, out.Unit = r.Quantity.Value.String(), string(r.Quantity.Unit)
	}
	return out
}
