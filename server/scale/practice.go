package scale

import (
	"log/slog"
	"math"

	"panside/internal/mass"
	"panside/internal/simscale"
	"panside/server/pseudoport"
	"panside/server/scaleapi"
	"panside/server/virtualscale"
)

// practiceWeights lie beside the virtual scale, so that a check can be tried.
var practiceWeights = []virtualscale.Coin{
	{ID: "weight-50", Name: "Check weight, 50 g", Note: "class F2, for checking the scale", Grams: 50},
	{ID: "weight-20", Name: "Check weight, 20 g", Note: "class F2, for checking the scale", Grams: 20},
}

// NewVirtual makes a virtual scale of a certain making with a tray of its own,
// behind a pseudo-terminal. It lives only once it runs.
func NewVirtual(cfg simscale.Config, tray []virtualscale.Coin, log *slog.Logger) (*virtualscale.Scale, error) {
	return virtualscale.New(virtualscale.Options{Config: cfg, Tray: tray, NewLine: newPseudoLine, Log: log})
}

func newPseudoLine() (virtualscale.Line, error) {
	p, err := pseudoport.Open()
	if err != nil {
		return nil, err
	}
	p.Lossy = true
	return p, nil
}

// OnVirtual is a scale whose coins the page moves, read as c says.
func (c Choice) OnVirtual(v *virtualscale.Scale) Choice {
	c.Source, c.Virtual, c.script, c.Answers, c.KeepAwake = virtualSource{v}, v, nil, nil, false
	return c
}

// practiceScale shows and moves the virtual scale's coins for the page.
type practiceScale struct{ scale *virtualscale.Scale }

func (p practiceScale) Show() scaleapi.PracticeTray {
	s := p.scale.State()
	t := scaleapi.PracticeTray{PluggedIn: s.PluggedIn, Pan: []scaleapi.PanCoin{}, Tray: []scaleapi.TrayCoin{}}
	for _, c := range s.Pan {
		// Tenths of a milligram, free of what binary subtraction leaves behind.
		g := mass.Grams(math.Round(float64(c.Grams)*1e4) / 1e4)
		t.Pan = append(t.Pan, scaleapi.PanCoin{ID: c.ID, Name: c.Name, Grams: g})
	}
	for _, c := range s.Tray {
		t.Tray = append(t.Tray, scaleapi.TrayCoin{ID: c.ID, Name: c.Name, Note: c.Note})
	}
	if s.Script != nil {
		step := scaleapi.ScriptStep(*s.Script)
		t.Script = &step
	}
	return t
}

func (p practiceScale) Do(move, coin string) error {
	return p.scale.Perform(virtualscale.Step{Do: virtualscale.Action(move), Coin: coin})
}
