package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"panside/internal/device"
	"panside/internal/journal"
	"panside/server/archive"
	"panside/server/backup"
	"panside/server/config"
	"panside/server/testjpeg"
)

// childFolder names, in the environment, the data folder of a server that runs
// as a process of its own; childDies the step at which it kills itself, and with
// a number behind it, the how-manieth.
const (
	childFolder = "PANSIDE_TEST_CHILD_FOLDER"
	childDies   = "PANSIDE_TEST_CHILD_DIES"
	// childCopies makes it copy the records all the time.
	childCopies = "PANSIDE_TEST_CHILD_COPIES"
)

// TestChildServer is no test but the process that TestKilledAtEveryStep starts.
func TestChildServer(t *testing.T) {
	dir := os.Getenv(childFolder)
	if dir == "" {
		t.Skip("runs only as a process of TestKilledAtEveryStep")
	}
	app := New(config.Config{Data: dir, Listen: "127.0.0.1:0"}, make(fakeScale).scale(), slog.New(slog.DiscardHandler))
	app.network.announce = silent
	if err := app.Start(t.Context()); err != nil {
		t.Fatal(err)
	}
	app.db.Probe = dieAt(os.Getenv(childDies))
	app.photos.Probe = app.db.Probe
	copying, enough := context.WithCancel(t.Context())
	var copies sync.WaitGroup
	if os.Getenv(childCopies) != "" {
		copies.Go(func() {
			for copying.Err() == nil {
				app.copyIfDue(copying, true)
			}
		})
	}
	fmt.Println("LINK " + app.Invite(device.Phone))
	_, _ = io.Copy(io.Discard, os.Stdin) // until the parent closes it
	enough()
	copies.Wait() // or the end of the process would leave one half made
	if err := app.Stop(); err != nil {
		t.Fatal(err)
	}
}

// dieAt ends the process at a step, without any goodbye.
func dieAt(step string) func(string) error {
	step, number, _ := strings.Cut(step, " ")
	left, err := strconv.Atoi(number)
	if err != nil {
		left = 1
	}
	return func(now string) error {
		if now != step {
			return nil
		}
		if left--; left > 0 {
			return nil
		}
		self, err := os.FindProcess(os.Getpid())
		if err != nil {
			return err
		}
		if err := self.Kill(); err != nil {
			return err
		}
		select {}
	}
}

// child is a server process and a phone that has joined it.
type child struct {
	t     *testing.T
	cmd   *exec.Cmd
	stdin io.Closer
	url   string
	token string
	http  *http.Client
}

func startChild(t *testing.T, dir, dies string) *child {
	t.Helper()
	c := &child{t: t, cmd: exec.Command(os.Args[0], "-test.run=^TestChildServer$")}
	c.cmd.Env = append(os.Environ(), childFolder+"="+dir, childDies+"="+dies)
	c.cmd.Stderr = os.Stderr
	stdin, err := c.cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	c.stdin = stdin
	stdout, err := c.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.cmd.Process.Kill() }) // if it still runs
	link := ""
	for lines := bufio.NewScanner(stdout); link == "" && lines.Scan(); {
		link, _ = strings.CutPrefix(lines.Text(), "LINK ")
	}
	if !strings.HasPrefix(link, "https://") {
		t.Fatal("the process shows no address")
	}
	c.url, _, _ = strings.Cut(link, "/#")
	pem, err := os.ReadFile(filepath.Join(dir, "authority.pem"))
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AppendCertsFromPEM(pem)
	transport := &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}
	t.Cleanup(transport.CloseIdleConnections)
	c.http = &http.Client{Transport: transport, Timeout: patience}
	var j joinedAs
	_, body, err := c.ask("POST", "/api/v1/join", []byte(`{"secret":"`+secretOf(t, link)+`"}`))
	if err != nil || json.Unmarshal(body, &j) != nil || j.Token == "" {
		t.Fatalf("joining: %v %s", err, body)
	}
	c.token = j.Token
	return c
}

func (c *child) ask(method, path string, body []byte) (int, []byte, error) {
	c.t.Helper()
	r, err := http.NewRequest(method, c.url+path, bytes.NewReader(body))
	if err != nil {
		c.t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+c.token)
	resp, err := c.http.Do(r)
	if err != nil {
		return 0, nil, err
	}
	defer resp.Body.Close()
	answer, err := io.ReadAll(resp.Body)
	return resp.StatusCode, answer, err
}

// killed waits for the process and wants it to have ended by the kill.
func (c *child) killed(step string) {
	c.t.Helper()
	var exit *exec.ExitError
	if err := c.cmd.Wait(); !errors.As(err, &exit) || exit.Exited() {
		c.t.Fatalf("at %s the process ended by %v, not by a kill", step, err)
	}
}

// TestKilledAtEveryStep kills the real server process at each step of storing
// entries and photos. What it had acknowledged is there afterwards, what it had
// not can be sent again, and nothing is there twice.
func TestKilledAtEveryStep(t *testing.T) {
	dir := t.TempDir()
	state := journal.NewState()
	author, err := journal.NewAuthor("phone", state)
	if err != nil {
		t.Fatal(err)
	}
	var all []string // entries that were acknowledged at last
	batch := func() (raws []string, body []byte) {
		for range 3 {
			e, err := author.Write(state, 1_750_000_000_000, "find", "0190a000-0000-7000-8000-000000000001", "note", []byte(fmt.Sprintf(`"%d"`, state.Len())))
			if err != nil {
				t.Fatal(err)
			}
			raws = append(raws, string(e.Wire()))
		}
		return raws, []byte(`{"v":1,"entries":[` + strings.Join(raws, ",") + `]}`)
	}
	var photos [][]byte
	check := func(c *child) {
		t.Helper()
		_, body, err := c.ask("GET", "/api/v1/journal", nil)
		var page journal.Page
		if err != nil || json.Unmarshal(body, &page) != nil {
			t.Fatalf("pull: %v %s", err, body)
		}
		if len(page.Entries) != len(all) {
			t.Fatalf("%d entries, want %d", len(page.Entries), len(all))
		}
		for i, raw := range page.Entries {
			if string(raw) != all[i] {
				t.Fatalf("entry %d is %s, want %s", i, raw, all[i])
			}
		}
		for _, p := range photos {
			if status, body, err := c.ask("GET", "/api/v1/photos/"+sha(p), nil); err != nil || status != 200 || !bytes.Equal(body, p) {
				t.Fatalf("photo: %d %v", status, err)
			}
		}
	}
	again := func(c *child, method, path string, body []byte, wanted string) {
		t.Helper()
		if status, answer, err := c.ask(method, path, body); err != nil || status != 200 || !strings.Contains(string(answer), wanted) {
			t.Fatalf("%s %s again: %d %s %v", method, path, status, answer, err)
		}
	}
	const forEntries = 5 // the first steps; the others are for photos
	for i, step := range []string{"entry", "entry 2", "entry 3", "commit", "committed", "write", "sync", "check", "rename", "sync-folder", "kept"} {
		c := startChild(t, dir, step)
		check(c)
		var raws []string
		body := testjpeg.Noise(uint64(i), 64)
		method, path, wanted := "PUT", "/api/v1/photos/"+sha(body), `"complete":true`
		if i < forEntries {
			raws, body = batch()
			method, path, wanted = "POST", "/api/v1/journal", `"refused":[]`
		}
		if status, answer, err := c.ask(method, path, body); err == nil {
			t.Fatalf("killed at %s, it answered %d %s", step, status, answer)
		}
		c.killed(step)

		c = startChild(t, dir, "")
		if step == "committed" { // the whole batch is there, otherwise nothing of it
			all = append(all, raws...)
			raws = nil
		}
		check(c)
		again(c, method, path, body, wanted)
		all = append(all, raws...)
		if i >= forEntries {
			photos = append(photos, body)
			raws, body = batch()
			again(c, "POST", "/api/v1/journal", body, `"refused":[]`)
			all = append(all, raws...)
		}
		check(c)
		c.stdin.Close()
		if err := c.cmd.Wait(); err != nil {
			t.Fatalf("stopping: %v", err)
		}
	}
}

// TestKilledOverAndOverLong kills the real server at any moment while it takes
// entries and copies the records all the time. Each time everything that it had
// acknowledged is there, it doesn't think that it had promised more, every copy
// is whole, and nothing half made is left.
func TestKilledOverAndOverLong(t *testing.T) {
	t.Setenv(childCopies, "1")
	rounds := 4
	if os.Getenv("PANSIDE_LONG") != "" {
		rounds = 200
	}
	dir := t.TempDir()
	backups := filepath.Join(dir, backup.CopiesFolder)
	rng := rand.New(rand.NewPCG(1, 2))
	state := journal.NewState()
	author, err := journal.NewAuthor("phone", state)
	if err != nil {
		t.Fatal(err)
	}
	var acknowledged, unsure []string
	copies, leftovers := 0, 0
	for round := range rounds {
		if left, err := filepath.Glob(filepath.Join(backups, backup.WorkPrefix+"*")); err == nil {
			leftovers += len(left)
		}
		c := startChild(t, dir, "")
		there := map[string]bool{}
		for page := (journal.Page{More: true}); page.More; {
			_, body, err := c.ask("GET", "/api/v1/journal?after="+page.Cursor, nil)
			page = journal.Page{}
			if err != nil || json.Unmarshal(body, &page) != nil {
				t.Fatalf("pull: %v %.300s", err, body)
			}
			for _, raw := range page.Entries {
				there[string(raw)] = true
			}
		}
		for _, raw := range acknowledged {
			if !there[raw] {
				t.Fatalf("round %d: %s was acknowledged and is gone", round, raw)
			}
		}
		if exists(filepath.Join(dir, backup.LackingFile)) {
			t.Fatalf("round %d: it thinks that it had promised more", round)
		}
		stop := time.After(time.Duration(rng.IntN(150)) * time.Millisecond)
		killed := make(chan error, 1)
		go func() {
			<-stop
			killed <- c.cmd.Process.Kill()
		}()
		for {
			batch := unsure // again, since it may be there or not
			for range 1 + rng.IntN(5) {
				e, err := author.Write(state, 1_750_000_000_000, "find", "0190a000-0000-7000-8000-000000000001", "note", []byte(fmt.Sprintf(`"%d"`, state.Len())))
				if err != nil {
					t.Fatal(err)
				}
				batch = append(batch, string(e.Wire()))
			}
			status, body, err := c.ask("POST", "/api/v1/journal", []byte(`{"v":1,"entries":[`+strings.Join(batch, ",")+`]}`))
			if err != nil {
				unsure = batch
				break
			}
			if status != 200 || !strings.Contains(string(body), `"refused":[]`) {
				t.Fatalf("push: %d %s", status, body)
			}
			acknowledged, unsure = append(acknowledged, batch...), nil
		}
		if err := <-killed; err != nil {
			t.Fatal(err)
		}
		c.killed("some moment")
		list, err := filepath.Glob(filepath.Join(backups, "records-*"))
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range list {
			back, err := archive.Open(t.Context(), file)
			if err != nil {
				t.Fatalf("round %d: %v", round, err)
			}
			copies++
			if err := back.Close(); err != nil {
				t.Fatal(err)
			}
		}
	}
	if copies == 0 {
		t.Error("nothing was copied")
	}
	c := startChild(t, dir, "")
	c.stdin.Close()
	if err := c.cmd.Wait(); err != nil {
		t.Fatalf("stopping: %v", err)
	}
	if left, err := filepath.Glob(filepath.Join(backups, ".*")); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
	t.Logf("%d kills, %d entries acknowledged, %d copies opened, %d half made ones removed", rounds, len(acknowledged), copies, leftovers)
}
