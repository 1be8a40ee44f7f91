package main

import (
	"log/slog"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/server/route"
	"panside/server/scaleapi"
	"panside/server/scalefeed"
	"panside/server/tcpport"
	"panside/server/virtualscale"
)

// scaleHand shows how the scale is found and read, and lets a person fix it
// while it flows.
type scaleHand struct {
	feed    *scalefeed.Feed
	tail    *scalefeed.Tail
	virtual *virtualscale.Scale // nil if there is none to go back to
	memory  scalefeed.Memory
	keeper  keptSettings
	units   *scaleUnits
	log     *slog.Logger

	mu       sync.Mutex
	settings scaleapi.Settings
	kept     bool
	source   scalefeed.Source
}

// settingsOf are the settings that flags mean.
func settingsOf(f ScaleFlags, c chosenScale) scaleapi.Settings {
	s := scaleapi.Settings{
		Port: f.Scale, Baud: f.Baud, Framing: f.Framing, Format: f.Dialect, Pattern: f.Pattern, Unit: f.Unit, KeepAwake: f.KeepAwake,
	}
	switch {
	case c.virtual != nil:
		s.Port = scaleapi.Virtual
	case f.Scale == "auto":
		s.Port = ""
	}
	return s
}

func flagsOf(s scaleapi.Settings) ScaleFlags {
	f := ScaleFlags{
		Scale: s.Port, Baud: s.Baud, Framing: s.Framing, Dialect: s.Format, Pattern: s.Pattern, Unit: s.Unit, KeepAwake: s.KeepAwake,
	}
	if s.Port == "" {
		f.Scale = "auto"
	}
	return f
}

// openByHand finds the source that the flags name, or the one that was fixed by
// hand if they leave it open.
func openByHand(f ScaleFlags, memory scalefeed.Memory, keeper keptSettings, units *scaleUnits, log *slog.Logger) (*scaleHand, chosenScale, scalefeed.Handling, error) {
	onlyWhich := f == ScaleFlags{Scale: f.Scale, Practice: f.Practice}
	file := keeper.read()
	if onlyWhich && file.Real != nil && isThere(file.Real.Port) {
		f.Practice = false
	}
	chosen, err := chooseScale(f, replayOptions{speed: 1}, log)
	if err != nil {
		return nil, chosen, scalefeed.Handling{}, err
	}
	h := &scaleHand{tail: &scalefeed.Tail{}, virtual: chosen.virtual, memory: memory, keeper: keeper, units: units, log: log, settings: settingsOf(f, chosen)}
	kept := file.Real
	if chosen.virtual != nil {
		kept = file.Practice
	}
	if onlyWhich && kept != nil && (f.Scale == "auto" || f.Scale == scaleapi.Virtual) {
		if source, how, err := h.prepare(*kept, true); err == nil {
			h.settings, h.kept, h.source = *kept, true, source
			return h, chosen, how, nil
		} else {
			log.Warn("the scale's settings no longer work; it is found by itself", "cause", err)
		}
	}
	chosen.remember(memory)
	chosen.answer(units.of)
	h.source = chosen.source
	return h, chosen, scalefeed.Handling{Decode: chosen.decode, KeepAwake: f.KeepAwake}, nil
}

// isThere tells whether a port that was fixed by hand can be looked for now.
func isThere(port string) bool {
	return strings.HasPrefix(port, "tcp://") || port != "" && slices.ContainsFunc(candidates(), func(c scalefeed.Candidate) bool { return c.Info.Name == port })
}

// Set is scaleapi.Scale's.
func (h *scaleHand) Set(s scaleapi.Settings, anyPort bool) error {
	s = trimmed(s)
	h.mu.Lock()
	defer h.mu.Unlock()
	source, how, err := h.prepare(s, anyPort)
	if err != nil {
		return err
	}
	if err := h.keeper.keep(s); err != nil {
		return err
	}
	h.log.Info("the scale was set by hand", "port", s.Port, "format", s.Format, "pattern", s.Pattern)
	h.settings, h.kept, h.source = s, true, source
	h.feed.Change(source, how)
	h.tail.Clear()
	return nil
}

// trimmed leaves blanks in a pattern, where they count.
func trimmed(s scaleapi.Settings) scaleapi.Settings {
	for _, t := range []*string{&s.Port, &s.Framing, &s.Format, &s.Unit, &s.Step, &s.StepUnit} {
		*t = strings.TrimSpace(*t)
	}
	s.Framing = strings.ToUpper(s.Framing)
	if s.Port == "auto" {
		s.Port = ""
	}
	return s
}

// wrongSetting is a setting that can't be, with nothing changed.
func wrongSetting(field string, code fault.Code, sentence string) error {
	return &scaleapi.FieldError{Field: field, Fault: fault.New(code, sentence+" Nothing was changed.")}
}

// prepare makes the source that settings mean. Error: *scaleapi.FieldError.
func (h *scaleHand) prepare(s scaleapi.Settings, anyPort bool) (scalefeed.Source, scalefeed.Handling, error) {
	how := scalefeed.Handling{KeepAwake: s.KeepAwake}
	if err := checkSettings(s); err != nil {
		return nil, how, err
	}
	f := flagsOf(s)
	decode, err := decodeOptions(f)
	if err != nil { // checked already
		return nil, how, wrongSetting("format", fault.BadInput, "These settings don't fit together.")
	}
	how.Decode = decode
	if s.Step != "" {
		how.Step = mass.Quantity{Value: mass.MustDecimal(s.Step), Unit: stepUnit(s)}
	}
	source, err := h.sourceOf(f, &how.Decode, anyPort)
	return source, how, err
}

// sourceOf adds to decode what a recording knows of itself.
func (h *scaleHand) sourceOf(f ScaleFlags, decode *dialect.Options, anyPort bool) (scalefeed.Source, error) {
	switch {
	case f.Scale == scaleapi.Virtual && h.virtual != nil:
		return virtualSource{h.virtual}, nil
	case f.Scale == "auto" || f.Scale == h.settings.Port:
	case !anyPort && !slices.ContainsFunc(candidates(), func(c scalefeed.Candidate) bool { return c.Info.Name == f.Scale }):
		return nil, wrongSetting("port", fault.DeskOnly, "“"+f.Scale+"” isn't one of the ports found. Another one can be named on the laptop's own page only.")
	}
	named := func(c scalefeed.Candidate) bool { return c.Info.Name == f.Scale }
	if slices.ContainsFunc(candidates(), func(c scalefeed.Candidate) bool { return named(c) && c.Certain }) {
		// A weighing device by its own name, looked for again whenever it is back.
		return &scalefeed.Finder{
			Candidates: func() []scalefeed.Candidate {
				return slices.DeleteFunc(candidates(), func(c scalefeed.Candidate) bool { return !named(c) })
			},
			Decode: *decode, Insist: true, Log: h.log,
		}, nil
	}
	if f.Scale != "auto" && f.Scale != h.settings.Port && !looksLikePort(f.Scale) {
		return nil, wrongSetting("port", fault.BadInput, "“"+f.Scale+"” is neither a port nor a serial server. Write it like /dev/ttyUSB0, COM3 or tcp://192.168.1.20:4001.")
	}
	c, err := chooseScale(f, replayOptions{speed: 1}, h.log)
	if err != nil {
		return nil, &scaleapi.FieldError{Field: "port", Fault: fault.Of(err)}
	}
	c.remember(h.memory)
	c.answer(h.units.of)
	*decode = c.decode
	return c.source, nil
}

func looksLikePort(name string) bool {
	if address, ok := strings.CutPrefix(name, "tcp://"); ok {
		return tcpport.Address(address) == nil
	}
	return filepath.IsAbs(name) || strings.HasPrefix(strings.ToUpper(name), "COM")
}

// checkSettings refuses what can't be.
func checkSettings(s scaleapi.Settings) error {
	if s.Baud != 0 || s.Framing != "" {
		line, err := lineSettings(flagsOf(s))
		if err != nil {
			return wrongSetting("baud", fault.BadInput, "“"+line.String()+"” are no line settings. Write them like 9600 and 8N1, as the scale's manual gives them.")
		}
	}
	if _, known := dialect.ByName(s.Format); s.Format != "" && !known {
		return wrongSetting("format", fault.BadInput, "“"+s.Format+"” is no format of the list.")
	}
	if s.Pattern != "" {
		if s.Format != "" {
			return wrongSetting("pattern", fault.BadInput, "A format and a pattern can't both hold. Leave one of them out.")
		}
		if _, err := dialect.Compile(s.Pattern); err != nil {
			return wrongSetting("pattern", fault.BadInput, fault.Of(err).Sentence)
		}
	}
	for field, unit := range map[string]string{"unit": s.Unit, "step_unit": s.StepUnit} {
		if _, err := mass.ParseUnit(unit); unit != "" && err != nil {
			return &scaleapi.FieldError{Field: field, Fault: fault.Of(err)}
		}
	}
	if s.Step != "" {
		if d, err := mass.ParseDecimal(s.Step); err != nil || d.Sign() <= 0 {
			return wrongSetting("step", fault.BadNumber, "“"+s.Step+"” is no step of a scale. Write it like 0.05.")
		}
	}
	return nil
}

// stepUnit is the unit of a step; it was checked.
func stepUnit(s scaleapi.Settings) mass.Unit {
	u, err := mass.ParseUnit(s.StepUnit)
	if err != nil {
		return mass.Gram
	}
	return u
}

// scaleRoutes are the routes by which the scale is fixed by hand.
func (a *App) scaleRoutes() []route.Route {
	o := scaleapi.Options{}
	if a.scale.hand != nil {
		o.Scale = a.scale.hand
	}
	return scaleapi.New(o).Routes()
}
