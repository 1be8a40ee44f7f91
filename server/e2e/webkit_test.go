package e2e

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// webkit drives WebKitGTK, the engine family of the other phones, by the
// WebDriver protocol (W3C): a handful of requests to a driver on loopback.
//
// This browser has no store in which the test could trust the laptop's
// authority, so here certificates aren't looked at (acceptInsecureCerts), as
// when a person goes on past the warning. That the warning goes away with the
// authority trusted is tested in Chromium.
type webkit struct {
	t       *testing.T
	session string // the session's address
}

// startWebKit starts a screen in memory, the driver, and a browser.
func startWebKit(t *testing.T) *webkit {
	t.Helper()
	var programs []string
	for _, name := range []string{"WebKitWebDriver", "Xvfb"} {
		path, err := exec.LookPath(name)
		if err != nil {
			t.Skipf("this machine has no %s (on Debian: apt-get install webkit2gtk-driver xvfb), so the engine of the other phones isn't tried", name)
		}
		programs = append(programs, path)
	}
	browsers, err := filepath.Glob("/usr/lib/*/webkit2gtk-4.*/MiniBrowser")
	if err != nil || len(browsers) == 0 {
		t.Skip("this machine has no MiniBrowser (on Debian it comes with webkit2gtk-driver), so the engine of the other phones isn't tried")
	}
	home := t.TempDir()
	if err := os.Chmod(home, 0o700); err != nil {
		t.Fatal(err)
	}
	port := lastingPort(t)
	env := append(os.Environ(), "HOME="+home, "XDG_RUNTIME_DIR="+home, "GDK_BACKEND=x11", "NO_AT_BRIDGE=1", "LIBGL_ALWAYS_SOFTWARE=1",
		"DISPLAY="+startScreen(t, programs[1]))
	run(t, exec.Command(programs[0], "--host=127.0.0.1", "--port="+port), env)
	w := &webkit{t: t, session: "http://127.0.0.1:" + port}
	w.await("the driver", func() bool {
		resp, err := http.Get(w.session + "/status")
		if err != nil {
			return false
		}
		return resp.Body.Close() == nil && resp.StatusCode == http.StatusOK
	})
	var made struct{ SessionID string }
	options := map[string]any{"binary": browsers[len(browsers)-1], "args": []string{"--automation"}}
	w.call(http.MethodPost, "/session", map[string]any{"capabilities": map[string]any{"alwaysMatch": map[string]any{
		"acceptInsecureCerts": true, "webkitgtk:browserOptions": options,
	}}}, &made)
	w.session += "/session/" + made.SessionID
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("the page says:\n%s", beginning(w.text("document.body.innerText"), 25))
			w.shoot("failed")
		}
		w.call(http.MethodDelete, "", nil, nil)
	})
	return w
}

// startScreen starts an X server that draws into memory, and returns its name.
func startScreen(t *testing.T, program string) (display string) {
	t.Helper()
	read, write, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer read.Close()
	cmd := exec.Command(program, "-displayfd", "3", "-screen", "0", "1280x1000x24", "-nolisten", "tcp")
	cmd.ExtraFiles = []*os.File{write}
	run(t, cmd, os.Environ())
	if err := write.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := fmt.Fscanln(read, &display); err != nil {
		t.Fatalf("Xvfb has no screen: %v", err)
	}
	return ":" + display
}

// run starts a program that lives as long as the test.
func run(t *testing.T, cmd *exec.Cmd, env []string) {
	t.Helper()
	var out bytes.Buffer
	cmd.Env, cmd.Stdout, cmd.Stderr = env, &out, &out
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Kill() // fails if it has ended by itself
		_ = cmd.Wait()         // killed
		if t.Failed() {
			t.Logf("%s said:\n%s", cmd.Path, out.String())
		}
	})
}

// call is one request of the protocol that must succeed.
func (w *webkit) call(method, path string, in, out any) {
	w.t.Helper()
	if err := w.attempt(method, path, in, out); err != nil {
		w.t.Fatal(err)
	}
}

// attempt is one request of the protocol, with the driver's own words if it
// isn't done.
func (w *webkit) attempt(method, path string, in, out any) error {
	w.t.Helper()
	body := io.Reader(http.NoBody)
	if in != nil {
		raw, err := json.Marshal(in)
		if err != nil {
			w.t.Fatal(err)
		}
		body = bytes.NewReader(raw)
	}
	req, err := http.NewRequest(method, w.session+path, body)
	if err != nil {
		w.t.Fatal(err)
	}
	resp, err := (&http.Client{Timeout: patience}).Do(req)
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	raw, err := io.ReadAll(resp.Body)
	if err != nil {
		return err
	}
	if resp.StatusCode != http.StatusOK {
		return fmt.Errorf("%s %s: %s: %.500s", method, path, resp.Status, raw)
	}
	if out == nil {
		return nil
	}
	if err := json.Unmarshal(raw, &struct{ Value any }{out}); err != nil {
		return fmt.Errorf("%w in %.500s", err, raw)
	}
	return nil
}

func (w *webkit) text(expression string) (answer string) {
	w.t.Helper()
	w.call(http.MethodPost, "/execute/sync", map[string]any{"script": "return String(" + expression + ")", "args": []any{}}, &answer)
	return answer
}

// await asks again until the condition holds.
func (w *webkit) await(what string, holds func() bool) {
	w.t.Helper()
	deadline := time.Now().Add(patience)
	for !holds() {
		if time.Now().After(deadline) {
			w.t.Fatalf("waited in vain for %s", what) // the page's text follows
		}
		time.Sleep(50 * time.Millisecond)
	}
}

func (w *webkit) until(what, condition string) {
	w.t.Helper()
	w.await(what, func() bool { return w.text("Boolean("+condition+")") == "true" })
}

// click clicks as a pointer does, so what is covered can't be clicked, nor what
// was drawn anew since it was found: then it is tried again.
func (w *webkit) click(selector string) {
	w.t.Helper()
	w.await(selector, func() bool {
		var element map[string]string
		if w.attempt(http.MethodPost, "/element", map[string]string{"using": "css selector", "value": selector}, &element) != nil {
			return false
		}
		for _, id := range element {
			if w.attempt(http.MethodPost, "/element/"+id+"/click", struct{}{}, nil) != nil {
				return false
			}
		}
		return true
	})
}

// keys presses keys on the page.
func (w *webkit) keys(text string) {
	w.t.Helper()
	var actions []map[string]string
	for _, r := range text {
		actions = append(actions, map[string]string{"type": "keyDown", "value": string(r)}, map[string]string{"type": "keyUp", "value": string(r)})
	}
	w.call(http.MethodPost, "/actions", map[string]any{"actions": []any{map[string]any{"type": "key", "id": "keys", "actions": actions}}}, nil)
}

func (w *webkit) shoot(name string) {
	dir := os.Getenv("PANSIDE_SHOTS")
	if dir == "" {
		return
	}
	var shot string
	w.call(http.MethodGet, "/screenshot", nil, &shot)
	png, err := base64.StdEncoding.DecodeString(shot)
	if err != nil {
		w.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, w.t.Name()+"-"+name+".png"), png, 0o644); err != nil {
		w.t.Fatal(err)
	}
}

// TestTheEngineOfTheOtherPhones: joining by the code's address, the live
// weight, its verdict by the phone's own core, and a typed weight.
func TestTheEngineOfTheOtherPhones(t *testing.T) {
	t.Parallel()
	w := startWebKit(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	w.call(http.MethodPost, "/window/rect", map[string]int{"width": 420, "height": 860}, nil)
	w.call(http.MethodPost, "/url", map[string]string{"url": s.phone}, nil)
	w.until("the weigh screen", `document.querySelector('[data-screen="weigh"]')`)
	w.until("the secret to be gone from the address", `!location.hash.includes("join=")`)
	w.until("a line to the laptop", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	w.click(`button[data-denomination="cent"]`)
	s.pan("put", "bronze-cent")
	headline := func(word string) string {
		return fmt.Sprintf(`document.querySelector('[data-part="headline"]:not([data-last])')?.innerText.toLowerCase().includes(%q)`, word)
	}
	w.until("the bronze cent", headline("bronze"))
	w.until("its weight", `/^3\.1\d/.test(document.querySelector('[data-part="weight"]')?.textContent.trim())`)
	w.until("the core on the phone itself", `document.documentElement.dataset.core === "phone"`)
	w.shoot("bronze")

	w.call(http.MethodPost, "/url", map[string]string{"url": s.api + "/#/type"}, nil)
	w.until("the number pad", `document.querySelector('[data-is="typed"]')`)
	w.keys("2.50")
	w.until("the typed weight's verdict", headline("zinc"))
	w.shoot("typed")
}
