package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"os/signal"
	"strings"
	"sync"
	"syscall"
	"time"

	"github.com/mattn/go-isatty"
	"github.com/skip2/go-qrcode"

	"panside/internal/device"
	"panside/internal/dialect"
	"panside/pwa"
	"panside/server/config"
	"panside/server/httpapi"
	"panside/server/livehub"
	"panside/server/scale"
)

// ServeCmd reads the scale and serves the phones.
type ServeCmd struct {
	config.Config
	ScaleFlags
}

// Help is shown under the command's flags.
func (ServeCmd) Help() string {
	return `Example: panside serve --scale virtual --listen :8311`
}

// Run serves until ctx ends.
func (c *ServeCmd) Run(ctx context.Context, std *stdio) error {
	// Whoever reads what is printed may end first, as in a closed terminal; that
	// must not kill the server in the middle of its stop.
	signal.Ignore(syscall.SIGPIPE)
	level := slog.LevelInfo
	switch {
	case c.Verbose:
		level = slog.LevelDebug
	case isTerminal(std.Err):
		level = slog.LevelWarn // the sentences below are for the person there
	}
	log := slog.New(slog.NewTextHandler(std.Err, &slog.HandlerOptions{Level: level}))
	folder, err := c.Folder()
	if err != nil {
		return err
	}
	sc, err := scale.Open(c.settings(), scale.Options{Folder: folder, Practice: c.Practice, Log: log})
	if err != nil {
		return usageOf(err)
	}
	app := New(c.Config, sc, log)
	desk := &terminal{out: std.Out, colours: colored(isTerminal(std.Out)), keys: isTerminal(std.In)}
	app.Watch = desk.showScale
	app.Moved = desk.showMoved
	app.Said = func(sentence string) { desk.say("", sentence, "") }
	if err := app.Start(ctx); err != nil {
		return err
	}
	desk.showStart(app)
	if sc.StandIn {
		desk.say("No scale is plugged in, so the virtual one stands in, with a tray of practice coins.", "Plug a scale in and start again to weigh; name a built-in port with --scale.")
	}
	if !appBuilt(pwa.Files()) {
		desk.say("This program was built without the phone app: phones and this computer’s browser get a page that says so.", "The weight is read all the same. Stop it and start it with what builds the app first (it needs Node): go run ./server/up", "")
	}
	typed := make(chan string)
	if desk.keys {
		go eachLine(std.In, typed)
	}
	for {
		select {
		case text := <-typed:
			if text = strings.TrimSpace(text); text == "" {
				desk.showCodes(app)
			} else if sc.Manual != nil {
				desk.say(sc.Manual.AnswerTyped(text))
			}
			continue
		case err = <-app.Failed():
		case <-ctx.Done():
		}
		break
	}
	desk.say("\nStopping; phones are being notified, and new records are copied.")
	if stopErr := app.Stop(); err == nil {
		err = stopErr
	}
	return err
}

// appBuilt reports whether the phone app lies in the program.
func appBuilt(files fs.FS) bool {
	_, err := fs.Stat(files, "index.html")
	return err == nil
}

// eachLine tells of each line that is typed. It ends with the input, or with
// the program.
func eachLine(in io.Reader, typed chan<- string) {
	for lines := bufio.NewScanner(in); lines.Scan(); {
		typed <- lines.Text()
	}
}

// colored reports whether a terminal gets colors, which NO_COLOR in the environment
// refuses, whatever it says.
func colored(terminal bool) bool { return terminal && os.Getenv("NO_COLOR") == "" }

func isTerminal(v any) bool {
	f, ok := v.(*os.File)
	return ok && isatty.IsTerminal(f.Fd())
}

// terminal is what the person who started the server reads. It is not the log:
// the one-time secrets are printed here and nowhere else.
type terminal struct {
	mu      sync.Mutex
	out     io.Writer
	colours bool
	keys    bool   // somebody can press Enter
	scale   string // the last line about the scale
}

func (t *terminal) say(lines ...string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	// A terminal that is gone is no reason to stop serving.
	_, _ = fmt.Fprintln(t.out, strings.Join(lines, "\n"))
}

func (t *terminal) showStart(app *App) {
	t.say(fmt.Sprintf("Panside %s runs on “%s”.", version(), app.cfg.ServerName()), app.copies.Words())
	t.showCodes(app)
	if !app.ownCert {
		t.say(append([]string{
			"To stop the phone’s security warning, open on the phone: " + app.TrustAddress(),
			"There, compare these lines (SHA-256 of the certificate):",
		}, httpapi.FingerprintLines(app.authority.DER())...)...)
		t.say("")
	}
	if t.keys {
		t.say("Press Enter for fresh codes, Ctrl+C to stop.")
	} else {
		t.say("Ctrl+C stops the server; start it again for fresh codes.")
	}
}

func (t *terminal) showCodes(app *App) {
	phone := app.Invite(device.Phone)
	t.say("",
		"This computer’s own browser:",
		"  "+app.Invite(device.Desk),
		"",
		"Phones scan this code, or open the address below it:",
		t.qr(phone),
		"  "+phone,
		"",
		fmt.Sprintf("Each works once, within %d minutes.", int(startSecretLife.Minutes())),
	)
	if others := app.Addresses()[1:]; len(others) > 0 {
		t.say("This computer also has: " + strings.Join(others, "  "))
	}
	t.say("")
}

// showMoved says that the network changed.
func (t *terminal) showMoved(addresses []string) {
	lines := []string{"", "The network changed. This computer now has: " + strings.Join(addresses, "  ")}
	if t.keys {
		lines = append(lines, "A phone that doesn’t find it again scans a fresh code: press Enter.")
	}
	t.say(append(lines, "")...)
}

// qr draws the code in half-height blocks. Colours make it dark on light also
// where letters are dark on light; without them it suits a dark terminal.
func (t *terminal) qr(text string) string {
	code, err := qrcode.New(text, qrcode.Medium)
	if err != nil {
		return "  (too long for a code)"
	}
	drawn := strings.TrimRight(code.ToSmallString(false), "\n")
	if !t.colours {
		return drawn
	}
	const whiteOnBlack, plain = "\x1b[97;40m", "\x1b[0m"
	return whiteOnBlack + strings.ReplaceAll(drawn, "\n", plain+"\n"+whiteOnBlack) + plain
}

// showScale says how the scale is whenever that changed.
func (t *terminal) showScale(s livehub.State) {
	var line string
	switch {
	case s.Ask != nil:
		line = "Scale: " + t.question(*s.Ask)
	case s.Problem != nil:
		line = "Scale: " + s.Problem.English()
	case s.Scale.Format != "":
		line = "Scale: " + s.Scale.Name + " weighs, in the format " + s.Scale.Format + ". " + scale.CheckedWords(s.Scale.Checked, time.Now())
	case s.Scale.Name != "":
		line = "Scale: listening to " + s.Scale.Name + "."
	default:
		return // still looking
	}
	t.mu.Lock()
	changed := line != t.scale
	t.scale = line
	t.mu.Unlock()
	if changed {
		t.say(line)
	}
}

// question asks for a unit. The digits are left out: they change, and the phone
// shows them.
func (t *terminal) question(a livehub.Ask) string {
	var units []string
	for _, u := range a.Units {
		units = append(units, string(u))
	}
	text := "it sends numbers without a unit. Which unit does its display show?"
	if dialect.Ask(a.Of) == dialect.AskGr {
		text = "it sends “gr”, which may be gram (g) or grain (gr). Which does its display show?"
	}
	text += " There is no weight until that is known. Answer on a phone or on this computer’s page"
	if t.keys {
		text += ", or type " + strings.Join(units, ", ") + " and press Enter"
	}
	return text + "."
}
