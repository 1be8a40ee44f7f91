package main

import (
	"errors"
	"strings"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/scale"
)

// ScaleFlags say which scale is read and how. The tags are the command line's.
type ScaleFlags struct {
	Scale     string `default:"auto" placeholder:"WHICH" help:"auto, virtual, virtual:SCRIPT, replay:FILE, tcp://HOST:PORT, bluetooth, or a port such as /dev/ttyUSB0."`
	Dialect   string `placeholder:"NAME" xor:"format" help:"Line format of the scale (default: found from its lines)."`
	Pattern   string `placeholder:"TEXT" xor:"format" help:"Shape of the lines of a format nobody knows."`
	Unit      string `placeholder:"UNIT" help:"Unit of lines that carry none, and what “gr” means."`
	Baud      int    `placeholder:"N" help:"Baud rate of a serial port."`
	Framing   string `placeholder:"8N1" help:"Data bits, parity and stop bits of a serial port."`
	Practice  bool   `help:"With --scale auto: take the virtual scale if none is plugged in at the start."`
	KeepAwake bool   `help:"Ask the scale for a weight now and then so that it doesn’t switch itself off, where its format has a command for that."`
}

// settings are what the flags mean; from here on nothing asks for flags.
func (f ScaleFlags) settings() scale.Settings {
	return scale.Settings{
		Port: f.Scale, Baud: f.Baud, Framing: f.Framing, Format: f.Dialect, Pattern: f.Pattern, Unit: f.Unit, KeepAwake: f.KeepAwake,
	}
}

// usageOf names the flag of a setting that can't be; other errors stay.
func usageOf(err error) error {
	var wrong *fault.Field
	if !errors.As(err, &wrong) {
		return err
	}
	switch wrong.Name {
	case "port":
		return usageError("--scale takes auto, virtual, virtual:SCRIPT, replay:FILE, tcp://HOST:PORT such as tcp://192.168.1.20:4001, bluetooth, or a port such as /dev/ttyUSB0")
	case "baud":
		return usageError("--baud takes a baud rate such as 9600, and --framing data bits, parity and stop bits such as 8N1 or 7E1")
	case "format":
		var names []string
		for _, d := range dialect.All() {
			names = append(names, d.Name)
		}
		return usageError("--dialect takes one of " + strings.Join(names, ", "))
	case "pattern":
		return usageError("--pattern: " + say.English.Write(wrong.Fault.Reason()))
	case "unit":
		return usageError("--unit takes a unit of mass such as g, ct or gr")
	}
	return err
}
