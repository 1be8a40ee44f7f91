package main

import (
	"context"
	"crypto/tls"
	"errors"
	"log/slog"
	"net"
	"net/netip"
	"slices"
	"sync"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/bridge"
	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/pwa"
	"panside/server/certs"
	"panside/server/config"
	"panside/server/httpapi"
	"panside/server/joinapi"
	"panside/server/livehub"
	"panside/server/pairing"
	"panside/server/photocare"
	"panside/server/route"
	"panside/server/scale"
	"panside/server/scaleapi"
	"panside/server/syncapi"
)

const (
	// startSecretLife is how long the codes printed at the start are good.
	startSecretLife = 15 * time.Minute

	// What is under way when the server is stopped gets so long to finish; the
	// whole stop takes less than two seconds.
	finishWithin = 1 * time.Second

	// These are for a disk or a system that hangs.
	hubCloseWithin = 3 * time.Second
	appCloseWithin = 5 * time.Second
)

// App is the whole server. It is wired here and nowhere else. Tests start it
// on port 0.
type App struct {
	// Watch, if set before Start, is told of every state of the scale too.
	Watch func(livehub.State)
	// Moved, if set before Start, is told of the server's addresses whenever
	// they changed.
	Moved func(addresses []string)
	// Said, if set before Start, is told sentences about the records for whoever
	// is at the laptop.
	Said func(sentence string)

	cfg   config.Config
	scale scale.Scale
	log   *slog.Logger
	now   func() time.Time

	records
	authority     *certs.Authority
	ownCert       bool     // the user brought one
	certNames     []string // it is for
	pairing       *pairing.Pairing
	origins       *pairing.Origins
	network       network
	hub           *livehub.Hub
	care          *photocare.Care
	secure, plain *fiber.App

	ln        net.Listener
	port      *httpapi.Port
	stopScale context.CancelFunc
	running   sync.WaitGroup
	failed    chan error
}

// New returns an App that isn't started. For sc see scale.Open.
func New(cfg config.Config, sc scale.Scale, log *slog.Logger) *App {
	if sc.Checks == nil {
		sc.Checks = &scale.Checks{}
	}
	return &App{cfg: cfg, scale: sc, log: log, now: time.Now, network: newNetwork(), failed: make(chan error, 2)}
}

// Start opens the records, reads the scale and listens. When it returns nil
// the server answers; Stop must be called. Otherwise nothing is left open.
func (a *App) Start(ctx context.Context) (err error) {
	defer func() {
		if err != nil {
			err = errors.Join(err, a.closeRecords())
		}
	}()
	dir, err := a.cfg.Folder()
	if err != nil {
		return err
	}
	if err := a.openRecords(ctx, dir); err != nil {
		return err
	}
	if err := a.scale.Checks.Load(ctx, a.db, a.log); err != nil {
		return err
	}
	certificate, err := a.openCertificates(dir)
	if err != nil {
		return err
	}
	if err := a.openCopies(dir); err != nil {
		return err
	}

	a.pairing = pairing.New(a.db, pairing.Options{
		Now: a.now,
		Log: a.log,

		DeskAnywhere: a.cfg.DeskAnywhere,
		// The hub is there before anything can join, so before anything ends or is renamed.
		Ended:   func(id string) { a.hub.End(id) },
		Renamed: func(id, name string) { a.hub.Renamed(id, name) },
	})
	if a.origins, err = pairing.OpenOrigins(ctx, a.db, a.now, a.log); err != nil {
		return err
	}
	a.hub = livehub.New(a.hubOptions())
	if err := a.tellNewest(ctx); err != nil {
		return err
	}
	a.care = a.newCare()
	a.followRecords(ctx)
	a.secure, a.plain, err = httpapi.New(httpapi.Config{
		Version:   version(),
		Name:      a.cfg.ServerName(),
		Authority: a.shownAuthority(),
		Prove: func(host, nonce string) (key, signature []byte, err error) {
			p, err := a.authority.Prove(host, nonce)
			return p.Key, p.Signature, err
		},
		Pairing:   a.pairing,
		Origins:   a.origins,
		Live:      a.hub,
		Core:      bridge.CallIn,
		Files:     pwa.Files(),
		Names:     append(a.cfg.HostNames(), a.certNames...),
		Addresses: a.Addresses,
		Now:       a.now,
		Log:       a.log,

		Further:      a.furtherRoutes,
		Descriptions: [][]byte{joinapi.Description, syncapi.Description, syncapi.Fields, scaleapi.Description},
	})
	if err != nil {
		return err
	}
	if a.ln, err = listen(ctx, a.cfg.Listen); err != nil {
		return err
	}
	a.run(certificate)
	return nil
}

func (a *App) hubOptions() livehub.Options {
	o := livehub.Options{Auth: a.pairing.Who, Now: a.now, Log: a.log}
	if a.scale.Camera != nil {
		o.Camera = a.scale.Camera
	}
	return o
}

// furtherRoutes are those of the other parts of the API.
func (a *App) furtherRoutes(g httpapi.Guards) []route.Route {
	return slices.Concat(a.joinRoutes(g), a.syncRoutes(), a.scaleRoutes())
}

// joinRoutes are the routes by which devices join and are listed.
func (a *App) joinRoutes(g httpapi.Guards) []route.Route {
	o := joinapi.Options{
		Name:        a.cfg.ServerName(),
		Fingerprint: a.authority.Fingerprint(),
		Pairing:     a.pairing,
		Addresses:   a.Addresses,
		Origins:     a.origins.All,
		Guards:      g,
		Now:         a.now,
		Log:         a.log,
	}
	if shown := a.shownAuthority(); shown.DER != nil {
		o.AuthorityLines = httpapi.FingerprintLines(shown.DER)
	}
	return joinapi.New(o).Routes()
}

// scaleRoutes are the routes about the scale, its check and the practice scale.
func (a *App) scaleRoutes() []route.Route {
	o := scaleapi.Options{Checks: a.scale.Checks, Practice: a.scale.Practice, Now: a.now}
	if a.scale.Manual != nil {
		o.Scale = a.scale.Manual
	}
	return scaleapi.New(o).Routes()
}

// openCertificates makes or reads the authority, which names this server also
// when the user brings a certificate, and returns what TLS shows.
func (a *App) openCertificates(dir string) (func(*tls.ClientHelloInfo) (*tls.Certificate, error), error) {
	var err error
	if a.authority, err = certs.OpenAuthority(dir, a.cfg.ServerName(), a.now()); err != nil {
		return nil, err
	}
	if a.cfg.Cert != "" {
		get, names, err := certs.Load(a.cfg.Cert, a.cfg.Key, a.now())
		a.ownCert, a.certNames = true, names
		return get, err
	}
	leaf, err := a.authority.NewLeaf(certs.LeafOptions{
		Dir:       dir,
		Names:     a.cfg.HostNames(),
		Addresses: func() []netip.Addr { return addressesOf(a.network.cards()) },
		Now:       a.now,
		Log:       a.log,
	})
	if err != nil {
		return nil, err
	}
	return leaf.Certificate, nil
}

func (a *App) shownAuthority() httpapi.Authority {
	if a.ownCert {
		return httpapi.Authority{}
	}
	return httpapi.Authority{Name: a.authority.Name(), DER: a.authority.DER()}
}

func listen(ctx context.Context, address string) (net.Listener, error) {
	var l net.ListenConfig
	ln, err := l.Listen(ctx, "tcp", address)
	if err != nil {
		return nil, fault.Wrap(fault.AddressBusy, say.New("server-address", say.Text("address", address)), err)
	}
	return ln, nil
}

// run starts everything that goes on until Stop.
func (a *App) run(certificate func(*tls.ClientHelloInfo) (*tls.Certificate, error)) {
	ctx, cancel := context.WithCancel(context.Background())
	a.stopScale = cancel
	a.port = httpapi.OnePort(a.ln, tlsConfig(certificate))
	a.running.Go(func() { a.serve(a.secure, a.port.Secure) })
	a.running.Go(func() { a.serve(a.plain, a.port.Plain) })
	a.running.Go(func() { a.hub.Run(ctx) })
	a.running.Go(func() { a.keepRecords(ctx) })
	a.running.Go(func() { a.care.Run(ctx) })
	before := a.network.cards()
	a.settleIn(ctx, before)
	a.running.Go(func() { a.follow(ctx, before) })
	a.running.Go(func() {
		a.scale.Run(ctx, func(s livehub.State) {
			a.hub.Publish(s)
			if a.Watch != nil {
				a.Watch(s)
			}
		})
	})
	a.log.Info("listening", "address", a.ln.Addr().String(), "version", version())
}

// tlsConfig takes TLS 1.2 for older phones, and of its suites only those that
// encrypt and authenticate in one (AEAD) with a fresh key for each connection:
// what RFC 9325, section 4.2, recommends. TLS 1.3 has no others.
func tlsConfig(certificate func(*tls.ClientHelloInfo) (*tls.Certificate, error)) *tls.Config {
	return &tls.Config{
		MinVersion: tls.VersionTLS12,
		CipherSuites: []uint16{
			tls.TLS_ECDHE_ECDSA_WITH_AES_128_GCM_SHA256, tls.TLS_ECDHE_RSA_WITH_AES_128_GCM_SHA256,
			tls.TLS_ECDHE_ECDSA_WITH_AES_256_GCM_SHA384, tls.TLS_ECDHE_RSA_WITH_AES_256_GCM_SHA384,
			tls.TLS_ECDHE_ECDSA_WITH_CHACHA20_POLY1305_SHA256, tls.TLS_ECDHE_RSA_WITH_CHACHA20_POLY1305_SHA256,
		},
		NextProtos:     []string{"http/1.1"},
		GetCertificate: certificate,
	}
}

func (a *App) serve(app *fiber.App, ln net.Listener) {
	if err := app.Listener(ln); err != nil {
		a.failed <- err
	}
}

// Addr is where the server listens.
func (a *App) Addr() net.Addr { return a.ln.Addr() }

// Failed gives an error if the server stops serving by itself.
func (a *App) Failed() <-chan error { return a.failed }

// Invite makes the address with which one device joins, with a one-time
// secret in it: for the desk this computer's own browser, for a phone the
// likeliest of Addresses.
func (a *App) Invite(role device.Role) string {
	address := a.Addresses()[0]
	if at, ok := a.ln.Addr().(*net.TCPAddr); ok && role == device.Desk && !a.ownCert && answersLocalhost(at.AddrPort().Addr()) {
		address = webAddress("localhost", at.Port)
	}
	return joinapi.JoinURL(address, a.pairing.Offer(role, startSecretLife), a.authority.Fingerprint())
}

// answersLocalhost reports whether a server listening on ip is what “localhost”
// leads to.
func answersLocalhost(ip netip.Addr) bool {
	ip = ip.Unmap()
	return ip.IsUnspecified() || ip == netip.AddrFrom4([4]byte{127, 0, 0, 1}) || ip == netip.IPv6Loopback()
}

// Stop says goodbye to the phones, finishes the requests under way, lets go of
// the scale, copies the records if anything is new, and closes them. Whoever
// takes longer than finishWithin over a request or an answer is cut off: a phone
// sends it again.
func (a *App) Stop() error {
	cut := time.AfterFunc(finishWithin, a.port.CutOff)
	defer cut.Stop()
	ctx, cancel := context.WithTimeout(context.Background(), hubCloseWithin)
	defer cancel()
	errs := make([]error, 2)
	var both sync.WaitGroup
	both.Go(func() { errs[0] = a.hub.Close(ctx) })
	both.Go(func() { errs[1] = shutDown(a.secure, a.plain) })
	both.Wait()
	// A server that hadn't begun to serve yet has nothing to shut down; closing
	// the port ends it as well.
	err := errors.Join(errs[0], errs[1], a.port.Close())
	a.stopScale()
	a.running.Wait()
	a.copyAtEnd()
	a.log.Info("stopped", "weights skipped for slow phones", a.hub.Stats().Dropped)
	return errors.Join(err, a.closeRecords())
}

// shutDown ends both at the same time; each takes a tenth of a second at least.
func shutDown(apps ...*fiber.App) error {
	errs := make([]error, len(apps))
	var all sync.WaitGroup
	for i, app := range apps {
		all.Go(func() { errs[i] = app.ShutdownWithTimeout(appCloseWithin) })
	}
	all.Wait()
	return errors.Join(errs...)
}
