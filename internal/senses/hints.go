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
	ordinary, other := p.relief(q, "ordinary"), p.relief(q, "other")
	if mine == nil || ordinary == nil && other == nil {
		return refused(hints.NoRelief)
	}
	mm := q.number("mm")
	bars := map[hints.Kind]hints.Bar{}
	for _, kind := range hintKinds {
		bars[kind] = hints.BarOf(kind, knownScores(q.list("known"), kind))
	}
	most := hints.Scores{SecondImage: bars[hints.SecondImage].Score, OtherSide: bars[hints.OtherSide].Score, Differs: bars[hints.Differs].Score}
	var marks []hints.Mark
	out, scores, said := Object{"why": ""}, Object{}, Object{}
	tell := func(kind hints.Kind, score float64) {
		b := bars[kind]
		scores[string(kind)] = score
		said[string(kind)] = Object{"rate": b.Rate, "coins": float64(b.Coins), "simulated": b.Simulated}
	}
	if ordinary != nil {
		pair, why := hints.Lay(*mine, *ordinary, mm, share(on, 0, 0.3))
		if why != "" {
			return refused(why)
		}
		found, top, why := pair.Marks(mine.On, most, share(on, 0.3, 0.5))
		if why != "" {
			return refused(why)
		}
		marks = append(marks, found...)
		tell(hints.SecondImage, top.SecondImage)
		tell(hints.Differs, top.Differs)
		out["map"] = canvas(pair.Fit.Map.Back())
	}
	if other != nil {
		if on != nil && !on(0.85) {
			return refused(hints.Stopped)
		}
		lies, why := hints.OtherSideOn(*mine, *other, mm)
		if why != "" {
			return refused(why)
		}
		marks = append(marks, lies.Marks(mine.On, most)...)
		tell(hints.OtherSide, lies.Score)
	}
	list := []any{}
	for _, m := range marks {
		list = append(list, markOut(m))
	}
	out["marks"], out["scores"], out["bars"], out["enough"] = list, scores, said, float64(hints.FewestOrdinary)
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

// share tells a part of a call its share of the progress.
func share(on going, from, part float64) going {
	if on == nil {
		return nil
	}
	return func(done float64) bool { return on(from + part*done) }
}
