package pseudoport_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"testing"

	"panside/internal/fault"
	"panside/server/pseudoport"
	"panside/server/serialport"
)

func pair(t *testing.T) (*pseudoport.Port, *serialport.Port) {
	t.Helper()
	far, err := pseudoport.Open()
	if err != nil {
		t.Skip(err)
	}
	t.Cleanup(func() { far.Close() })
	near, err := serialport.Open(context.Background(), far.Name(), serialport.Usual)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { near.Close() })
	return far, near
}

func TestEveryByteValuePassesBothWays(t *testing.T) {
	far, near := pair(t)
	all := make([]byte, 256)
	for i := range all {
		all[i] = byte(i)
	}
	for _, way := range []struct {
		from io.Writer
		to   io.Reader
	}{{far, near}, {near, far}} {
		if _, err := way.from.Write(all); err != nil {
			t.Fatal(err)
		}
		got := make([]byte, len(all))
		if _, err := io.ReadFull(way.to, got); err != nil || !bytes.Equal(got, all) {
			t.Fatalf("got %q, %v", got, err)
		}
	}
}

func TestClosingEndsARead(t *testing.T) {
	far, _ := pair(t)
	done := make(chan error, 1)
	go func() { _, err := far.Read(make([]byte, 1)); done <- err }()
	far.Close()
	if err := <-done; !errors.Is(err, io.EOF) {
		t.Errorf("got %v, want io.EOF", err)
	}
}

func TestPulledCableIsSeenAndTheNameIsGone(t *testing.T) {
	far, near := pair(t)
	if _, err := os.Stat(far.Name()); err != nil {
		t.Fatal(err)
	}
	far.Close()
	far.Close() // again: nothing happens
	_, err := near.Read(make([]byte, 1))
	if err == nil || fault.Of(err).Code != fault.PortLost {
		t.Errorf("got %v, want the fault port-lost", err)
	}
	if _, err := far.Write([]byte("x")); err == nil {
		t.Error("a pulled cable takes bytes")
	}
	if _, err := far.Read(make([]byte, 1)); !errors.Is(err, io.EOF) {
		t.Errorf("reading from a pulled cable gives %v", err)
	}
	// The number can't be given to anybody else while near holds its end.
	_, err = serialport.Open(t.Context(), far.Name(), serialport.Usual)
	if err == nil || fault.Of(err).Code != fault.PortMissing {
		t.Errorf("opening it again gives %v, want the fault port-missing", err)
	}
}
