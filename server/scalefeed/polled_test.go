package scalefeed_test

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"panside/internal/dialect"
	"panside/server/pseudoport"
	"panside/server/scalefeed"
)

// polled is a scale that speaks only when asked. It hears nothing but what is
// sent under its own line settings, and takes harm from what tares, zeroes,
// prints or sets it.
type polled struct {
	name    string
	own     string
	ends    string            // of its commands; "" acts on each byte
	reads   map[string]string // answers
	harms   string            // commands that do something, separated by blanks
	refuses string            // what it says to anything else

	heard []byte
	harm  []string
}

// hear takes bytes and gives the answer.
func (p *polled) hear(data []byte) string {
	answer := ""
	for _, b := range data {
		p.heard = append(p.heard, b)
		command := ""
		switch {
		case p.reads[string(b)] != "" && b < ' ': // control characters count at once
			command = string(b)
		case p.ends == "":
			command = string(b)
		case bytes.HasSuffix(p.heard, []byte(p.ends)):
			command = strings.TrimLeft(strings.TrimSuffix(string(p.heard), p.ends), "\r\n\x05\x11")
			if command == "" {
				p.heard = nil
				continue
			}
		default:
			continue
		}
		p.heard = nil
		switch reply := p.reads[command]; {
		case reply != "":
			answer += reply
		case slices.Contains(strings.Fields(p.harms), command):
			p.harm = append(p.harm, command)
		case command >= " ":
			answer += p.refuses
		}
	}
	return answer
}

const (
	stable  = "S S       3.11 g\r\n"
	printed = "       3.11 g     \r\n"
)

// polledScales are shapes as the manuals, library sources and issue threads of
// scale-lines.tsv show them, completed from memory.
func polledScales() []*polled {
	ack := map[string]string{"\x05": "\x06", "\x11": framed("3.11")}
	return []*polled{
		{name: "retail, 7E1", own: "9600 7E1", ends: "\r", reads: map[string]string{"W": "\n    3.11G\r\nS00\r\x03"}, harms: "Z T H C", refuses: "\n?\r\x03"},
		{name: "retail, silent to the rest", own: "2400 7E1", ends: "\r", reads: map[string]string{"W": "\n    3.11G\r\nS00\r\x03"}, harms: "Z T P SI Q"},
		{name: "retail, single bytes", own: "1200 7E1", reads: map[string]string{"W": "\n    3.11G\r\nS00\r\x03"}, harms: "T Z P C H A B"},
		{name: "two letters", own: "9600 8N1", ends: "\r\n", reads: map[string]string{"SI": stable, "S": stable}, harms: "T TI Z ZI @ P K M20", refuses: "ES\r\n"},
		{name: "two letters, 7E1", own: "2400 7E1", ends: "\r\n", reads: map[string]string{"SI": stable}, harms: "T Z P R U W Q"},
		{name: "two letters, 7O1", own: "1200 7O1", ends: "\r\n", reads: map[string]string{"SI": stable}, harms: "T Z P"},
		{name: "two letters, a speed nobody sets", own: "38400 7O1", ends: "\r\n", reads: map[string]string{"SI": stable}, harms: "T Z P", refuses: "ES\r\n"},
		{name: "S alone", own: "9600 8N1", ends: "\r\n", reads: map[string]string{"S": stable}, harms: "T Z P", refuses: "ES\r\n"},
		{name: "two letters, repeated", own: "9600 8N1", ends: "\r\n", reads: map[string]string{"SI": "SI          3.11 g  \r\n"}, harms: "T Z P ST UT OT", refuses: "ES\r\n"},
		{name: "query", own: "2400 7E1", ends: "\r\n", reads: map[string]string{"Q": "ST,+00003.11   g\r\n"}, harms: "T Z R P PRT ON OFF U C SIR", refuses: "?\r\n"},
		{name: "query, 4800", own: "4800 8N1", ends: "\r\n", reads: map[string]string{"Q": "ST,+00003.11   g\r\n"}, harms: "T Z R P PRT ON OFF U C SIR", refuses: "EC,E01\r\n"},
		{name: "blocks", own: "4800 7E1", reads: map[string]string{"\x05": framed("3.11")}, harms: "T Z P R"},
		{name: "blocks, acknowledged first", own: "9600 8N1", reads: ack, harms: "T Z P R"},
		{name: "print words", own: "9600 8N1", ends: "\r\n", reads: map[string]string{"IP": printed}, harms: "P T Z CP SP AP PU 0P", refuses: "ES\r\n"},
		{name: "print words, 7N2", own: "2400 7N2", ends: "\r\n", reads: map[string]string{"IP": printed}, harms: "P T Z CP SP AP PU 0P", refuses: "ES\r\n"},
		{name: "small letters", own: "9600 8N1", reads: map[string]string{"w": printed, "s": printed}, harms: "t z p T Z P"},
		{name: "single letters", own: "4800 8N1", reads: map[string]string{"W": printed}, harms: "T Z P R G N U"},

		// These can't be asked without the risk to tare or print another.
		{name: "R alone", own: "9600 8N1", reads: map[string]string{"R": printed}, harms: "T Z P G N K"},
		{name: "P alone", own: "9600 8N1", harms: "T Z P R G N U C E M I0"},
		{name: "bytes, each refused", own: "9600 8N1", harms: "T Z P R", refuses: "ES\r\n"},
		{name: "bytes, refused with a mark", own: "9600 8N1", harms: "T Z P R", refuses: "?\r\n"},
		{name: "escape", own: "1200 7O1", ends: "\r\n", reads: map[string]string{"\x1bP": "+     3.11 g  \r\n"}, harms: "\x1bT \x1bZ T Z P"},
		// It repeats its weight from S CR on, behind a line feed.
		{name: "between line feed and return", own: "9600 8N1", ends: "\r", reads: map[string]string{"W": "\n  1G        3.11g  \r"}, harms: "T Z P S R U", refuses: "\n?\r"},
	}
}

// cannotBeAsked is how many these are.
const cannotBeAsked = 6

func framed(value string) string {
	d, _ := dialect.ByName("framed-xor")
	return string(d.Format(quantity(value), "stable"))
}

func TestPolledScalesAreReadAndNoneIsHarmed(t *testing.T) {
	all := polledScales()
	for i, p := range all {
		synctest.Test(t, func(t *testing.T) {
			d := serialDevice("/dev/ttyUSB0", 0, "")
			fmt.Sscan(p.own, &d.own.Baud, &d.own.Framing)
			d.mind = p.hear
			b := run(t, finderOf(nil, d), scalefeed.Options{})
			took := b.until(8*time.Minute, func(s scalefeed.Snapshot) bool { return s.Reading.HasValue })
			now := b.after(20 * time.Second)
			found := now.Reading.Quantity.String() == "3.11 g" && now.Problem == nil && now.Info.PortSettings == p.own
			if found != (i < len(all)-cannotBeAsked) {
				t.Errorf("%s: found %v after %v: %+v", p.name, found, took, now)
			}
			if len(p.harm) > 0 {
				t.Errorf("%s: it was sent %q", p.name, p.harm)
			}
			if found && took > time.Minute && d.own.Baud < 38400 {
				t.Errorf("%s: found after %v only", p.name, took)
			}
			t.Logf("%-30s %s: read %v after %v", p.name, p.own, found, took)
		})
	}
}

// TestNothingHarmfulIsEverSent at a silent port, whatever the settings, in an
// hour.
func TestNothingHarmfulIsEverSent(t *testing.T) {
	for _, insist := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			d := serialDevice("/dev/ttyUSB0", 300, "8N1")
			f := finderOf(nil, d)
			f.Insist = insist
			b := run(t, f, scalefeed.Options{})
			b.after(time.Hour)
			for _, sent := range d.asked() {
				if strings.Trim(sent, "WSIQw\r\n\x05\x11") != "" {
					t.Fatalf("%q was sent", sent)
				}
			}
			if n := len(d.asked()); n == 0 || n > 5000 {
				t.Errorf("%d commands in an hour", n)
			}
		})
	}
}

// TestAPortOfWhichAllIsGivenIsAskedAsCarefully: it is asked by its session, and
// no scale that acts on single bytes, or answers with a mark, gets a P.
func TestAPortOfWhichAllIsGivenIsAskedAsCarefully(t *testing.T) {
	for answer, wantP := range map[string]bool{"ES\r\n": true, "ES\r\nES\r\n": false, "?\r\n": false, "": false} {
		synctest.Test(t, func(t *testing.T) {
			s := newStream()
			s.reply = func(command string) []byte {
				if command == "SI\r\n" && answer != "" {
					return []byte(answer)
				}
				return nil
			}
			b := run(t, newSource(s), scalefeed.Options{})
			b.after(5 * time.Minute)
			sent := strings.Join(s.commands(), "")
			if strings.Contains(sent, "IP\r\n") != wantP || strings.Trim(strings.ReplaceAll(sent, "IP\r\n", ""), "WSIQw\r\n\x05\x11") != "" {
				t.Errorf("%q: sent %q", answer, sent)
			}
		})
	}
}

// TestAPolledScaleBehindAPseudoTerminal is asked and read over a real port.
func TestAPolledScaleBehindAPseudoTerminal(t *testing.T) {
	t.Parallel()
	for _, p := range polledScales() {
		if p.own != "9600 8N1" || len(p.reads) == 0 || p.name == "R alone" || strings.HasPrefix(p.name, "between") {
			continue
		}
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			far, err := pseudoport.Open()
			if err != nil {
				t.Skip(err)
			}
			defer far.Close()
			go func() {
				buf := make([]byte, 64)
				for {
					n, err := far.Read(buf)
					if err != nil {
						return
					}
					if answer := p.hear(buf[:n]); answer != "" {
						_, _ = io.WriteString(far, answer)
					}
				}
			}()
			wantFound(t, far.Name(), func(s scalefeed.Snapshot) bool { return s.Reading.Quantity.String() == "3.11 g" })
		})
	}
}

// wantFound lets a finder look at a real port until a state is as wanted.
func wantFound(t *testing.T, name string, ok func(scalefeed.Snapshot) bool) {
	t.Helper()
	f := scalefeed.New(&scalefeed.Finder{Candidates: func() []scalefeed.Candidate { return []scalefeed.Candidate{portAt(name)} }}, scalefeed.Options{})
	found := make(chan struct{})
	once := false
	f.Subscribe(func(s scalefeed.Snapshot) {
		if ok(s) && !once {
			once = true
			close(found)
		}
	})
	runInBackground(t, f)
	select {
	case <-found:
	case <-time.After(time.Minute):
		t.Fatalf("not found; the last state is %+v", f.Latest())
	}
}
