package main

import (
	"cmp"
	"net"
	"net/netip"
	"slices"
	"strings"
)

// card is one address of one network card.
type card struct {
	name         string
	ip           netip.Addr
	pointToPoint bool
}

// cards lists the addresses of this computer's cards that are up, without
// loopback. A system that doesn't tell gives none.
func cards() []card {
	all, err := net.Interfaces()
	if err != nil {
		return nil
	}
	var list []card
	for _, i := range all {
		if i.Flags&net.FlagUp == 0 || i.Flags&net.FlagLoopback != 0 {
			continue
		}
		addrs, err := i.Addrs()
		if err != nil {
			continue
		}
		for _, a := range addrs {
			if ipNet, ok := a.(*net.IPNet); ok {
				if ip, ok := netip.AddrFromSlice(ipNet.IP); ok {
					list = append(list, card{i.Name, ip.Unmap(), i.Flags&net.FlagPointToPoint != 0})
				}
			}
		}
	}
	return list
}

// addressesOf are the plain addresses of the cards.
func addressesOf(list []card) []netip.Addr {
	ips := make([]netip.Addr, len(list))
	for i, c := range list {
		ips[i] = c.ip
	}
	return ips
}

// outgoing is the address from which this computer would reach the rest of
// the world, the best guess for where the phones are. Connecting a datagram
// socket sends nothing; the address asked about is kept for documentation
// (RFC 5737) and belongs to nobody.
func outgoing() netip.Addr {
	conn, err := net.Dial("udp", "192.0.2.1:9")
	if err != nil {
		return netip.Addr{}
	}
	defer conn.Close()
	if udp, ok := conn.LocalAddr().(*net.UDPAddr); ok {
		return udp.AddrPort().Addr().Unmap()
	}
	return netip.Addr{}
}

// virtualCards begin the names of cards that lead to containers, virtual
// machines and tunnels rather than into the room.
var virtualCards = []string{"docker", "br-", "veth", "virbr", "vmnet", "vboxnet", "lxc", "tun", "tap", "wg", "utun"}

func (c card) isVirtual() bool {
	return c.pointToPoint || slices.ContainsFunc(virtualCards, func(p string) bool { return strings.HasPrefix(c.name, p) })
}

// reachable orders the addresses a phone in the room may reach, the likeliest
// first: the one that leads outside, then other private ones, IPv4 before IPv6
// since it makes a smaller code; cards that lead elsewhere last. Public and
// IPv6 link-local addresses are left out: the certificate can't cover the
// former, and the latter mean nothing without the phone's own card.
func reachable(list []card, out netip.Addr) []netip.Addr {
	rank := func(c card) int {
		switch {
		case c.ip.Is6() && c.ip.IsLinkLocalUnicast(), !c.ip.IsPrivate() && !c.ip.IsLinkLocalUnicast():
			return -1
		case c.isVirtual():
			return 4
		case c.ip.IsLinkLocalUnicast():
			return 3
		case c.ip.Is6():
			return 2
		case c.ip != out:
			return 1
		}
		return 0
	}
	var kept []card
	for _, c := range list {
		if rank(c) >= 0 {
			kept = append(kept, c)
		}
	}
	slices.SortStableFunc(kept, func(a, b card) int { return cmp.Compare(rank(a), rank(b)) })
	return addressesOf(kept)
}
