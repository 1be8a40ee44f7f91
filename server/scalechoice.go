package main

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"panside/internal/book/data"
	"panside/internal/dialect"
	"panside/internal/dialect/capture"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/server/hidscale"
	"panside/server/pseudoport"
	"panside/server/replay"
	"panside/server/scalefeed"
	"panside/server/serialport"
	"panside/server/tcpport"
	"panside/server/virtualscale"
)

// ScaleFlags say which scale is read and how. The tags are the command line's.
type ScaleFlags struct {
	Scale     string `default:"auto" placeholder:"WHICH" help:"auto, virtual, virtual:SCRIPT, replay:FILE, tcp://HOST:PORT, or a port such as /dev/ttyUSB0."`
	Dialect   string `placeholder:"NAME" xor:"format" help:"Line format of the scale (default: found from its lines)."`
	Pattern   string `placeholder:"TEXT" xor:"format" help:"Shape of the lines of a format nobody knows."`
	Unit      string `placeholder:"UNIT" help:"Unit of lines that carry none, and what “gr” means."`
	Baud      int    `placeholder:"N" help:"Line speed of a serial port in bits per second."`
	Framing   string `placeholder:"8N1" help:"Data bits, parity and stop bits of a serial port."`
	Practice  bool   `help:"With --scale auto: take the virtual scale if none is plugged in at the start."`
	KeepAwake bool   `help:"Ask the scale for a weight now and then so that it doesn't switch itself off, where its format has a command for that."`
}

// chosenScale is what the flags name.
type chosenScale struct {
	source scalefeed.Source
	decode dialect.Options
	step   mass.Quantity // as scalefeed.Options have it; set by hand only
	// answers, as scalefeed.Options have it; nil if nobody was asked.
	answers func(scale string) scalefeed.Answers
	// virtual is nil for all others. It lives only while start's context does.
	virtual *virtualscale.Scale
	script  *virtualscale.Script
	// standIn tells that the virtual scale was taken for want of a real one.
	standIn bool
}

// start starts what must run beside the feed.
func (c chosenScale) start(ctx context.Context) {
	if c.virtual == nil {
		return
	}
	go c.virtual.Run(ctx)
	if c.script != nil {
		c.virtual.Play(ctx, *c.script)
	}
}

// remember lets a scale that is found by itself be looked for first next time.
func (c chosenScale) remember(m scalefeed.Memory) {
	if f, ok := c.source.(*scalefeed.Finder); ok {
		f.Memory = m
	}
}

// answer lets a scale that is found by itself be read with what the person said
// of its units.
func (c chosenScale) answer(said func(scale string) scalefeed.Answers) {
	if f, ok := c.source.(*scalefeed.Finder); ok {
		f.Answers = said
	}
}

// replayOptions are how a capture is played.
type replayOptions struct {
	speed float64
	loop  bool
}

// chooseScale finds the source for the flags. It opens nothing but files.
// Errors: usageError for flags that can never work, and the faults of files
// that can't be read.
func chooseScale(f ScaleFlags, play replayOptions, log *slog.Logger) (chosenScale, error) {
	decode, err := decodeOptions(f)
	if err != nil {
		return chosenScale{}, err
	}
	line, err := lineSettings(f)
	if err != nil {
		return chosenScale{}, err
	}
	c := chosenScale{decode: decode}
	kind, rest, _ := strings.Cut(f.Scale, ":")
	switch {
	case f.Scale == "auto" && f.Practice && !anythingPluggedIn(candidates()):
		c.standIn = true
		err = c.chooseVirtual("", log)
	case f.Scale == "auto":
		c.source = &scalefeed.Finder{Candidates: candidates, Decode: decode, Line: fixedLine(f, line), Log: log}
	case kind == "virtual":
		err = c.chooseVirtual(rest, log)
	case kind == "replay":
		err = c.chooseReplay(rest, play)
	case strings.HasPrefix(f.Scale, "tcp://"):
		address := strings.TrimPrefix(f.Scale, "tcp://")
		if tcpport.Address(address) != nil {
			return chosenScale{}, usageError("--scale takes tcp://HOST:PORT, such as tcp://192.168.1.20:4001")
		}
		c.source = tcpSource(address)
	case filepath.IsAbs(f.Scale), strings.HasPrefix(strings.ToUpper(f.Scale), "COM"):
		c.source = namedPort(f, decode, line, log)
	default:
		err = usageError("--scale takes auto, virtual, virtual:SCRIPT, replay:FILE, tcp://HOST:PORT, or a port such as /dev/ttyUSB0")
	}
	return c, err
}

// decodeOptions are how lines are read.
func decodeOptions(f ScaleFlags) (dialect.Options, error) {
	o := dialect.Options{Dialect: f.Dialect}
	if _, known := dialect.ByName(f.Dialect); f.Dialect != "" && !known {
		var names []string
		for _, d := range dialect.All() {
			names = append(names, d.Name)
		}
		return o, usageError("--dialect takes one of " + strings.Join(names, ", "))
	}
	if f.Pattern != "" {
		pattern, err := dialect.Compile(f.Pattern)
		if err != nil {
			return o, usageError("--pattern: " + err.Error())
		}
		o.Pattern = pattern
	}
	if f.Unit != "" {
		unit, err := mass.ParseUnit(f.Unit)
		if err != nil {
			return o, usageError("--unit takes a unit of mass such as g, ct or gr")
		}
		o.Unit = unit
		if unit == mass.Gram || unit == mass.Grain {
			o.Gr = unit
		}
	}
	return o, nil
}

// lineSettings are those given, completed by what the format usually has.
func lineSettings(f ScaleFlags) (dialect.Settings, error) {
	s := serialport.Usual
	if d, ok := dialect.ByName(f.Dialect); ok && len(d.Settings) > 0 {
		s = d.Settings[0]
	}
	if f.Baud != 0 {
		s.Baud = f.Baud
	}
	if f.Framing != "" {
		s.Framing = f.Framing
	}
	if serialport.Check(s) != nil {
		return s, usageError("--baud takes a line speed such as 9600, and --framing data bits, parity and stop bits such as 8N1 or 7E1")
	}
	return s, nil
}

// fixedLine are the line settings if the person gave any; the zero value leaves
// them to be found.
func fixedLine(f ScaleFlags, line dialect.Settings) dialect.Settings {
	if f.Baud == 0 && f.Framing == "" {
		return dialect.Settings{}
	}
	return line
}

// namedPort is a serial port that the person named. Its line settings are found
// unless they are given as well.
func namedPort(f ScaleFlags, decode dialect.Options, line dialect.Settings, log *slog.Logger) scalefeed.Source {
	port := &serialport.Named{Name: f.Scale}
	if fixedLine(f, line) != (dialect.Settings{}) {
		return portSource{port, line}
	}
	only := scalefeed.Candidate{
		Info: scalefeed.Info{Name: f.Scale, Kind: scalefeed.Serial},
		Open: func(ctx context.Context, s dialect.Settings) (io.ReadWriteCloser, error) {
			p, err := port.Open(ctx, s)
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
	port *serialport.Named
	line dialect.Settings
}

func (s portSource) Open(ctx context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	info := scalefeed.Info{Name: s.port.Name, Kind: scalefeed.Serial, Line: s.line.String()}
	p, err := s.port.Open(ctx, s.line)
	return stream(p, err), info, err
}

// candidates are the places of this computer where a scale could be: devices
// that say they are one, then ports.
func candidates() []scalefeed.Candidate {
	var all []scalefeed.Candidate
	for _, found := range (hidscale.Devices{}).List() {
		all = append(all, scalefeed.Candidate{
			Info:    scalefeed.Info{Name: found.Name, Kind: scalefeed.HID},
			Certain: true,
			Open: func(context.Context, dialect.Settings) (io.ReadWriteCloser, error) {
				s, err := hidscale.Open(found)
				return stream(s, err), err
			},
		})
	}
	for _, found := range (serialport.Devices{}).List() {
		all = append(all, scalefeed.Candidate{
			Info: scalefeed.Info{Name: found.Name, Kind: scalefeed.Serial},
			Open: func(ctx context.Context, s dialect.Settings) (io.ReadWriteCloser, error) {
				p, err := serialport.Open(ctx, found.Name, s)
				return stream(p, err), err
			},
		})
	}
	return all
}

// anythingPluggedIn tells whether a device is there that somebody attached: a
// weighing device, or a port on USB or Bluetooth. Built-in ports are there
// always and say nothing; a scale on one is named with --scale.
func anythingPluggedIn(all []scalefeed.Candidate) bool {
	return slices.ContainsFunc(all, func(c scalefeed.Candidate) bool {
		base := filepath.Base(c.Info.Name)
		return c.Certain || !strings.HasPrefix(base, "ttyS") && !strings.HasPrefix(base, "ttyAMA")
	})
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

// virtualSource opens whatever device the virtual scale is behind now, like any
// serial port.
type virtualSource struct{ scale *virtualscale.Scale }

func (s virtualSource) Open(ctx context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	info := scalefeed.Info{Name: "virtual scale", Kind: scalefeed.Virtual, Line: serialport.Usual.String()}
	name, err := s.scale.Name()
	if err != nil {
		return nil, info, err
	}
	p, err := serialport.Open(ctx, name, serialport.Usual)
	return stream(p, err), info, err
}

// demoEvening is the name of the script that comes along.
const demoEvening = "evening"

func (c *chosenScale) chooseVirtual(script string, log *slog.Logger) error {
	tray := append(virtualscale.Tray(data.Coins()), practiceWeights...)
	if script != "" {
		s, err := loadScript(script, tray)
		if err != nil {
			return err
		}
		c.script = &s
	}
	v, err := virtualscale.New(virtualscale.Options{Tray: tray, NewLine: newPseudoLine, Log: log})
	if err != nil {
		return err
	}
	c.virtual, c.source = v, virtualSource{v}
	return nil
}

func newPseudoLine() (virtualscale.Line, error) {
	p, err := pseudoport.Open()
	if err != nil {
		return nil, err
	}
	p.Lossy = true
	return p, nil
}

func loadScript(name string, tray []virtualscale.Coin) (virtualscale.Script, error) {
	if name == demoEvening {
		return virtualscale.Evening(tray)
	}
	text, err := os.ReadFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return virtualscale.Script{}, fault.Wrap(fault.NotFound, "There is no script “"+name+"”. Nothing was started; check the file's name, or use “"+demoEvening+"”.", err)
	case err != nil:
		return virtualscale.Script{}, fault.Wrap(fault.BadInput, "The script “"+name+"” can't be opened. Nothing was started; check that it is a file you may read.", err)
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

func (c *chosenScale) chooseReplay(file string, play replayOptions) error {
	if file == "" {
		return usageError("--scale replay:FILE needs a capture file")
	}
	rec, err := replay.Load(file)
	if err != nil {
		return err
	}
	if c.decode.Unit == "" && rec.Header.Unit != "-" {
		unit, err := mass.ParseUnit(rec.Header.Unit)
		if err != nil {
			return err
		}
		c.decode.Unit = unit
	}
	c.source = &replaySource{name: filepath.Base(file), capture: rec, options: replay.Options{Speed: play.speed, Loop: play.loop}}
	return nil
}

func (s *replaySource) Open(ctx context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	info := scalefeed.Info{Name: s.name, Kind: scalefeed.Replay, Line: s.capture.Header.Port}
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
