package main

import (
	"net/netip"
	"slices"
	"testing"
)

func TestReachableOrdersByLikelihood(t *testing.T) {
	list := []card{
		{"docker0", netip.MustParseAddr("172.17.0.1"), false},
		{"eth0", netip.MustParseAddr("fe80::1"), false},
		{"eth0", netip.MustParseAddr("2001:db8::5"), false},
		{"eth0", netip.MustParseAddr("fd00::5"), false},
		{"eth0", netip.MustParseAddr("10.0.0.5"), false},
		{"usb0", netip.MustParseAddr("169.254.7.7"), false},
		{"vpn", netip.MustParseAddr("10.99.0.2"), true},
		{"wlan0", netip.MustParseAddr("192.168.1.5"), false},
		{"ppp0", netip.MustParseAddr("203.0.113.9"), false},
	}
	got := reachable(list, netip.MustParseAddr("192.168.1.5"))
	want := []string{"192.168.1.5", "10.0.0.5", "fd00::5", "169.254.7.7", "172.17.0.1", "10.99.0.2"}
	var text []string
	for _, ip := range got {
		text = append(text, ip.String())
	}
	if !slices.Equal(text, want) {
		t.Errorf("got %v, want %v", text, want)
	}
	if got := reachable(list, netip.Addr{}); got[0] != netip.MustParseAddr("10.0.0.5") {
		t.Errorf("without a way outside the first is %v", got[0])
	}
	if got := reachable(nil, netip.Addr{}); len(got) != 0 {
		t.Errorf("no cards give %v", got)
	}
}

func TestCardsAreNotLoopback(t *testing.T) {
	for _, c := range cards() {
		if c.ip.IsLoopback() || !c.ip.IsValid() {
			t.Errorf("card %+v", c)
		}
	}
}
