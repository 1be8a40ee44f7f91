package scalefeed

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"panside/internal/dialect"
)

// What is sent to a scale that waits to be asked.
//
// Nobody knows which scale hangs at a silent port, so a command may go there
// only if it asks for the weight in one family and does nothing at all in the
// others. That is made sure of by its bytes, since some scales act on each byte
// as it comes, whatever stands around it:
//
//	sent      asks for the weight in             harmless elsewhere, because
//	W CR      retail and shipping scales         W is weigh wherever it is known; CR ends a line
//	          (manuals)
//	SI CR LF  laboratory balances (manuals)      S is send or status, I is immediate or identify:
//	                                             both only answer
//	Q CR LF   laboratory balances (from memory)  Q is a query, or unknown
//	ENQ       blocks of ISO 1745 and ECMA-16     a control character that asks for a reply and
//	          (from memory)                      holds no command
//	ENQ DC1   scales that first acknowledge      DC1 is XON, by which a sender goes on: with
//	          (issue thread of a serial library) XON/XOFF or without, it changes no setting
//	w CR      bench scales with single small     as W CR, in small letters
//	          letters (from memory)
//	S CR LF   balances without SI (manuals)      as SI; one protocol (from memory) repeats its
//	                                             weight from then on at S CR behind a line feed,
//	                                             so it isn't sent where W got an answer
//
// Between them goes CR LF: scales that end a command with both would take the
// next one for the rest of this. Where each ends a command it is an empty one.
//
// Never sent to a silent port, for what they do in some family (manuals and from
// memory):
//
//	T t  tare                     Z z  zero
//	P p  print; on or off         R r  zero again ("re-zero"), in others read
//	G g  gross and net change     N n  net; unit
//	C c  continuous; clear; off   U u  unit
//	M m  mode; memory             K k  keys locked
//	O o  on; off; tare            B b  backlight; beep
//	E e  end; error reset         X x  switch off; restart
//	L l  lock; limit              H h  hold; high resolution, which stays
//	A a  auto-off; adjust         D d  display test
//	F f  function key             V v  set a value
//	J j  adjust                   Y y  confirm a question on the display
//	ESC  begins tare, zero, key and print commands
//	STX EOT SOH DLE  begin a transfer in which a price or tare may be set
//	BEL BS DEL  a beep; cancel    DC2 DC3 DC4  printer; stop sending
//	digits  set a tare, a limit, a choice in a menu
//
// So a scale that knows R, G or a print command only can't be found by itself;
// its format can be picked by hand.
var harmless = []command{
	{send: []byte("W\r"), at: usualAt("9600 8N1, 9600 7E1, 2400 7E1, 4800 8N1, 4800 7E1, 1200 7E1")},
	{send: []byte("SI\r\n"), at: usualAt("9600 8N1, 2400 7E1, 9600 7E1, 4800 8N1, 1200 7O1, 2400 7N2, 9600 7O1, 19200 8N1")},
	{send: []byte("Q\r\n"), at: usualAt("2400 7E1, 9600 8N1, 9600 7E1, 4800 8N1")},
	{send: []byte{enq}, at: usualAt("9600 8N1, 9600 7E1, 4800 7E1, 2400 7E1")},
	{send: []byte{enq, dc1}, at: usualAt("9600 8N1, 9600 7E1")},
	{send: []byte("w\r"), at: usualAt("9600 8N1")},
	{send: []byte("S\r\n"), at: usualAt("9600 8N1, 2400 7E1, 9600 7E1, 4800 8N1"), onlyUnanswered: true},
}

// afterRefusal asks for the weight as it is now in a family whose other
// commands print, and holds a P. It is sent only to a scale that has answered
// "SI" with a single ES, which is how that family refuses a line (manuals): so
// it reads whole lines and doesn't act on single letters, of which it would have
// refused two.
var afterRefusal = command{send: []byte("IP\r\n")}

const (
	enq = 0x05
	ack = 0x06
	dc1 = 0x11
)

// withoutAck takes the word off that a scale understood ENQ, where it comes
// before the weight.
func withoutAck(command, data []byte) []byte {
	if len(command) == 2 && command[0] == enq && len(data) > 0 && data[0] == ack {
		return data[1:]
	}
	return data
}

// command asks for a weight.
type command struct {
	send []byte
	at   []dialect.Settings // line settings usual with scales that take it
	// onlyUnanswered reports whether it isn't sent where another has been answered.
	onlyUnanswered bool
}

func usualAt(list string) (all []dialect.Settings) {
	for one := range strings.SplitSeq(list, ", ") {
		var s dialect.Settings
		if _, err := fmt.Sscan(one, &s.Baud, &s.Framing); err != nil {
			panic(err) // any test finds it
		}
		all = append(all, s)
	}
	return all
}

// commands are those that may be sent to a scale read with these options: of a
// format that the person picked its own, since there they know the scale.
func commands(o dialect.Options) []command {
	switch {
	case o.Pattern != nil:
		return nil
	case o.Dialect == "":
		return harmless
	}
	d, ok := dialect.ByName(o.Dialect)
	if !ok || d.Poll == nil {
		return nil
	}
	own := []command{{send: d.Poll, at: d.Settings}}
	for _, c := range harmless {
		if bytes.Equal(c.send, d.Poll) {
			own[0].at = unique(append(slices.Clone(d.Settings), c.at...))
		}
	}
	return own
}

var lineEnd = []byte("\r\n")

// lineCommand is the only command longer than one letter.
var lineCommand = []byte("SI\r\n")

// refusal reports whether an answer says that a command wasn't understood, and
// nothing else.
func refusal(answer []byte) bool {
	words := wordsOf(answer)
	return len(words) > 0 && !slices.ContainsFunc(words, func(w string) bool { return w != "ES" && w != "?" && w != "\x15" })
}

// lineRefused reports whether a line was refused as a whole, by a scale that reads
// lines.
func lineRefused(answer []byte) bool { return slices.Equal(wordsOf(answer), []string{"ES"}) }

func wordsOf(answer []byte) []string {
	return strings.FieldsFunc(string(answer), func(r rune) bool { return strings.ContainsRune(" \r\n\x02\x03", r) })
}
