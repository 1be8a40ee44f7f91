package e2e

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// trusting makes a home for a browser in which the servers' authorities are
// trusted, as after the steps of the trust page, and no certificate error is
// passed over.
func trusting(t testing.TB, servers ...*server) []chromedp.ExecAllocatorOption {
	t.Helper()
	certutil, err := exec.LookPath("certutil")
	if err != nil {
		t.Skip("this machine has no certutil (on Debian: apt-get install libnss3-tools), so a browser can't be made to trust the server")
	}
	home := t.TempDir()
	store := filepath.Join(home, ".pki", "nssdb")
	if err := os.MkdirAll(store, 0o700); err != nil {
		t.Fatal(err)
	}
	run := func(args ...string) {
		t.Helper()
		if out, err := exec.Command(certutil, args...).CombinedOutput(); err != nil {
			t.Fatalf("certutil %s: %v\n%s", args[0], err, out)
		}
	}
	run("-N", "-d", "sql:"+store, "--empty-password")
	for i, s := range servers {
		authority := filepath.Join(home, fmt.Sprintf("authority-%d.crt", i))
		if err := os.WriteFile(authority, s.authority(), 0o600); err != nil {
			t.Fatal(err)
		}
		run("-A", "-d", "sql:"+store, "-n", fmt.Sprintf("panside-%d", i), "-t", "C,,", "-i", authority)
	}
	return []chromedp.ExecAllocatorOption{chromedp.Env("HOME=" + home), chromedp.Flag("ignore-certificate-errors", false)}
}

// authority fetches the certificate that the trust page hands out.
func (s *server) authority() []byte {
	s.t.Helper()
	plain := &http.Client{Timeout: patience}
	resp, err := plain.Get("http://" + strings.TrimPrefix(s.api, "https://") + "/panside-authority.crt")
	if err != nil {
		s.t.Fatal(err)
	}
	defer resp.Body.Close()
	der, err := io.ReadAll(resp.Body)
	if err != nil || resp.StatusCode != http.StatusOK {
		s.t.Fatalf("fetching the authority: %s %v", resp.Status, err)
	}
	return der
}

// TestATrustingPhoneJoinsWithoutAWarning follows the code's address in a
// browser that was told of the authority and of nothing else.
func TestATrustingPhoneJoinsWithoutAWarning(t *testing.T) {
	t.Parallel()
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	browser := startBrowser(t, trusting(t, s)...)
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	phone.until("what only a trusted page has", `isSecureContext && navigator.serviceWorker && crypto.subtle`)
	// A certificate that isn't truly trusted would show here.
	phone.do(chromedp.Evaluate[chromedp.Void](`
		window.worker = "";
		navigator.serviceWorker.register("/core/wasm_exec.js").then(
			(r) => r.unregister().then(() => { window.worker = "registered"; }),
			(e) => { window.worker = String(e); });
		undefined`))
	phone.until("a service worker", `window.worker === "registered"`)
	phone.shoot("trusted")
}

// TestAStrangerIsWarned: the same browser, told nothing, doesn't open the page.
func TestAStrangerIsWarned(t *testing.T) {
	t.Parallel()
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	browser := startBrowser(t, chromedp.Env("HOME="+t.TempDir()), chromedp.Flag("ignore-certificate-errors", false))
	phone := newDevice(t, browser, phoneScreen)
	err := chromedp.Do(phone.ctx, chromedp.Navigate(s.phone))
	if err == nil || !strings.Contains(err.Error(), "ERR_CERT_AUTHORITY_INVALID") {
		t.Errorf("the page opens: %v\n%s", err, phone.state())
	}
}

// TestThePageOfTheOldAddressFindsTheLaptopAgain: the page stays where it is,
// the server comes back at another address. From there the page asks it to
// prove itself, checks that with the browser's own cryptography, and then goes
// on: the API with its token, and the live weight.
func TestThePageOfTheOldAddressFindsTheLaptopAgain(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := startServer(t, dir, "--scale", "virtual")
	browser := startBrowser(t, trusting(t, s)...)
	s.joinAsDesk()
	link, err := url.Parse(s.offer())
	if err != nil {
		t.Fatal(err)
	}
	fragment, err := url.ParseQuery(link.Fragment)
	if err != nil {
		t.Fatal(err)
	}
	var joined struct{ Token string }
	s.call(http.MethodPost, "/api/v1/join", map[string]string{"secret": fragment.Get("join"), "name": "the phone"}, &joined)
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.api + "/")
	phone.until("the app", `document.querySelector("main")`)

	s.stop()
	moved := strings.Replace(s.api, "127.0.0.1", "127.0.0.2", 1)
	now := startServer(t, dir, "--scale", "virtual", "--listen", strings.TrimPrefix(moved, "https://"))
	if now.api != moved {
		t.Fatalf("the server is at %s, not %s", now.api, moved)
	}
	result := phone.findAgain(moved, joined.Token, fragment.Get("key"))
	if result.Error != "" || !result.Proved || result.Name != "the phone" || result.Live != "weight" {
		t.Errorf("from %s to %s: %+v", s.api, moved, result)
	}

	// Another household's server at an address the phone knew: it can't prove
	// itself, so the page shows it no token.
	now.stop()
	startServer(t, t.TempDir(), "--scale", "virtual", "--listen", strings.TrimPrefix(s.api, "https://"))
	if other := phone.findAgain(s.api, joined.Token, fragment.Get("key")); other.Proved || other.Name != "" {
		t.Errorf("another server is believed: %+v", other)
	}
}

type foundAgain struct {
	Proved     bool
	Name, Live string
	Error      string
}

// findAgain does in the page what the app does to find its server at an
// address.
func (d *device) findAgain(address, token, key string) foundAgain {
	d.t.Helper()
	d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`
		window.found = null;
		(async (address, token, key) => {
			const bytes = (text) => Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (c) => c.charCodeAt(0));
			const text = (bytes) => btoa(String.fromCharCode(...bytes)).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
			const nonce = text(crypto.getRandomValues(new Uint8Array(16)));
			const found = { proved: false, name: "", live: "", error: "" };
			const answer = await (await fetch(address + "/api/v1/prove", {
				method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ nonce }),
			})).json();
			const spki = bytes(answer.key);
			const sameKey = text(new Uint8Array(await crypto.subtle.digest("SHA-256", spki))) === key;
			const signer = await crypto.subtle.importKey("spki", spki, { name: "ECDSA", namedCurve: "P-256" }, false, ["verify"]);
			const message = new TextEncoder().encode("panside server proof, version 1\nhost " + new URL(address).host + "\nnonce " + nonce + "\n");
			const signed = await crypto.subtle.verify({ name: "ECDSA", hash: "SHA-256" }, signer, bytes(answer.signature), message);
			found.proved = sameKey && signed;
			if (!found.proved) return found;
			const me = await (await fetch(address + "/api/v1/me", { headers: { Authorization: "Bearer " + token } })).json();
			found.name = me.device.name;
			const socket = new WebSocket("wss" + address.slice("https".length) + "/api/v1/live");
			found.live = await new Promise((done, failed) => {
				socket.onopen = () => socket.send(JSON.stringify({ type: "hello", token }));
				socket.onmessage = (m) => done(JSON.parse(m.data).type);
				socket.onerror = () => failed(new Error("the socket failed"));
			});
			socket.close();
			return found;
		})(%q, %q, %q).catch((e) => ({ proved: false, name: "", live: "", error: String(e) })).then((f) => { window.found = JSON.stringify(f); });
		undefined`, address, token, key)))
	d.until("an answer", `window.found`)
	raw, err := chromedp.Run(d.ctx, chromedp.Evaluate[string](`window.found`))
	if err != nil {
		d.t.Fatal(err)
	}
	var f foundAgain
	if err := json.Unmarshal([]byte(raw), &f); err != nil {
		d.t.Fatalf("%v in %s", err, raw)
	}
	return f
}

// TestBehindAClickedAwayWarning: the page still has the cryptography to check
// the server with.
func TestBehindAClickedAwayWarning(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	phone.until("cryptography", `isSecureContext && crypto.subtle && crypto.randomUUID`)
}
