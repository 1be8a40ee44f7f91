package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"panside/internal/dialect/capture"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/server/replay"
	"panside/server/scalefeed"
)

// TestAScaleIsRecordedUntilItIsStopped, by a real port: the file is whole after
// each piece, and replays.
func TestAScaleIsRecordedUntilItIsStopped(t *testing.T) {
	t.Parallel()
	s := speaks(t, "ST,GS,+   3.11  g\r\n")
	file := filepath.Join(t.TempDir(), "night.log")
	ctx, stop := context.WithCancel(t.Context())
	var out, errOut logText
	code := make(chan int, 1)
	go func() {
		code <- run(ctx, []string{"listen", "--scale", s.Name(), "--record", file}, &stdio{strings.NewReader(""), &out, &errOut})
	}()
	for limit := time.Now().Add(time.Minute); ; {
		if raw, err := os.ReadFile(file); err == nil && len(raw) > 0 { // begun
			c, err := capture.Parse(raw)
			if err != nil {
				t.Fatalf("while it is written: %v\n%s", err, raw)
			}
			if len(c.Chunks) >= 10 {
				break
			}
		}
		if time.Now().After(limit) {
			t.Fatal("nothing was recorded")
		}
		time.Sleep(20 * time.Millisecond) // between looks; nothing else can be waited for
	}
	stop()
	if got := <-code; got != exitGood {
		t.Errorf("exit code %d: %s", got, errOut.String())
	}
	c, err := replay.Load(file)
	if err != nil {
		t.Fatal(err)
	}
	h := c.Header
	if h.Shape != "status-comma" || h.Port != "9600 8N1" || h.Unit != "-" || h.Notes != "a recording of a real scale" || h.Date != time.Now().Format(time.DateOnly) {
		t.Errorf("%+v", h)
	}
	raw, _ := os.ReadFile(file)
	if bytes.Contains(raw, []byte(s.Name())) {
		t.Error("the port's name stands in the file")
	}
	for _, want := range []string{"lines in", "minutes into"} {
		if !strings.Contains(errOut.String(), want) {
			t.Errorf("it says %q", errOut.String())
		}
	}
	// Not a second time over it, unless that is said.
	if got, _, e := call(t, "listen", "--scale", "replay:"+file, "--speed", "0", "--record", file); got != exitBad || !strings.Contains(e, "--overwrite") {
		t.Errorf("exit code %d: %s", got, e)
	}
	if after, _ := os.ReadFile(file); !bytes.Equal(after, raw) {
		t.Error("it was written over")
	}
	again := filepath.Join(t.TempDir(), "again.log")
	if err := os.WriteFile(again, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	if got, _, e := call(t, "listen", "--scale", "replay:"+file, "--speed", "0", "--record", again, "--overwrite"); got != exitGood {
		t.Errorf("exit code %d: %s", got, e)
	}
	if c, err := replay.Load(again); err != nil || c.Header.Notes != "a recording of a replay" {
		t.Errorf("%v %+v", err, c.Header)
	}
}

// TestARecordingTellsHowFarItIsAndBearsLongPauses: the clock is the test's.
func TestARecordingTellsHowFarItIsAndBearsLongPauses(t *testing.T) {
	file := filepath.Join(t.TempDir(), "night.log")
	var said strings.Builder
	r, err := newRecording(file, false, "ct", &said)
	if err != nil {
		t.Fatal(err)
	}
	now := r.begun
	r.now = func() time.Time { return now }
	for range 600 {
		now = now.Add(100*time.Millisecond + 300*time.Microsecond)
		r.add([]byte("3.11\r\n"))
	}
	if !strings.Contains(said.String(), "lines in 1.0 minutes so far.") {
		t.Error(said.String())
	}
	now = now.Add(150 * time.Minute)
	r.add([]byte("3.12\r\n"))
	r.learn(scalefeed.Snapshot{Dialect: "value-only"})
	if err := r.close(); err != nil {
		t.Fatal(err)
	}
	c, err := replay.Load(file)
	if err != nil {
		t.Fatal(err)
	}
	total := time.Duration(0)
	for _, chunk := range c.Chunks {
		total += chunk.After
	}
	if want := now.Sub(r.begun); total < want-time.Millisecond || total > want+time.Millisecond || c.Header.Unit != "ct" || c.Header.Shape != "value-only" {
		t.Errorf("%v long, want %v; %+v", total, want, c.Header)
	}
}

// TestARecordingThatCanNotBeCopiedIsLeftAlone: a copy that failed, as on a full
// disk, must not take the place of the night that was recorded.
func TestARecordingThatCanNotBeCopiedIsLeftAlone(t *testing.T) {
	file := filepath.Join(t.TempDir(), "night.log")
	r, err := newRecording(file, false, "g", &strings.Builder{})
	if err != nil {
		t.Fatal(err)
	}
	r.add([]byte("3.11\r\n"))
	// A folder in its place opens and can't be read.
	if err := errors.Join(os.Remove(file), os.Symlink(t.TempDir(), file)); err != nil {
		t.Skip(err)
	}
	if err := r.close(); err == nil {
		t.Error("nobody is told")
	}
	if kind, err := os.Lstat(file); err != nil || kind.Mode().IsRegular() {
		t.Errorf("it was replaced all the same: %v, %v", kind, err)
	}
}

// TestListenWithoutAScaleLooks: nothing went wrong, so it isn't an error and the
// command ends well.
func TestListenWithoutAScaleLooks(t *testing.T) {
	p := printer{out: &strings.Builder{}, stop: func() {}}
	r := mass.Reading{Status: mass.StatusLooking, Problem: fault.New(fault.NoScale, say.New("port-none"))}
	if p.line(r); p.bad {
		t.Error("looking is taken for an error")
	}
	if got := string(plainLine(r)); !strings.Contains(got, "looking") || strings.Contains(got, "error") {
		t.Error(got)
	}
}
