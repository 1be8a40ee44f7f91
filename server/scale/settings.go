package scale

import (
	"path/filepath"
	"strings"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/server/scaleapi"
	"panside/server/serialport"
	"panside/server/tcpport"
)

// Settings say which scale is read and how: of the command line, of a person who
// set them by hand, and as they are kept. What is empty is found by the program.
// Beside what the API takes, Port may be virtual:SCRIPT or replay:FILE.
type Settings = scaleapi.Settings

// trimmed leaves blanks in a pattern, where they count.
func trimmed(s Settings) Settings {
	for _, t := range []*string{&s.Port, &s.Framing, &s.Format, &s.Unit, &s.Resolution, &s.ResolutionUnit} {
		*t = strings.TrimSpace(*t)
	}
	s.Framing = strings.ToUpper(s.Framing)
	if s.Port == "auto" {
		s.Port = ""
	}
	return s
}

// wrongSetting is a setting that can't be, with nothing changed.
func wrongSetting(field string, code fault.Code, what say.Line) error {
	return &fault.Field{Name: field, Fault: fault.WithEnding(code, what, say.New("ending-nothing-changed"))}
}

// check refuses what can't be. Whether the port is there isn't asked. Error:
// *fault.Field.
func check(s Settings) error {
	if s.Baud != 0 || s.Framing != "" {
		if p := portSettings(s); serialport.Check(p) != nil {
			return wrongSetting("baud", fault.BadInput, say.New("settings-serial", say.Text("given", p.String())))
		}
	}
	if _, known := dialect.ByName(s.Format); s.Format != "" && !known {
		return wrongSetting("format", fault.BadInput, say.New("settings-format", say.Text("given", s.Format)))
	}
	if s.Pattern != "" {
		if s.Format != "" {
			return wrongSetting("pattern", fault.BadInput, say.New("settings-format-and-pattern"))
		}
		if _, err := dialect.Compile(s.Pattern); err != nil {
			return wrongSetting("pattern", fault.BadInput, fault.Of(err).Said())
		}
	}
	for field, unit := range map[string]string{"unit": s.Unit, "resolution_unit": s.ResolutionUnit} {
		if _, err := mass.ParseUnit(unit); unit != "" && err != nil {
			return &fault.Field{Name: field, Fault: fault.Of(err)}
		}
	}
	if s.Resolution != "" {
		if d, err := mass.ParseDecimal(s.Resolution); err != nil || d.Sign() <= 0 {
			return wrongSetting("resolution", fault.BadNumber, say.New("settings-step", say.Text("given", s.Resolution)))
		}
	}
	return nil
}

// decodeOptions are how lines are read. Errors: those of check.
func decodeOptions(s Settings) (o dialect.Options, err error) {
	if err := check(s); err != nil {
		return o, err
	}
	o.Dialect = s.Format
	if s.Pattern != "" {
		if o.Pattern, err = dialect.Compile(s.Pattern); err != nil {
			return o, err
		}
	}
	if s.Unit != "" {
		if o.Unit, err = mass.ParseUnit(s.Unit); err != nil {
			return o, err
		}
		if o.Unit == mass.Gram || o.Unit == mass.Grain {
			o.Gr = o.Unit
		}
	}
	return o, nil
}

// resolution is the one set by hand, in its unit; zero if none is. It was
// checked.
func resolution(s Settings) mass.Quantity {
	if s.Resolution == "" {
		return mass.Quantity{}
	}
	unit, err := mass.ParseUnit(s.ResolutionUnit)
	if err != nil {
		unit = mass.Gram
	}
	return mass.Quantity{Value: mass.MustDecimal(s.Resolution), Unit: unit}
}

// portSettings are those given, completed by what the format usually has.
func portSettings(s Settings) dialect.Settings {
	p := serialport.Usual
	if d, ok := dialect.ByName(s.Format); ok && len(d.Settings) > 0 {
		p = d.Settings[0]
	}
	if s.Baud != 0 {
		p.Baud = s.Baud
	}
	if s.Framing != "" {
		p.Framing = s.Framing
	}
	return p
}

// fixedPortSettings are the port settings if the person gave any; the zero value
// leaves them to be found.
func fixedPortSettings(s Settings) dialect.Settings {
	if s.Baud == 0 && s.Framing == "" {
		return dialect.Settings{}
	}
	return portSettings(s)
}

// looksLikePort tells a serial port or a serial server by its name alone.
func looksLikePort(name string) bool {
	if address, ok := strings.CutPrefix(name, "tcp://"); ok {
		return tcpport.Address(address) == nil
	}
	return filepath.IsAbs(name) || strings.HasPrefix(strings.ToUpper(name), "COM")
}

func notAPort(name string) error {
	return wrongSetting("port", fault.BadInput, say.New("settings-port", say.Text("given", name)))
}
