package virtualscale

import (
	_ "embed"
	"slices"
	"strings"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/internal/simscale"
)

// Script is a list of steps at the virtual scale, read from plain text:
//
//	# the first coin of the evening
//	after 2s put bronze-cent
//	after 4s lift bronze-cent
//	after 1s put zinc-cent dropped
//	after 3s bump
//	after 2s clear
//	after 1s again
//
// Every line is empty, a remark after #, or a step. A step begins with “after”
// and the time since the step before it (as in 500ms, 2s, 1m30s) and goes on
// with one of
//
//	put COIN [gentle|dropped|slow]   lay a coin of the tray on the pan
//	lift COIN                        take it off
//	clear                            take everything off
//	bump                             knock against the table
//	tare                             press the tare key
//	unplug, plug                     pull the cable; plug it in again
//	garbage                          noise instead of lines, for five seconds
//	again                            begin at the top; only as the last step
type Script struct {
	Name  string
	Steps []Step
}

// Step is one thing done at the scale.
type Step struct {
	After time.Duration // since the step before
	Do    Action
	Coin  string       // with Put and Lift
	How   simscale.How // with Put; "" is as it comes
}

// String prints the step as it stands in a script.
func (s Step) String() string {
	words := []string{"after", s.After.String(), string(s.Do)}
	for _, w := range []string{s.Coin, string(s.How)} {
		if w != "" {
			words = append(words, w)
		}
	}
	return strings.Join(words, " ")
}

// Action is a verb of a script.
type Action string

// The actions.
const (
	Put     Action = "put"
	Lift    Action = "lift"
	Clear   Action = "clear"
	Bump    Action = "bump"
	Tare    Action = "tare"
	Unplug  Action = "unplug"
	Plug    Action = "plug"
	Garbage Action = "garbage"
	Again   Action = "again"
)

// words is how many words may follow each action.
var words = map[Action]struct{ least, most int }{
	Put: {1, 2}, Lift: {1, 1}, Clear: {}, Bump: {}, Tare: {}, Unplug: {}, Plug: {}, Garbage: {}, Again: {},
}

const (
	longestPause = time.Hour
	shortestLoop = time.Second
)

//go:embed evening.txt
var evening string

// Evening is the demo: an evening at the table, over and over.
func Evening(tray []Coin) (Script, error) { return ParseScript("evening", evening, tray) }

// ParseScript reads a script. Its coins must be in the tray. Error:
// fault.BadInput, with the line's number and what belongs there.
func ParseScript(name, text string, tray []Coin) (Script, error) {
	s := Script{Name: name}
	var takes time.Duration
	for i, line := range strings.Split(text, "\n") {
		line, _, _ = strings.Cut(line, "#")
		fields := strings.Fields(line)
		if len(fields) == 0 {
			continue
		}
		bad := func(why say.Line) (Script, error) {
			return Script{}, fault.New(fault.BadInput, say.New("script-line", say.Count("line", i+1), say.Of("why", why)))
		}
		if n := len(s.Steps); n > 0 && s.Steps[n-1].Do == Again {
			return bad(say.New("script-after-again"))
		}
		step, why := parseStep(fields, tray)
		if !why.None() {
			return bad(why)
		}
		takes += step.After
		if step.Do == Again && takes < shortestLoop {
			return bad(say.New("script-too-short"))
		}
		s.Steps = append(s.Steps, step)
	}
	if len(s.Steps) == 0 {
		return Script{}, fault.New(fault.BadInput, say.New("script-empty", say.Text("coin", firstCoin(tray))))
	}
	return s, nil
}

func firstCoin(tray []Coin) string {
	if len(tray) == 0 {
		return "COIN"
	}
	return tray[0].ID
}

func parseStep(fields []string, tray []Coin) (s Step, why say.Line) {
	if len(fields) < 3 || fields[0] != "after" {
		return Step{}, say.New("script-step", say.Text("coin", firstCoin(tray)))
	}
	after, err := time.ParseDuration(fields[1])
	if err != nil || after < 0 || after > longestPause {
		return Step{}, say.New("script-time")
	}
	s = Step{After: after, Do: Action(fields[2])}
	args := fields[3:]
	count, known := words[s.Do]
	switch {
	case !known:
		return Step{}, say.New("script-action", say.Text("action", fields[2]))
	case len(args) < count.least:
		return Step{}, say.New("script-needs-coin", say.Text("action", fields[2]))
	case len(args) > count.most:
		return Step{}, say.New("script-too-many-words", say.Text("action", fields[2]))
	}
	if len(args) > 0 {
		s.Coin = args[0]
		if !slices.ContainsFunc(tray, func(c Coin) bool { return c.ID == s.Coin }) {
			return Step{}, say.New("script-coin", say.Text("coin", s.Coin))
		}
	}
	if len(args) > 1 {
		s.How = simscale.How(args[1])
		if !slices.Contains(ways, s.How) {
			return Step{}, say.New("script-way")
		}
	}
	return s, say.Line{}
}

var ways = []simscale.How{simscale.Gentle, simscale.Dropped, simscale.SlowHand}
