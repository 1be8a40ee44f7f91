package conformance

import (
	"context"
	"slices"
	"testing"
	"time"

	"panside/internal/device"
	"panside/internal/fault"
)

// Pairing lets devices in, as the server's routes ask for it.
type Pairing interface {
	Offer(role device.Role, life time.Duration) (secret string)
	OfferWhileOpen(role device.Role, life time.Duration) (secret string, err error)
	Closed() bool
	Join(ctx context.Context, secret, name string, here bool) (token string, d device.Device, err error)
	Who(ctx context.Context, token string) (device.Device, error)
	Devices(ctx context.Context) ([]device.Device, error)
	Rename(ctx context.Context, d device.Device, typed string) (device.Device, error)
	End(ctx context.Context, id string) error
}

// TestPairing holds pairing to what its callers expect of it. secret lets a phone
// in; close does what closes the window.
func TestPairing(t *testing.T, p Pairing, secret string, closeWindow func()) {
	ctx := t.Context()
	_, err := p.Who(ctx, "nobody's token")
	wantCode(t, "asking for a token that nobody has", err, fault.NotJoined)
	_, _, err = p.Join(ctx, "a wrong secret", "x", true)
	wantCode(t, "joining by a wrong secret", err, fault.SecretExpired)

	token, joined, err := p.Join(ctx, secret, "My phone", false)
	wantCode(t, "joining", err, "")
	if joined.Role != device.Phone || joined.Name != "My phone" {
		t.Errorf("joined as %+v", joined)
	}
	who := func() device.Device {
		t.Helper()
		d, err := p.Who(ctx, token)
		wantCode(t, "asking for the token", err, "")
		return d
	}
	if d := who(); d.ID != joined.ID || d.Name != joined.Name || d.Role != joined.Role {
		t.Errorf("the token is of %+v, joined was %+v", d, joined)
	}
	list, err := p.Devices(ctx)
	wantCode(t, "listing", err, "")
	if !slices.ContainsFunc(list, func(d device.Device) bool { return d.ID == joined.ID }) {
		t.Errorf("%+v isn't in the list %+v", joined, list)
	}
	renamed, err := p.Rename(ctx, joined, "Desk phone")
	wantCode(t, "renaming", err, "")
	if renamed.Name != "Desk phone" || who().Name != "Desk phone" {
		t.Errorf("renamed to %q, by its token %q", renamed.Name, who().Name)
	}
	wantCode(t, "ending nobody", p.End(ctx, "nobody"), fault.NotFound)
	wantCode(t, "ending", p.End(ctx, joined.ID), "")
	_, err = p.Who(ctx, token)
	wantCode(t, "asking for an ended device's token", err, fault.NotJoined)

	if p.Closed() {
		t.Error("closed from the start")
	}
	if s, err := p.OfferWhileOpen(device.Phone, time.Minute); err != nil || s == "" {
		t.Errorf("an offer while open: %q %v", s, err)
	}
	closeWindow()
	_, err = p.OfferWhileOpen(device.Phone, time.Minute)
	wantCode(t, "an offer while closed", err, fault.TooManyTries)
	if !p.Closed() || p.Offer(device.Phone, time.Minute) == "" || p.Closed() {
		t.Error("a person's offer doesn't open a closed window")
	}
}
