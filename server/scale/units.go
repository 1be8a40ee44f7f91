package scale

import (
	"encoding/json"
	"errors"
	"io/fs"
	"log/slog"
	"maps"
	"os"
	"path/filepath"
	"sync"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/server/durable"
	"panside/server/scaleapi"
	"panside/server/scalefeed"
)

// units keeps in a file of the data folder what the person said of the
// units of each scale, by its name. It may be used by several goroutines.
type units struct {
	file string // "" keeps them until the end of the program
	log  *slog.Logger

	mu   sync.Mutex
	said map[string]unitsSaid
}

// unitsSaid are the answers for one scale, as the file has them.
type unitsSaid struct {
	Unit mass.Unit `json:"unit,omitempty"` // of lines that carry none
	Gr   mass.Unit `json:"gr,omitempty"`   // what it means by "gr"
}

// newUnits reads the file. A damaged one counts as none: then it is asked
// again.
func newUnits(folder string, log *slog.Logger) *units {
	u := &units{log: log, said: map[string]unitsSaid{}}
	if folder == "" {
		return u
	}
	u.file = filepath.Join(folder, "scale-units.json")
	raw, err := os.ReadFile(u.file)
	if err == nil {
		err = json.Unmarshal(raw, &u.said)
	}
	if err == nil {
		for name, s := range u.said {
			_, unit := s.Unit.Factor()
			_, gr := s.Gr.Factor()
			if s.Unit != "" && unit != nil || s.Gr != "" && gr != nil {
				err = errors.New("no unit: " + name)
			}
		}
	}
	if err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			log.Warn("the units of the scales can’t be read; they are asked for again", "cause", err)
		}
		u.said = map[string]unitsSaid{}
	}
	return u
}

// of is scalefeed's Answers.
func (u *units) of(scale string) scalefeed.Answers {
	u.mu.Lock()
	defer u.mu.Unlock()
	return scalefeed.Answers(u.said[scale])
}

// say keeps an answer; "" takes it back. Error: fault.DataFolder.
func (u *units) say(scale string, what dialect.Ask, unit mass.Unit) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	next := maps.Clone(u.said)
	s := next[scale]
	if what == dialect.AskGr {
		s.Gr = unit
	} else {
		s.Unit = unit
	}
	if next[scale] = s; s == (unitsSaid{}) {
		delete(next, scale)
	}
	if u.file != "" {
		raw, err := json.MarshalIndent(next, "", "  ")
		if err == nil {
			err = durable.WriteFile(u.file, append(raw, '\n'))
		}
		if err != nil {
			return fault.Wrap(fault.DataFolder, say.New("settings-unit-not-written"), err)
		}
	}
	u.said = next
	return nil
}

// SetUnit is scaleapi.Scale's.
func (m *Manual) SetUnit(a scaleapi.Answer) error {
	now := m.feed.Latest()
	if a.Scale == "" || a.Scale != now.Info.Name {
		return wrongSetting("scale", fault.BadInput, say.New("settings-another-scale"))
	}
	what := dialect.Ask(a.Of)
	if what != dialect.AskUnit && what != dialect.AskGr {
		return wrongSetting("of", fault.BadInput, say.New("settings-not-a-unit-question"))
	}
	var unit mass.Unit
	if a.Unit != "" {
		u, err := mass.ParseUnit(a.Unit)
		if err != nil {
			return &fault.Field{Name: "unit", Fault: fault.Of(err)}
		}
		if what == dialect.AskGr && u != mass.Gram && u != mass.Grain {
			return wrongSetting("unit", fault.BadInput, say.New("settings-gram-or-grain"))
		}
		unit = u
	}
	if err := m.units.say(a.Scale, what, unit); err != nil {
		return err
	}
	m.log.Info("the scale’s unit was named", "scale", a.Scale, "of", a.Of, "unit", string(unit))
	m.feed.Answered()
	return nil
}

// AnswerTyped takes a unit typed at the terminal, and says what came of it.
func (m *Manual) AnswerTyped(text string) string {
	now := m.feed.Latest()
	if now.Ask == nil {
		return "Nothing is asked just now. Press Enter alone for fresh codes."
	}
	err := m.SetUnit(scaleapi.Answer{Scale: now.Info.Name, Of: string(now.Ask.What), Unit: text})
	if err != nil {
		return fault.Of(err).English()
	}
	return "That counts from now on. It can be changed on the phone or the page under Tools, The scale."
}
