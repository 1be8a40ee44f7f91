package scale

import (
	"context"
	"io"
	"log/slog"
	"path/filepath"
	"slices"
	"strings"

	"panside/internal/book/data"
	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/internal/simscale"
	"panside/server/hidscale"
	"panside/server/radioport"
	"panside/server/replay"
	"panside/server/scaleapi"
	"panside/server/scalefeed"
	"panside/server/serialport"
	"panside/server/virtualscale"
)

// Choice is the source that settings name, and how it is read.
type Choice struct {
	Source scalefeed.Source
	scalefeed.Handling
	// Answers are what the person said of units, as scalefeed.Options have it; nil
	// if nobody was asked.
	Answers func(scale string) scalefeed.Answers
	// Virtual is nil for real scales. It lives only while Start's context does.
	Virtual *virtualscale.Scale
	// StandIn reports whether the virtual scale was taken for want of a real one.
	StandIn bool

	script *virtualscale.Script
}

// Start starts what must run beside the feed.
func (c Choice) Start(ctx context.Context) {
	if c.Virtual == nil {
		return
	}
	go c.Virtual.Run(ctx)
	if c.script != nil {
		c.Virtual.Play(ctx, *c.script)
	}
}

// learnt lets a scale that is found by itself be looked for first where it was
// last time, and be read with what the person said of its units.
func (c Choice) learnt(m scalefeed.Memory, said func(scale string) scalefeed.Answers) {
	if f, ok := c.Source.(*scalefeed.Finder); ok {
		f.Memory, f.Answers = m, said
	}
}

// Choose finds the source that settings mean. It opens nothing but files, and
// neither uses nor keeps what was learnt earlier. Errors: *fault.Field for
// settings that can never work, and the faults of files that can't be read.
func Choose(s Settings, o Options) (Choice, error) {
	s = trimmed(s)
	decode, err := decodeOptions(s)
	if err != nil {
		return Choice{}, err
	}
	c := Choice{Handling: scalefeed.Handling{Decode: decode, KeepAwake: s.KeepAwake, Resolution: resolution(s)}}
	kind, rest, _ := strings.Cut(s.Port, ":")
	switch {
	case s.Port == "" && o.Practice && !anythingPluggedIn(candidates()):
		c.StandIn = true
		err = c.chooseVirtual("", o.Log)
	case s.Port == "":
		c.Source = &scalefeed.Finder{Candidates: candidates, Decode: decode, PortSettings: fixedPortSettings(s), Log: o.Log}
	case kind == scaleapi.Virtual:
		err = c.chooseVirtual(rest, o.Log)
	case kind == "replay":
		err = c.chooseReplay(rest, o.Replay)
	case s.Port == scaleapi.Bluetooth:
		c.Source = &radioSource{radio: radioport.System}
	case s.Port == scaleapi.Camera && o.Camera != nil:
		c.Source = &cameraSource{port: o.Camera}
	case !looksLikePort(s.Port):
		err = notAPort(s.Port)
	case kind == "tcp":
		c.Source = tcpSource(strings.TrimPrefix(s.Port, "tcp://"))
	default:
		c.Source = namedPort(s, decode, o.Log)
	}
	return c, err
}

func (c *Choice) chooseVirtual(script string, log *slog.Logger) error {
	tray := append(virtualscale.Tray(data.Coins()), practiceWeights...)
	if script != "" {
		s, err := loadScript(script, tray)
		if err != nil {
			return err
		}
		c.script = &s
	}
	v, err := NewVirtual(simscale.Config{}, tray, log)
	if err != nil {
		return err
	}
	c.Virtual, c.Source = v, virtualSource{v}
	return nil
}

func (c *Choice) chooseReplay(file string, play replay.Options) error {
	if file == "" {
		return wrongSetting("port", fault.BadInput, say.New("settings-capture-missing"))
	}
	rec, err := replay.Load(file)
	if err != nil {
		return err
	}
	if c.Decode.Unit == "" && rec.Header.Unit != "-" {
		if c.Decode.Unit, err = mass.ParseUnit(rec.Header.Unit); err != nil {
			return err
		}
	}
	c.Source = &replaySource{name: filepath.Base(file), capture: rec, options: play}
	return nil
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

// anythingPluggedIn reports whether a device is there that somebody attached: a
// weighing device, or a port on USB or Bluetooth. Built-in ports are there
// always and say nothing; a scale on one is named with --scale.
func anythingPluggedIn(all []scalefeed.Candidate) bool {
	return slices.ContainsFunc(all, func(c scalefeed.Candidate) bool {
		base := filepath.Base(c.Info.Name)
		return c.Certain || !strings.HasPrefix(base, "ttyS") && !strings.HasPrefix(base, "ttyAMA")
	})
}
