package scale_test

import (
	"context"
	"io"
	"log/slog"
	"testing"

	"panside/server/livehub"
	"panside/server/scale"
	"panside/server/scalefeed"
)

// heldOpen is a source whose stream says nothing until it is closed, and tells of both.
type heldOpen struct{ opened, closed chan struct{} }

func (h heldOpen) Open(context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	close(h.opened)
	return h, scalefeed.Info{Name: "held open"}, nil
}

func (h heldOpen) Read([]byte) (int, error) { <-h.closed; return 0, io.EOF }

func (h heldOpen) Write(p []byte) (int, error) { return len(p), nil }

func (h heldOpen) Close() error { close(h.closed); return nil }

// TestWhatRunsBesideEndsLast: the virtual scale, which runs beside the feed, goes on until that has
// let go of it. One that ended as soon as the program stops would look like one that broke off.
func TestWhatRunsBesideEndsLast(t *testing.T) {
	src := heldOpen{make(chan struct{}), make(chan struct{})}
	var beside context.Context
	s := scale.Flow(src, scalefeed.Options{Log: slog.New(slog.DiscardHandler), OnLine: nil}, func(ctx context.Context) { beside = ctx })
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		s.Run(ctx, func(livehub.State) {})
	}()
	<-src.opened
	cancel()
	if beside.Err() != nil {
		t.Error("what runs beside ended with the program, before the scale was let go")
	}
	<-src.closed
	<-done
	if beside.Err() == nil {
		t.Error("what runs beside goes on after the scale was let go")
	}
}
