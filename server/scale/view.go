package scale

import (
	"path/filepath"
	"runtime"

	"panside/internal/dialect"
	"panside/internal/say"
	"panside/server/radioport"
	"panside/server/scaleapi"
	"panside/server/scalefeed"
)

// View is scaleapi.Scale's.
func (m *Manual) View(t *say.Tongue) scaleapi.View {
	m.mu.Lock()
	settings, kept, source := m.settings, m.kept, m.source
	m.mu.Unlock()
	v := scaleapi.View{Settings: settings, Kept: kept, Now: m.now(t), Ports: []scaleapi.Port{}, Formats: formats(t), Received: received(m.tail.Lines())}
	looked := map[string]scalefeed.Look{}
	if f, ok := source.(*scalefeed.Finder); ok {
		for _, l := range f.Looked() {
			looked[l.Info.Name] = l
		}
	}
	listed := map[string]bool{}
	add := func(name, kind string) {
		if listed[name] {
			return
		}
		listed[name] = true
		p := scaleapi.Port{Port: name, Kind: kind, Node: nodeOf(name), Heard: []scaleapi.Line{}}
		if l, ok := looked[name]; ok {
			p.Found, p.PortSettings, p.Heard = string(l.Outcome), l.Info.PortSettings, received(l.Heard)
			if l.Problem != nil {
				p.Reason = l.Problem.In(t)
			}
		}
		v.Ports = append(v.Ports, p)
	}
	for _, c := range candidates() {
		add(c.Info.Name, string(c.Info.Kind))
	}
	if radioport.Present() {
		add(scaleapi.Bluetooth, string(scalefeed.Radio))
	}
	add(scaleapi.Camera, string(scalefeed.Camera))
	if settings.Port != "" && settings.Port != scaleapi.Virtual {
		add(settings.Port, v.Now.Kind)
	}
	if m.virtual != nil {
		add(scaleapi.Virtual, string(scalefeed.Virtual))
	}
	return v
}

func (m *Manual) now(t *say.Tongue) scaleapi.Now {
	s, e := m.feed.Latest(), m.feed.Evidence()
	n := scaleapi.Now{Name: s.Info.Name, Kind: string(s.Info.Kind), PortSettings: s.Info.PortSettings, Format: e.Dialect, Probability: e.Sure, LineCount: e.Lines}
	if s.Reading.HasValue {
		n.Unit, n.Resolution = string(s.Reading.Quantity.Unit), s.Reading.Resolution.String()
	}
	said := m.units.of(s.Info.Name)
	n.Said = scaleapi.Said{Unit: string(said.Unit), Gr: string(said.Gr)}
	if s.Ask != nil {
		n.Asks = &scaleapi.Asks{Of: string(s.Ask.What), Digits: s.Ask.Digits, Units: []string{}}
		for _, u := range s.Ask.Units {
			n.Asks.Units = append(n.Asks.Units, string(u))
		}
	}
	if s.Problem != nil {
		n.Problem = &scaleapi.ProblemOfPort{Code: s.Problem.Code, Sentence: s.Problem.In(t)}
	}
	return n
}

// nodeOf is the device behind a name that stays; "" if it is the same.
func nodeOf(name string) string {
	if runtime.GOOS == "windows" || !filepath.IsAbs(name) {
		return ""
	}
	if node, err := filepath.EvalSymlinks(name); err == nil && node != name {
		return node
	}
	return ""
}

func received(of []scalefeed.TailLine) []scaleapi.Line {
	all := []scaleapi.Line{}
	for _, l := range of {
		raw := make([]rune, len(l.Raw))
		for i, b := range l.Raw {
			raw[i] = rune(b)
		}
		all = append(all, scaleapi.Line{Raw: string(raw), Times: l.Times})
	}
	return all
}

// formats are those that can be picked.
func formats(t *say.Tongue) (all []scaleapi.Format) {
	for _, d := range dialect.All() {
		f := scaleapi.Format{Format: d.Name, Summary: t.Write(d.Summary), PortSettings: []string{}, KeepAwake: d.KeepAwake && d.Poll != nil}
		for _, s := range d.Settings {
			f.PortSettings = append(f.PortSettings, s.String())
		}
		all = append(all, f)
	}
	return all
}
