package pairing

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"log/slog"
	"sync"
	"time"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
)

const (
	secretBytes = 16
	tokenBytes  = 32

	maxFailures = 10
	maxOpen     = 16              // secrets open at once; the oldest goes first
	seenEvery   = 1 * time.Minute // how finely "last seen" is kept on the disk
)

// Store keeps devices. DeviceByToken gives fault.NotJoined for a token nobody
// holds, RenameDevice and EndDevice fault.NotFound for a device that isn't there.
type Store interface {
	AddDevice(ctx context.Context, d device.Device, tokenHash [32]byte) error
	DeviceByToken(ctx context.Context, tokenHash [32]byte) (device.Device, error)
	Devices(ctx context.Context) ([]device.Device, error)
	RenameDevice(ctx context.Context, id, name string) error
	EndDevice(ctx context.Context, id string, at time.Time) error
	SawDevice(ctx context.Context, id string, at time.Time) error
}

// Options are Pairing's surroundings. Now and Log are required.
type Options struct {
	Now func() time.Time
	Log *slog.Logger
	// Ended is called after a device lost its token, so that what it still
	// holds open can be closed.
	Ended func(id string)
	// DeskAnywhere lets a desk join from another computer too.
	DeskAnywhere bool
	// Renamed is called after a device got another name, for those who show it.
	Renamed func(id, name string)
}

// Pairing hands out secrets and tokens. Its methods are safe for concurrent
// use.
type Pairing struct {
	store Store
	opt   Options

	mu       sync.Mutex
	open     []secret // oldest first
	failures int
	seen     map[string]time.Time // device id -> what the store knows
}

type secret struct {
	hash [32]byte
	role device.Role
	ends time.Time
}

// New returns a Pairing with no secret open.
func New(store Store, opt Options) *Pairing {
	if opt.Ended == nil {
		opt.Ended = func(string) {}
	}
	if opt.Renamed == nil {
		opt.Renamed = func(string, string) {}
	}
	return &Pairing{store: store, opt: opt, seen: map[string]time.Time{}}
}

// Offer makes a one-time secret that lets one device of the role in, and opens
// a closed window again: for a person who asks for it.
func (p *Pairing) Offer(role device.Role, life time.Duration) string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.offer(role, life)
}

// OfferWhileOpen is Offer for a page that renews its code by itself, which no
// person has asked for: it leaves a closed window closed. Error:
// fault.TooManyTries.
func (p *Pairing) OfferWhileOpen(role device.Role, life time.Duration) (string, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed() {
		return "", fault.New(fault.TooManyTries, say.New("join-closed-told"))
	}
	return p.offer(role, life), nil
}

// Closed reports whether wrong secrets have closed the window.
func (p *Pairing) Closed() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.closed()
}

func (p *Pairing) closed() bool { return p.failures >= maxFailures }

func (p *Pairing) offer(role device.Role, life time.Duration) string {
	text := random(secretBytes)
	p.dropExpired()
	if len(p.open) == maxOpen {
		p.open = p.open[1:]
	}
	p.open = append(p.open, secret{sha256.Sum256([]byte(text)), role, p.opt.Now().Add(life)})
	p.failures = 0
	return text
}

// random is n bytes of the system's random source, printed so that it can
// stand in an address. crypto/rand never fails on a supported system.
func random(n int) string {
	b := make([]byte, n)
	rand.Read(b)
	return base64.RawURLEncoding.EncodeToString(b)
}

func (p *Pairing) dropExpired() {
	now := p.opt.Now()
	kept := p.open[:0]
	for _, s := range p.open {
		if now.Before(s.ends) {
			kept = append(kept, s)
		}
	}
	p.open = kept
}

// Join swaps an open secret for a token. The device gets its name cleaned, with
// a number behind it where another device has that name. The secret is used up
// once the device is stored; if storing fails it stays good. here reports whether the
// device is this computer's own browser.
//
// Errors: fault.SecretExpired for a wrong, old or used secret (which of them is
// not said), fault.TooManyTries while the window is closed, fault.DeskOnly for a
// desk's secret that comes from elsewhere and stays good, and the store's.
func (p *Pairing) Join(ctx context.Context, text, name string, here bool) (token string, d device.Device, err error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed() {
		return "", device.Device{}, fault.New(fault.TooManyTries, say.New("join-closed"))
	}
	p.dropExpired()
	i := p.find(text)
	if i < 0 {
		p.failures++
		if p.failures == maxFailures {
			p.open = nil
			p.opt.Log.Warn("joining is closed after wrong codes", "tries", p.failures)
		}
		return "", device.Device{}, fault.New(fault.SecretExpired, say.New("join-code-used"))
	}
	role := p.open[i].role
	if role == device.Desk && !here && !p.opt.DeskAnywhere {
		return "", device.Device{}, fault.New(fault.DeskOnly, say.New("join-code-of-desk"))
	}
	list, err := p.store.Devices(ctx)
	if err != nil {
		return "", device.Device{}, err
	}
	now := p.opt.Now().UTC().Truncate(time.Millisecond)
	d = device.Device{
		ID: rand.Text(),
		// Phones of one kind come with one name; nobody could tell which of them to end.
		Name:     device.FreeName(device.CleanName(name, string(role)), list),
		Role:     role,
		Created:  now,
		LastSeen: now,
	}
	token = random(tokenBytes)
	if err := p.store.AddDevice(ctx, d, sha256.Sum256([]byte(token))); err != nil {
		return "", device.Device{}, err
	}
	p.open = append(p.open[:i], p.open[i+1:]...)
	p.seen[d.ID] = now
	return token, d, nil
}

// find returns the index of the open secret, -1 if there is none. It compares
// with every one, each in constant time, so that its duration tells nothing.
func (p *Pairing) find(text string) int {
	hash := sha256.Sum256([]byte(text))
	at := -1
	for i, s := range p.open {
		at = subtle.ConstantTimeSelect(subtle.ConstantTimeCompare(hash[:], s.hash[:]), i, at)
	}
	return at
}

// Who tells whose token it is and notes that the device was seen. Error:
// fault.NotJoined for an unknown or ended one, and the store's.
func (p *Pairing) Who(ctx context.Context, token string) (device.Device, error) {
	// A hash is looked up and never compared byte by byte with anything an
	// attacker could steer.
	d, err := p.store.DeviceByToken(ctx, sha256.Sum256([]byte(token)))
	if err != nil {
		return device.Device{}, err
	}
	now := p.opt.Now()
	p.mu.Lock()
	due := now.Sub(p.seen[d.ID]) >= seenEvery
	if due {
		p.seen[d.ID] = now
	}
	p.mu.Unlock()
	if due {
		// Not worth refusing the request for.
		if err := p.store.SawDevice(ctx, d.ID, now); err != nil {
			p.opt.Log.Warn("can’t note when a device was seen", "id", d.ID, "cause", err)
		}
		d.LastSeen = now
	}
	return d, nil
}

// Devices lists those that may talk to the server, oldest first.
func (p *Pairing) Devices(ctx context.Context) ([]device.Device, error) {
	return p.store.Devices(ctx)
}

// Rename gives a device the name a person typed, cleaned, and returns it as it
// is now. A name with nothing visible in it changes nothing. Error:
// fault.NotFound, and the store's.
func (p *Pairing) Rename(ctx context.Context, d device.Device, typed string) (device.Device, error) {
	d.Name = device.CleanName(typed, d.Name)
	if err := p.store.RenameDevice(ctx, d.ID, d.Name); err != nil {
		return d, err
	}
	p.opt.Renamed(d.ID, d.Name)
	return d, nil
}

// End takes a device's token away for good. Error: fault.NotFound, and the
// store's.
func (p *Pairing) End(ctx context.Context, id string) error {
	if err := p.store.EndDevice(ctx, id, p.opt.Now()); err != nil {
		return err
	}
	p.mu.Lock()
	delete(p.seen, id)
	p.mu.Unlock()
	p.opt.Log.Info("a device was ended", "id", id)
	p.opt.Ended(id)
	return nil
}
