package main

import (
	"context"
	"io"
	"net"
	"net/netip"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"panside/server/mdns"
)

// lookAtCards is how often the network cards are looked at. No system tells of
// a change in a way that works on all of them.
const lookAtCards = 5 * time.Second

// network is what the App knows of the network around it. Tests replace the
// functions before Start.
type network struct {
	cards    func() []card
	outgoing func() netip.Addr
	announce func(mdns.Options) (io.Closer, error) // answers for the .local name
	looks    <-chan time.Time                      // when to look at the cards; nil for every lookAtCards

	mu        sync.Mutex
	answering io.Closer // nil while nobody answers for the .local name
}

func newNetwork() network {
	return network{
		cards:    cards,
		outgoing: outgoing,
		announce: func(opt mdns.Options) (io.Closer, error) {
			r, err := mdns.Start(opt)
			if err != nil {
				return nil, err // not a nil *Responder in an interface
			}
			return r, nil
		},
	}
}

// follow keeps to the cards until ctx ends: a laptop changes its network, or
// gets another address in the same one. It begins with the cards as they were
// before.
func (a *App) follow(ctx context.Context, before []card) {
	looks := a.network.looks
	if looks == nil {
		tick := time.NewTicker(lookAtCards)
		defer tick.Stop()
		looks = tick.C
	}
	for {
		select {
		case <-ctx.Done():
			a.forgetName()
			return
		case <-looks:
		}
		now := a.network.cards()
		if slices.Equal(before, now) {
			continue
		}
		before = now
		a.settleIn(ctx, now)
		addresses := a.Addresses()
		a.log.Info("the network changed", "addresses", addresses)
		if a.Moved != nil {
			a.Moved(addresses)
		}
	}
}

// settleIn announces the .local name on these cards, and keeps the server's
// addresses among those that pages may come from: both change when a network does.
func (a *App) settleIn(ctx context.Context, list []card) {
	a.forgetName()
	if opt, ok := a.nameOn(list); ok {
		r, err := a.network.announce(opt)
		if err != nil {
			// Everything else works; phones use the plain addresses.
			a.log.Warn("no .local name: "+opt.Name+" can’t be answered for", "cause", err)
		} else {
			a.network.mu.Lock()
			a.network.answering = r
			a.network.mu.Unlock()
		}
	}
	for _, address := range a.Addresses() {
		a.origins.Learn(ctx, address)
	}
}

// nameOn tells how to answer for the .local name: on the cards that lead into
// the room and on which the server listens. Not with a certificate that the
// user brought, which isn't for that name, and not when there is no such card.
func (a *App) nameOn(list []card) (opt mdns.Options, ok bool) {
	at, isTCP := a.ln.Addr().(*net.TCPAddr)
	if !isTCP || a.ownCert {
		return mdns.Options{}, false
	}
	ip := at.AddrPort().Addr().Unmap().WithZone("")
	opt = mdns.Options{Name: a.cfg.LocalName(), IPv6: ip.Is6(), Log: a.log}
	if !ip.IsUnspecified() {
		opt.Address = ip
	}
	for _, c := range list {
		if c.isVirtual() || opt.Address.IsValid() && c.ip != ip {
			continue
		}
		i, err := net.InterfaceByName(c.name)
		if err != nil || slices.ContainsFunc(opt.Cards, func(o net.Interface) bool { return o.Index == i.Index }) {
			continue // gone again, or its second address
		}
		opt.Cards = append(opt.Cards, *i)
	}
	return opt, len(opt.Cards) > 0
}

// forgetName stops answering for the .local name.
func (a *App) forgetName() {
	a.network.mu.Lock()
	r := a.network.answering
	a.network.answering = nil
	a.network.mu.Unlock()
	if r != nil {
		if err := r.Close(); err != nil {
			a.log.Warn("can’t stop answering for the .local name", "cause", err)
		}
	}
}

// Addresses are the server's own, as a phone can use them, the likeliest
// first; never empty. The .local names come last: not every phone can look them
// up, but they stay when the others change. A name the user gave is taken on
// trust; one outside .local isn't offered, since the authority may not sign it.
func (a *App) Addresses() []string {
	at, _ := a.ln.Addr().(*net.TCPAddr)
	var hosts []string
	for _, n := range a.certNames {
		if !strings.HasPrefix(n, "*") {
			hosts = append(hosts, n)
		}
	}
	if ip := at.AddrPort().Addr().Unmap(); !ip.IsUnspecified() {
		hosts = append(hosts, ip.WithZone("").String())
	} else {
		for _, ip := range reachable(a.network.cards(), a.network.outgoing()) {
			hosts = append(hosts, ip.String())
		}
	}
	for _, n := range a.cfg.FurtherNames() {
		if strings.HasSuffix(n, ".local") && !a.ownCert && !slices.Contains(hosts, n) {
			hosts = append(hosts, n)
		}
	}
	a.network.mu.Lock()
	if n := a.cfg.LocalName(); a.network.answering != nil && !slices.Contains(hosts, n) {
		hosts = append(hosts, n)
	}
	a.network.mu.Unlock()
	if len(hosts) == 0 {
		hosts = []string{"localhost"} // no network: at least this computer's own browser
	}
	urls := make([]string, len(hosts))
	for i, h := range hosts {
		urls[i] = webAddress(h, at.Port)
	}
	return urls
}

// TrustAddress is the page that hands out the authority's certificate, over
// plain HTTP, at the likeliest of Addresses.
func (a *App) TrustAddress() string {
	likeliest, err := url.Parse(a.Addresses()[0])
	at, ok := a.ln.Addr().(*net.TCPAddr)
	if err != nil || !ok {
		return "" // never: both are made here
	}
	return "http://" + net.JoinHostPort(likeliest.Hostname(), strconv.Itoa(at.Port)) + "/"
}

// webAddress writes an address as browsers write an origin: without the port
// that HTTPS has anyway.
func webAddress(host string, port int) string {
	if port == 443 {
		if strings.Contains(host, ":") {
			host = "[" + host + "]"
		}
		return "https://" + host
	}
	return "https://" + net.JoinHostPort(host, strconv.Itoa(port))
}
