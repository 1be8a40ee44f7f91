package pseudoport

import (
	"bytes"
	"io"
	"runtime"
	"testing"

	"panside/server/serialport"
)

func TestLossyPortLosesWhatNobodyReads(t *testing.T) {
	far, err := Open()
	if err != nil {
		t.Skip(err)
	}
	defer far.Close()
	far.Lossy = true
	line := append(bytes.Repeat([]byte("x"), 63), '\n')
	full := 0
	for range 10_000 { // far more than any buffer holds
		before := unread(far.near)
		if n, err := far.Write(line); n != len(line) || err != nil {
			t.Fatalf("%d, %v", n, err)
		}
		if before > backlog {
			full++
			continue
		}
		for unread(far.near) < before+len(line) { // the kernel hands it over in its own time
			runtime.Gosched()
		}
	}
	if full < 9_000 {
		t.Errorf("only %d lines of 10 000 met a full buffer", full)
	}
	near, err := serialport.Open(t.Context(), far.Name(), serialport.Usual)
	if err != nil {
		t.Fatal(err)
	}
	defer near.Close()
	got := make([]byte, 4)
	if _, err := far.Write([]byte("new!")); err != nil {
		t.Fatal(err)
	}
	if _, err := io.ReadFull(near, got); err != nil || string(got) != "new!" {
		t.Errorf("the listener who came late reads %q, %v", got, err)
	}
}

// Even when the kernel's own buffers are full, a scale goes on.
func TestLossyPortIsNeverStuck(t *testing.T) {
	far, err := Open()
	if err != nil {
		t.Skip(err)
	}
	defer far.Close()
	far.Lossy = true
	if n, err := far.Write(make([]byte, 1<<20)); n != 1<<20 || err != nil {
		t.Errorf("%d, %v", n, err)
	}
}
