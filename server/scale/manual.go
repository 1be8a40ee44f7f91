package scale

import (
	"errors"
	"log/slog"
	"slices"
	"strings"
	"sync"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/cameraport"
	"panside/server/radioport"
	"panside/server/replay"
	"panside/server/scaleapi"
	"panside/server/scalefeed"
	"panside/server/virtualscale"
)

// Manual shows how the scale is found and read, and lets a person set it by hand
// while it flows. It is a scaleapi.Scale.
type Manual struct {
	feed     *scalefeed.Feed
	tail     *scalefeed.Tail
	virtual  *virtualscale.Scale // nil if there is none to go back to
	lastPort scalefeed.Memory
	file     manualFile
	camera   *cameraport.Port
	units    *units
	log      *slog.Logger

	mu       sync.Mutex
	settings Settings
	kept     bool
	source   scalefeed.Source
}

// AsServed finds the scale as the server reads it: settings that leave open how
// it is read are those set by hand, the port used last is looked at first, and
// the person's answers about units count. Errors as of Choose.
func AsServed(s Settings, o Options) (Choice, error) {
	_, c, err := find(s, o)
	return c, err
}

func find(s Settings, o Options) (*Manual, Choice, error) {
	s, o.Replay = trimmed(s), replay.Options{Speed: 1}
	if o.Camera == nil {
		o.Camera = cameraport.New()
	}
	m := &Manual{camera: o.Camera, tail: &scalefeed.Tail{}, file: newManualFile(o.Folder, o.Log), units: newUnits(o.Folder, o.Log), log: o.Log}
	if o.Folder != "" {
		m.lastPort = newLastPort(o.Folder, o.Log)
	}
	real, practice := m.file.read()
	onlyWhich := s == Settings{Port: s.Port}
	if onlyWhich && real != nil && isThere(real.Port) {
		o.Practice = false
	}
	c, err := Choose(s, o)
	if err != nil {
		return nil, c, err
	}
	c.Answers = m.units.of
	m.virtual, m.settings = c.Virtual, s
	kept := real
	if c.Virtual != nil {
		kept, m.settings.Port = practice, scaleapi.Virtual
	}
	if onlyWhich && kept != nil && (s.Port == "" || s.Port == scaleapi.Virtual) {
		source, how, err := m.prepare(*kept, true)
		if err == nil {
			m.settings, m.kept, m.source = *kept, true, source
			c.Source, c.Handling = source, how
			return m, c, nil
		}
		o.Log.Warn("the scale’s settings no longer work; back to automatic", "cause", err)
	}
	c.learnt(m.lastPort, m.units.of)
	m.source = c.Source
	return m, c, nil
}

// isThere reports whether a port that was fixed by hand can be looked for now.
func isThere(port string) bool {
	return strings.HasPrefix(port, "tcp://") || unplugged(port) || port != "" && slices.ContainsFunc(candidates(), func(c scalefeed.Candidate) bool { return c.Info.Name == port })
}

// unplugged reports whether a port is a way without a plug that this computer has.
func unplugged(port string) bool {
	return port == scaleapi.Camera || port == scaleapi.Bluetooth && radioport.Present()
}

// Set is scaleapi.Scale's.
func (m *Manual) Set(s Settings, anyPort bool) error {
	s = trimmed(s)
	m.mu.Lock()
	defer m.mu.Unlock()
	source, how, err := m.prepare(s, anyPort)
	if err != nil {
		return err
	}
	if err := m.file.keep(s); err != nil {
		return err
	}
	m.log.Info("the scale was set by hand", "port", s.Port, "format", s.Format, "pattern", s.Pattern)
	m.settings, m.kept, m.source = s, true, source
	m.feed.Change(source, how)
	m.tail.Clear()
	return nil
}

// prepare makes the source that settings mean, for a scale that is there already.
// A recording adds to how it is read what it knows of itself. Error:
// *fault.Field.
func (m *Manual) prepare(s Settings, anyPort bool) (scalefeed.Source, scalefeed.Handling, error) {
	how := scalefeed.Handling{KeepAwake: s.KeepAwake, Resolution: resolution(s)}
	var err error
	if how.Decode, err = decodeOptions(s); err != nil {
		return nil, how, err
	}
	allowed := s.Port == "" || s.Port == m.settings.Port
	named := func(c scalefeed.Candidate) bool { return c.Info.Name == s.Port }
	found := candidates()
	switch {
	case s.Port == scaleapi.Virtual && m.virtual != nil:
		return virtualSource{m.virtual}, how, nil
	case !allowed && !anyPort && !unplugged(s.Port) && !slices.ContainsFunc(found, named):
		return nil, how, wrongSetting("port", fault.DeskOnly, say.New("settings-port-not-found", say.Text("given", s.Port)))
	case slices.ContainsFunc(found, func(c scalefeed.Candidate) bool { return named(c) && c.Certain }):
		// A weighing device by its own name, looked for again whenever it is back.
		return &scalefeed.Finder{
			Candidates: func() []scalefeed.Candidate {
				return slices.DeleteFunc(candidates(), func(c scalefeed.Candidate) bool { return !named(c) })
			},
			Decode: how.Decode, Insist: true, Log: m.log,
		}, how, nil
	case !allowed && s.Port != scaleapi.Bluetooth && s.Port != scaleapi.Camera && !looksLikePort(s.Port):
		return nil, how, notAPort(s.Port)
	}
	c, err := Choose(s, Options{Replay: replay.Options{Speed: 1}, Camera: m.camera, Log: m.log})
	if err != nil {
		var wrong *fault.Field
		if !errors.As(err, &wrong) {
			err = &fault.Field{Name: "port", Fault: fault.Of(err)}
		}
		return nil, how, err
	}
	c.learnt(m.lastPort, m.units.of)
	return c.Source, c.Handling, nil
}
