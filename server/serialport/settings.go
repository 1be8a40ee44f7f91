package serialport

import (
	"strings"

	"go.bug.st/serial"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/say"
)

// Settings are the line settings of a serial port: bits per second, and data
// bits (7 or 8), parity (N, E or O) and stop bits (1 or 2) as in "8N1".
type Settings = dialect.Settings

// Usual is what most scales are set to when they leave the factory (common
// practice).
var Usual = Settings{Baud: 9600, Framing: "8N1"}

// modeOf translates the settings. Error: fault.BadInput for what no port has.
func modeOf(s Settings) (*serial.Mode, error) {
	if s.Baud < 50 || s.Baud > 4_000_000 {
		return nil, badSettings(s)
	}
	f := strings.ToUpper(s.Framing)
	if len(f) != 3 || (f[0] != '7' && f[0] != '8') || (f[2] != '1' && f[2] != '2') {
		return nil, badSettings(s)
	}
	parity, ok := map[byte]serial.Parity{'N': serial.NoParity, 'E': serial.EvenParity, 'O': serial.OddParity}[f[1]]
	if !ok {
		return nil, badSettings(s)
	}
	stop := serial.OneStopBit
	if f[2] == '2' {
		stop = serial.TwoStopBits
	}
	return &serial.Mode{BaudRate: s.Baud, DataBits: int(f[0] - '0'), Parity: parity, StopBits: stop}, nil
}

// Check reports whether the settings make sense at all. Error: fault.BadInput.
func Check(s Settings) error {
	_, err := modeOf(s)
	return err
}

func badSettings(s Settings) error {
	return fault.New(fault.BadInput, say.New("port-settings-invalid", say.Text("given", s.String())))
}
