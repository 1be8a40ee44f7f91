package tcpport_test

import (
	"context"
	"errors"
	"io"
	"net"
	"os"
	"testing"

	"panside/internal/fault"
	"panside/server/tcpport"
)

// server stands for a serial server and hands out each connection.
func server(t *testing.T) (address string, connections <-chan net.Conn) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	accepted := make(chan net.Conn, 1)
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			accepted <- c
		}
	}()
	return l.Addr().String(), accepted
}

func TestBytesGoBothWaysUntilTheOtherSideLeaves(t *testing.T) {
	address, connections := server(t)
	c, err := tcpport.Dial(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	far := <-connections
	if _, err := io.WriteString(far, "ST,GS,+   3.11  g\r\n"); err != nil {
		t.Fatal(err)
	}
	got := make([]byte, 19)
	if _, err := io.ReadFull(c, got); err != nil || string(got) != "ST,GS,+   3.11  g\r\n" {
		t.Fatalf("read %q, %v", got, err)
	}
	if _, err := io.WriteString(c, "Q\r\n"); err != nil {
		t.Fatal(err)
	}
	got = make([]byte, 3)
	if _, err := io.ReadFull(far, got); err != nil || string(got) != "Q\r\n" {
		t.Fatalf("the scale got %q, %v", got, err)
	}
	far.Close()
	if _, err := c.Read(got); err == nil || fault.Of(err).Code != fault.PortLost {
		t.Errorf("the other side left: got %v, want the fault port-lost", err)
	}
}

func TestOwnCloseIsNoFault(t *testing.T) {
	address, connections := server(t)
	c, err := tcpport.Dial(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	far := <-connections
	defer far.Close()
	done := make(chan error, 1)
	go func() { _, err := c.Read(make([]byte, 1)); done <- err }()
	c.Close()
	if err := <-done; !errors.Is(err, os.ErrClosed) {
		t.Errorf("got %v, want os.ErrClosed", err)
	}
}

func TestNobodyThere(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := l.Addr().String()
	l.Close()
	_, err = tcpport.Dial(t.Context(), address)
	if err == nil || fault.Of(err).Code != fault.PortMissing {
		t.Errorf("got %v, want the fault port-missing", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = tcpport.Dial(ctx, address)
	if err == nil || fault.Of(err).Code != fault.PortMissing {
		t.Errorf("given up: got %v, want the fault port-missing", err)
	}
}

func TestAddress(t *testing.T) {
	for _, good := range []string{"192.168.1.20:4001", "scale.local:23", "[::1]:4001", "[fe80::1%eth0]:4001"} {
		if err := tcpport.Address(good); err != nil {
			t.Errorf("%s: %v", good, err)
		}
	}
	for _, bad := range []string{"", "scale", ":4001", "scale:", "scale:0", "scale:70000", "scale:http", "u@scale:1", "scale/x:1", "::1:4001x"} {
		err := tcpport.Address(bad)
		if err == nil || fault.Of(err).Code != fault.BadInput {
			t.Errorf("%q: got %v, want the fault bad-input", bad, err)
		}
		if _, dialErr := tcpport.Dial(t.Context(), bad); dialErr == nil {
			t.Errorf("%q was dialled", bad)
		}
	}
}
