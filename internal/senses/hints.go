package senses

import (
	"panside/internal/hints"
	"panside/internal/relief"
)

// hintKinds are the kinds of hints, in the order they are told.
var hintKinds = []hints.Kind{hints.SecondImage, hints.OtherSide, hints.Differs}

// seekHints answers "hints": {mine, ordinary?, other?, mm, known?} marks where a coin's relief differs from
// that of an ordinary one of its type and side, and where the relief of its other side shows in it; at
// least one of the two is needed. known are the scores that the hunter's own ordinary coins had, as this
// gave them. It gives
//
//   - marks, each {kind, x, y, r, score, look, key, shift, toward, degrees}: a place in pixels of mine; the
//     look-fors that look so, and the question of the key to go on from; and for a second image by how many
//     mm it is off and in which direction, degrees counterclockwise from the right;
//   - scores, the highest of each kind that was looked for;
//   - bars, for each of those {rate, coins, simulated}; enough, from how many known ones on they are set by
//     those;
//   - map, from places of the ordinary relief to those of mine as a canvas takes it.
func seekHints(p *Pictures, q asked, on going) Object {
	mine := p.relief(q, "mine")
	if mine == nil {
		return refused(hints.NoRelief)
	}
	known := map[hints.Kind][]float64{}
	for _, kind := range hintKinds {
		known[kind] = knownScores(q.list("known"), kind)
	}
	ordinary := p.relief(q, "ordinary")
	got, why := hints.Look(hints.Asked{Mine: *mine, Ordinary: ordinary, Other: p.relief(q, "other"), Diameter: q.number("mm"), Known: known}, on)
	if why != "" {
		return refused(why)
	}
	scores, bars, list := Object{}, Object{}, []any{}
	for kind, score := range got.Scores {
		b := got.Bars[kind]
		scores[string(kind)] = score
		bars[string(kind)] = Object{"rate": b.Rate, "coins": float64(b.Coins), "simulated": b.Simulated}
	}
	for _, m := range got.Marks {
		list = append(list, markOut(m))
	}
	out := Object{"why": "", "marks": list, "scores": scores, "bars": bars, "enough": float64(hints.FewestOrdinary)}
	if ordinary != nil {
		out["map"] = canvas(got.Fit.Map.Back())
	}
	return out
}

func markOut(m hints.Mark) Object {
	look, key := m.Kind.LookFors()
	list := []any{}
	for _, kind := range look {
		list = append(list, kind)
	}
	o := Object{"kind": string(m.Kind), "x": m.X, "y": m.Y, "r": m.R, "score": m.Score, "look": list, "key": key}
	switch m.Kind {
	case hints.SecondImage:
		o["shift"], o["toward"] = m.Shift()
	case hints.OtherSide:
		o["degrees"] = m.Degrees
	}
	return o
}

// knownScores are those of one kind that ordinary coins had; a coin may have none of it.
func knownScores(known []any, kind hints.Kind) (out []float64) {
	for _, x := range known {
		o, _ := x.(Object)
		if _, has := o[string(kind)].(float64); has {
			out = append(out, asked(o).number(string(kind)))
		}
	}
	return out
}

// relief is the one that a field names, nil for none.
func (p *Pictures) relief(q asked, field string) *relief.Relief {
	r, _ := p.held[int(q.number(field))].(*relief.Relief)
	return r
}
