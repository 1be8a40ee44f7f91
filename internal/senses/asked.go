package senses

import "math"

// asked is a question; what isn't of the wanted kind is read as an empty one, as the page's own
// readers do.
type asked Object

// number is a finite one, else 0.
func (q asked) number(field string) float64 { return finite(q[field]) }

func finite(x any) float64 {
	v, _ := x.(float64)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}

func (q asked) text(field string) string {
	s, _ := q[field].(string)
	return s
}

func (q asked) is(field string) bool {
	b, _ := q[field].(bool)
	return b
}

func (q asked) object(field string) asked {
	o, _ := q[field].(Object)
	return asked(o)
}

func (q asked) list(field string) []any {
	l, _ := q[field].([]any)
	return l
}

// pairs are a list of two numbers each, such as places; what else stands in it is left out.
func (q asked) pairs(field string) (out [][2]float64) {
	for _, x := range q.list(field) {
		if pair, ok := x.([]any); ok && len(pair) == 2 {
			out = append(out, [2]float64{finite(pair[0]), finite(pair[1])})
		}
	}
	return out
}
