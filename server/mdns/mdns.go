// Package mdns answers for the server's .local name on the home network
// (RFC 6762), so that phones find the laptop whatever address it got today. It
// answers for that one name and lists no services.
package mdns

import (
	"errors"
	"log/slog"
	"net"
	"net/netip"

	"github.com/pion/mdns/v2"
	"golang.org/x/net/dns/dnsmessage"
	"golang.org/x/net/ipv4"
	"golang.org/x/net/ipv6"
)

// lifeSeconds is how long others may remember an answer. RFC 6762, 10,
// recommends 120 for addresses; the library sends no word of its own when one
// changes, so a shorter life is what makes phones ask again in time.
const lifeSeconds = 30

// Options say what to answer.
type Options struct {
	Name string // such as panside-kitchen.local
	// Address is the one given out. The zero Addr gives each network card's
	// own to those who ask on it.
	Address netip.Addr
	IPv6    bool            // the server listens there too
	Cards   []net.Interface // those to answer on; the ones that are down are left out
	Log     *slog.Logger
}

// Responder answers until it is closed.
type Responder struct {
	conn *mdns.Conn
}

// Start begins to answer beside whatever else on this computer does. Error:
// the port can't be had, or no card takes part.
func Start(opt Options) (*Responder, error) {
	if len(opt.Cards) == 0 {
		return nil, errors.New("no network card takes part") // the library would take all
	}
	v4, err4 := listen("udp4", mdns.DefaultAddressIPv4)
	v6, err6 := listen("udp6", mdns.DefaultAddressIPv6)
	if v4 == nil && v6 == nil {
		return nil, errors.Join(err4, err6)
	}
	return start(opt, v4, v6)
}

// listen opens the shared port. The library's addresses are multicast ones,
// which is what makes the system share it.
func listen(network, address string) (net.PacketConn, error) {
	at, err := net.ResolveUDPAddr(network, address)
	if err != nil {
		return nil, err
	}
	conn, err := net.ListenUDP(network, at)
	if err != nil {
		return nil, err // not a nil *UDPConn in an interface
	}
	return conn, nil
}

// start answers on one or two connections, which it closes.
func start(opt Options, v4, v6 net.PacketConn) (*Responder, error) {
	var p4 *ipv4.PacketConn
	var p6 *ipv6.PacketConn
	if v4 != nil {
		p4 = ipv4.NewPacketConn(v4)
	}
	if v6 != nil {
		p6 = ipv6.NewPacketConn(v6)
	}
	types := []dnsmessage.Type{dnsmessage.TypeA}
	if opt.IPv6 {
		types = append(types, dnsmessage.TypeAAAA)
	}
	conn, err := mdns.NewServer(p4, p6,
		mdns.WithName("panside"),
		mdns.WithLocalNames(opt.Name),
		mdns.WithLocalAddress(opt.Address.AsSlice()), // none for the zero Addr
		mdns.WithInterfaces(opt.Cards...),
		mdns.WithIncludeLoopback(true), // whoever names the cards decides; also lets this computer's own programs hear
		mdns.WithRecordTypes(types...),
		mdns.WithResponseTTL(lifeSeconds),
		mdns.WithCacheRefresh(false),
		mdns.WithLoggerFactory(quiet{opt.Log}),
	)
	if err != nil {
		return nil, errors.Join(err, closeAll(v4, v6))
	}
	return &Responder{conn}, nil
}

func closeAll(conns ...net.PacketConn) error {
	var errs []error
	for _, c := range conns {
		if c != nil {
			errs = append(errs, c.Close())
		}
	}
	return errors.Join(errs...)
}

// Close stops answering.
func (r *Responder) Close() error { return r.conn.Close() }
