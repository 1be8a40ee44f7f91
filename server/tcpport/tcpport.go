// Package tcpport reaches a scale through a serial server: a box on the
// network, or another computer, that passes a serial port's bytes on over
// plain TCP.
package tcpport

import (
	"context"
	"errors"
	"net"
	"os"
	"strconv"
	"strings"
	"syscall"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
)

// connectLimit is how long a connection may take. On a home network an answer
// comes within milliseconds or not at all.
const connectLimit = 5 * time.Second

// A box that lost its power says nothing. Keep-alive notices within
// 10 s + 3 × 5 s.
var keepAlive = net.KeepAliveConfig{Enable: true, Idle: 10 * time.Second, Interval: 5 * time.Second, Count: 3}

// Address checks HOST:PORT, as in "scale.local:4001" or "[fe80::1%eth0]:4001".
// Error: fault.BadInput.
func Address(s string) error {
	host, port, err := net.SplitHostPort(s)
	if err != nil || host == "" || strings.ContainsAny(host, "/@ ") {
		return badAddress(s)
	}
	if n, err := strconv.Atoi(port); err != nil || n < 1 || n > 65535 {
		return badAddress(s)
	}
	return nil
}

func badAddress(s string) error {
	return fault.New(fault.BadInput, say.New("network-address", say.Text("given", s)))
}

// Conn is an open connection.
type Conn struct{ tcp net.Conn }

// Dial connects to HOST:PORT, waiting no longer than five seconds or ctx.
// Errors: fault.BadInput, fault.PortMissing.
func Dial(ctx context.Context, address string) (*Conn, error) {
	if err := Address(address); err != nil {
		return nil, err
	}
	d := net.Dialer{Timeout: connectLimit, KeepAliveConfig: keepAlive}
	c, err := d.DialContext(ctx, "tcp", address)
	if err != nil {
		return nil, dialFault(address, err)
	}
	return &Conn{c}, nil
}

func dialFault(address string, err error) error {
	var dns *net.DNSError
	switch {
	case errors.As(err, &dns):
		return fault.Wrap(fault.PortMissing, say.New("network-name", say.Text("address", address)), err)
	case errors.Is(err, syscall.ECONNREFUSED):
		return fault.Wrap(fault.PortMissing, say.New("network-refused", say.Text("address", address)), err)
	}
	return fault.Wrap(fault.PortMissing, say.New("network-unreachable", say.Text("address", address)), err)
}

// Read waits for at least one byte. Errors: os.ErrClosed after Close,
// fault.PortLost when the other side went away.
func (c *Conn) Read(b []byte) (int, error) {
	n, err := c.tcp.Read(b)
	return n, lost(err)
}

// Write sends bytes. Errors as of Read.
func (c *Conn) Write(b []byte) (int, error) {
	n, err := c.tcp.Write(b)
	return n, lost(err)
}

// Close ends the connection and a Read that waits.
func (c *Conn) Close() error { return c.tcp.Close() }

func lost(err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, net.ErrClosed):
		return os.ErrClosed
	}
	return fault.Wrap(fault.PortLost, say.New("port-network-broke-off"), err)
}
