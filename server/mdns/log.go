package mdns

import (
	"context"
	"fmt"
	"log/slog"

	"github.com/pion/logging"
)

// quiet passes what the library says on to our log, all at debug level: other
// people's garbage on the network is nothing a person can mend.
type quiet struct{ log *slog.Logger }

var _ logging.LoggerFactory = quiet{}

func (q quiet) NewLogger(string) logging.LeveledLogger { return q }

func (q quiet) say(text string) { q.log.Debug("local name", "says", text) }

func (q quiet) sayf(format string, args ...any) {
	if q.log.Enabled(context.Background(), slog.LevelDebug) {
		q.say(fmt.Sprintf(format, args...))
	}
}

func (quiet) Trace(string)                        {} // each packet
func (quiet) Tracef(string, ...any)               {}
func (quiet) Debug(string)                        {}
func (quiet) Debugf(string, ...any)               {}
func (q quiet) Info(text string)                  { q.say(text) }
func (q quiet) Infof(format string, args ...any)  { q.sayf(format, args...) }
func (q quiet) Warn(text string)                  { q.say(text) }
func (q quiet) Warnf(format string, args ...any)  { q.sayf(format, args...) }
func (q quiet) Error(text string)                 { q.say(text) }
func (q quiet) Errorf(format string, args ...any) { q.sayf(format, args...) }
