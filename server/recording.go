package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strconv"
	"strings"
	"time"

	"panside/internal/dialect/capture"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/server/durable"
	"panside/server/scalefeed"
)

const (
	// syncEvery is how often a recording is put onto the disk for good.
	syncEvery = 10 * time.Second
	// tellEvery is how often the person hears how far it is.
	tellEvery = time.Minute
	// longestPause is what a capture allows before one piece of data.
	longestPause = time.Hour
)

// recording writes what a scale sends into a capture file, piece by piece as it
// arrives, so that the file is whole at every moment. It is used by one
// goroutine at a time.
type recording struct {
	file *os.File
	name string
	say  io.Writer
	now  func() time.Time

	header capture.Header
	begun  time.Time
	last   time.Time // of the newest piece
	synced time.Time
	told   time.Time
	lines  int
	err    error // the first one of writing; nothing is written after it
}

// newRecording makes the file. Error: fault.BadInput if it is there already and
// isn't to be replaced, or can't be made.
func newRecording(name string, replace bool, unit mass.Unit, out io.Writer) (*recording, error) {
	how := os.O_WRONLY | os.O_CREATE | os.O_EXCL
	if replace {
		how = os.O_WRONLY | os.O_CREATE | os.O_TRUNC
	}
	file, err := os.OpenFile(name, how, 0o644)
	switch {
	case errors.Is(err, fs.ErrExist):
		return nil, fault.Wrap(fault.BadInput, say.New("recording-there", say.Text("file", name)), err)
	case err != nil:
		return nil, fault.Wrap(fault.BadInput, say.New("recording-unwritable", say.Text("file", name)), err)
	}
	r := &recording{file: file, name: name, say: out, now: time.Now}
	r.begun = r.now()
	r.last, r.synced, r.told = r.begun, r.begun, r.begun
	r.header = capture.Header{
		Shape: "unknown", Firmware: "-", Date: r.begun.Format(time.DateOnly), Port: "-", Unit: "-",
		Notes: "a recording of a real scale",
	}
	if unit != "" {
		r.header.Unit = string(unit)
	}
	r.write(capture.Capture{Header: r.header}.Bytes())
	return r, r.err
}

// add takes bytes as they arrived.
func (r *recording) add(data []byte) {
	now := r.now()
	c := capture.Capture{}
	pause := now.Sub(r.last)
	for ; pause > longestPause; pause -= longestPause {
		c.Chunks = append(c.Chunks, capture.Chunk{After: longestPause})
	}
	c.Chunks = append(c.Chunks, capture.Chunk{After: pause.Round(time.Millisecond), Bytes: data})
	_, pieces, _ := bytes.Cut(c.Bytes(), []byte("\n\n"))
	r.write(pieces)
	r.last = r.last.Add(now.Sub(r.last).Round(time.Millisecond))
	r.lines += bytes.Count(data, []byte{'\n'})
	if r.lines == 0 { // lines that end in CR alone
		r.lines += bytes.Count(data, []byte{'\r'})
	}
	if now.Sub(r.synced) >= syncEvery && r.err == nil {
		r.synced, r.err = now, r.file.Sync()
	}
	if now.Sub(r.told) >= tellEvery {
		r.told = now
		fmt.Fprintln(r.say, r.soFar()+" so far.")
	}
}

func (r *recording) write(b []byte) {
	if r.err == nil {
		_, r.err = r.file.Write(b)
	}
}

func (r *recording) soFar() string {
	minutes := strconv.FormatFloat(r.last.Sub(r.begun).Minutes(), 'f', 1, 64)
	return "Recorded " + strconv.Itoa(r.lines) + " lines in " + minutes + " minutes"
}

// learn notes what is known of the scale by now. Neither its name nor where it
// is connected goes into the file.
func (r *recording) learn(s scalefeed.Snapshot) {
	if s.Dialect != "" {
		r.header.Shape = s.Dialect
	}
	if s.Info.PortSettings != "" {
		r.header.Port = s.Info.PortSettings
	}
	switch s.Info.Kind {
	case scalefeed.Virtual:
		r.header.Firmware, r.header.Notes = "invented", "a recording of the virtual scale"
	case scalefeed.Replay:
		r.header.Notes = "a recording of a replay"
	}
}

// close ends the file and puts what was learnt into its header.
func (r *recording) close() error {
	err := errors.Join(r.err, r.file.Close())
	if err == nil {
		err = r.finish()
	}
	if err != nil {
		return fault.Wrap(fault.BadInput, say.New("recording-broke-off", say.Text("file", r.name)), err)
	}
	fmt.Fprintln(r.say, r.soFar()+" into "+r.name+".")
	if r.lines == 0 {
		fmt.Fprintln(r.say, "Nothing came that could be recorded: a scale that sends no lines, such as a USB weighing device, can’t be.")
	} else {
		fmt.Fprintln(r.say, "Write down beside it what was put on and when; testdata/courses/README.md says how.")
	}
	return nil
}

// finish replaces the header, by a new file that takes the place of the old one.
func (r *recording) finish() error {
	old, err := os.Open(r.name)
	if err != nil {
		return err
	}
	defer old.Close()
	return durable.Write(r.name, 0o644, func(w io.Writer) error {
		if _, err := w.Write(capture.Capture{Header: r.header}.Bytes()); err != nil {
			return err
		}
		return copyAfterHeader(w, old)
	})
}

// copyAfterHeader copies what stands behind the first empty line.
func copyAfterHeader(to io.Writer, from *os.File) error {
	head := make([]byte, 4096) // more than any header
	n, err := io.ReadFull(from, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return err
	}
	_, rest, _ := strings.Cut(string(head[:n]), "\n\n")
	if _, err := io.WriteString(to, rest); err != nil {
		return err
	}
	_, err = io.Copy(to, from)
	return err
}
