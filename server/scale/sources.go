package scale

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"sync"

	"panside/internal/dialect"
	"panside/internal/dialect/capture"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/pseudoport"
	"panside/server/radioport"
	"panside/server/replay"
	"panside/server/scaleapi"
	"panside/server/scalefeed"
	"panside/server/serialport"
	"panside/server/tcpport"
	"panside/server/virtualscale"
)

// namedPort is a serial port that the person named. Its port settings are
// found unless they are given as well.
func namedPort(s Settings, decode dialect.Options, log *slog.Logger) scalefeed.Source {
	port := &serialport.Named{Name: s.Port}
	if fixed := fixedPortSettings(s); fixed != (dialect.Settings{}) {
		return portSource{port, fixed}
	}
	only := scalefeed.Candidate{
		Info: scalefeed.Info{Name: s.Port, Kind: scalefeed.Serial},
		Open: func(ctx context.Context, with dialect.Settings) (io.ReadWriteCloser, error) {
			p, err := port.Open(ctx, with)
			return stream(p, err), err
		},
	}
	return &scalefeed.Finder{
		Candidates: func() []scalefeed.Candidate { return []scalefeed.Candidate{only} },
		Decode:     decode, Insist: true, Log: log,
	}
}

// portSource is a port of which all is given.
type portSource struct {
	port     *serialport.Named
	settings dialect.Settings
}

func (s portSource) Open(ctx context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	info := scalefeed.Info{Name: s.port.Name, Kind: scalefeed.Serial, PortSettings: s.settings.String()}
	p, err := s.port.Open(ctx, s.settings)
	return stream(p, err), info, err
}

// stream avoids an interface that holds a nil pointer.
func stream[T io.ReadWriteCloser](s T, err error) io.ReadWriteCloser {
	if err != nil {
		return nil
	}
	return s
}

// tcpSource is a serial server's HOST:PORT.
type tcpSource string

func (s tcpSource) Open(ctx context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	c, err := tcpport.Dial(ctx, string(s))
	return stream(c, err), scalefeed.Info{Name: "tcp://" + string(s), Kind: scalefeed.TCP}, err
}

// search is the part of a source whose scale is looked for, which takes a while.
type search struct {
	tell func(scalefeed.Info, *fault.Error)
}

// OnSearch sets whom to tell that a scale is looked for; the feed calls it.
func (s *search) OnSearch(tell func(scalefeed.Info, *fault.Error)) { s.tell = tell }

// lookFor says meanwhile while open looks, and takes the name that the scale gives itself.
func lookFor[T interface {
	io.ReadWriteCloser
	Name() string
}](s *search, info scalefeed.Info, meanwhile *fault.Error, open func() (T, error)) (io.ReadWriteCloser, scalefeed.Info, error) {
	if s.tell != nil {
		s.tell(info, meanwhile)
	}
	p, err := open()
	if err == nil && p.Name() != "" {
		info.Name = p.Name()
	}
	return stream(p, err), info, err
}

// radioSource is the nearest scale that speaks Bluetooth's weight service.
type radioSource struct {
	search
	radio radioport.Radio
}

func (s *radioSource) Open(ctx context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	info := scalefeed.Info{Name: scaleapi.Bluetooth, Kind: scalefeed.Radio}
	return lookFor(&s.search, info, radioport.Looking(), func() (*radioport.Scale, error) { return radioport.Open(ctx, s.radio) })
}

// virtualSource opens whatever device the virtual scale is behind now, like any
// serial port.
type virtualSource struct{ scale *virtualscale.Scale }

func (s virtualSource) Open(ctx context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	info := scalefeed.Info{Name: "virtual scale", Kind: scalefeed.Virtual, PortSettings: serialport.Usual.String()}
	name, err := s.scale.Name()
	if err != nil {
		return nil, info, err
	}
	p, err := serialport.Open(ctx, name, serialport.Usual)
	return stream(p, err), info, err
}

// demoEvening is the name of the script that comes along.
const demoEvening = "evening"

func loadScript(name string, tray []virtualscale.Coin) (virtualscale.Script, error) {
	if name == demoEvening {
		return virtualscale.Evening(tray)
	}
	text, err := os.ReadFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return virtualscale.Script{}, fault.Wrap(fault.NotFound, say.New("script-missing", say.Text("file", name), say.Text("own", demoEvening)), err)
	case err != nil:
		return virtualscale.Script{}, fault.Wrap(fault.BadInput, say.New("script-unopened", say.Text("file", name)), err)
	}
	return virtualscale.ParseScript(filepath.Base(name), string(text), tray)
}

// replaySource plays a capture once (or for ever) through a pseudo-terminal.
type replaySource struct {
	name    string
	capture capture.Capture
	options replay.Options

	mu   sync.Mutex
	last *replay.Stream
}

func (s *replaySource) Open(ctx context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	info := scalefeed.Info{Name: s.name, Kind: scalefeed.Replay, PortSettings: s.capture.Header.Port}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.last != nil && s.last.Ended() {
		return nil, info, replay.Ended()
	}
	far, err := pseudoport.Open()
	if err != nil {
		return nil, info, err
	}
	near, err := serialport.Open(ctx, far.Name(), serialport.Usual)
	if err != nil {
		far.Close()
		return nil, info, err
	}
	s.last = replay.Play(s.capture, s.options, far, near)
	return s.last, info, nil
}
