package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/tls"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/mass"
	"panside/server/certs"
	"panside/server/config"
	"panside/server/livehub"
	"panside/server/scale"
)

const (
	benchPhones = 200
	benchEvery  = time.Second / 20
	benchWarmUp = time.Second
	benchRun    = 6 * time.Second
	benchRole   = "PANSIDE_BENCH_ROLE" // set in the processes that the benchmark starts
)

// BenchmarkLivePhones sends 20 weights a second to 200 phones over TLS by this
// server, and to 200 others by a bare WebSocket broadcast, each from a process
// of its own. Both run at the same time, half a beat apart, so that whatever
// else the machine does meets both alike. It reports how much later than
// published the weights arrive, and the server's memory. It aims at a p99-ratio
// of at most 2 and at less than 64 MB; it takes some ten seconds.
func BenchmarkLivePhones(b *testing.B) {
	for b.Loop() {
		ours, bare := startBench(b, "ours"), startBench(b, "bare")
		from := time.Now().Add(benchWarmUp)
		var both sync.WaitGroup
		for _, p := range []*benchProcess{ours, bare} {
			both.Go(func() { p.listen(from, from.Add(benchRun)) })
		}
		both.Wait()
		memory, ownMemory := ours.memory()
		ours.stop(b)
		bare.stop(b)
		b.ReportMetric(ours.ms(0.5)/bare.ms(0.5), "p50-ratio")
		b.ReportMetric(ours.ms(0.99)/bare.ms(0.99), "p99-ratio")
		b.ReportMetric(ours.ms(0.99), "p99-ms")
		b.ReportMetric(bare.ms(0.99), "p99-bare-ms")
		b.ReportMetric(memory, "MB")
		b.ReportMetric(ownMemory, "MB-own") // without the pages of the program's file
		for _, p := range []*benchProcess{ours, bare} {
			if want := benchPhones * int(benchRun/benchEvery); len(p.late) < want/2 {
				b.Errorf("%d of %d weights arrived from %s: nothing is measured", len(p.late), want, p.role)
			}
		}
	}
}

// greeting is what a started process tells.
type greeting struct {
	Addr   string
	Tokens []string
}

// benchProcess is one that sends, and the phones it sends to.
type benchProcess struct {
	role  string
	cmd   *exec.Cmd
	stdin io.Closer
	conns []*websocket.Conn
	late  []time.Duration
}

// startBench starts a process and joins the phones.
func startBench(b *testing.B, role string) *benchProcess {
	b.Helper()
	p := &benchProcess{role: role, cmd: exec.Command(os.Args[0], "-test.run=^TestBenchProcess$")}
	p.cmd.Env = append(os.Environ(), benchRole+"="+role, "PANSIDE_BENCH_DIR="+b.TempDir())
	stdin, err := p.cmd.StdinPipe()
	if err != nil {
		b.Fatal(err)
	}
	p.stdin = stdin
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		b.Fatal(err)
	}
	var hello greeting
	lines := bufio.NewScanner(out)
	lines.Buffer(nil, 1<<20)
	if !lines.Scan() || json.Unmarshal(lines.Bytes(), &hello) != nil {
		b.Fatalf("the %s process said %q", role, lines.Text())
	}
	go func() { _, _ = io.Copy(io.Discard, out) }()
	for i := range benchPhones {
		dialer := websocket.Dialer{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}, HandshakeTimeout: patience}
		conn, _, err := dialer.Dial("wss://"+hello.Addr+"/api/v1/live", nil)
		if err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() { conn.Close() })
		if role == "ours" {
			if err := conn.WriteJSON(map[string]string{"type": "hello", "token": hello.Tokens[i]}); err != nil {
				b.Fatal(err)
			}
		}
		p.conns = append(p.conns, conn)
	}
	return p
}

// listen gathers how late each weight comes, sorted.
func (p *benchProcess) listen(from, until time.Time) {
	each := make([][]time.Duration, len(p.conns))
	var all sync.WaitGroup
	for i, conn := range p.conns {
		all.Go(func() { each[i] = listenUntil(conn, from, until) })
	}
	all.Wait()
	p.late = slices.Concat(each...)
	slices.Sort(p.late)
}

// ms is so many hundredths' share of the delays, in milliseconds.
func (p *benchProcess) ms(share float64) float64 {
	if len(p.late) == 0 {
		return 0
	}
	return p.late[int(share*float64(len(p.late)-1))].Seconds() * 1000
}

func (p *benchProcess) stop(b *testing.B) {
	b.Helper()
	if err := p.stdin.Close(); err != nil {
		b.Error(err)
	}
	if err := p.cmd.Wait(); err != nil {
		b.Errorf("the %s process: %v", p.role, err)
	}
}

// memory is what the process has in memory and what of it isn't a file's, in
// MB; zero where the system doesn't tell.
func (p *benchProcess) memory() (all, own float64) {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if err != nil {
		return 0, 0
	}
	for line := range strings.Lines(string(status)) {
		if f := strings.Fields(line); len(f) == 3 {
			kb, _ := strconv.ParseFloat(f[1], 64)
			switch f[0] {
			case "VmRSS:":
				all = kb / 1024
			case "RssAnon:":
				own = kb / 1024
			}
		}
	}
	return all, own
}

// listenUntil reads weights and notes how long ago each was published.
func listenUntil(conn *websocket.Conn, from, until time.Time) (late []time.Duration) {
	marker := []byte(`"placement":`)
	for {
		_, data, err := conn.ReadMessage()
		now := time.Now()
		if err != nil || now.After(until) {
			return late
		}
		_, rest, ok := bytes.Cut(data, marker)
		if end := bytes.IndexByte(rest, ','); ok && end > 0 && now.After(from) {
			if published, err := strconv.ParseInt(string(rest[:end]), 10, 64); err == nil && published > 0 {
				late = append(late, time.Duration(now.UnixNano()-published))
			}
		}
	}
}

// TestBenchProcess is no test: it is the process that BenchmarkLivePhones
// starts.
func TestBenchProcess(t *testing.T) {
	role := os.Getenv(benchRole)
	if role == "" {
		t.Skip("BenchmarkLivePhones starts this in a process of its own")
	}
	ctx, cancel := context.WithCancel(t.Context())
	go func() {
		_, _ = io.Copy(io.Discard, os.Stdin) // until the benchmark is done
		cancel()
	}()
	say := func(g greeting) {
		if err := json.NewEncoder(os.Stdout).Encode(g); err != nil {
			t.Fatal(err)
		}
	}
	if role == "bare" {
		bareBroadcast(ctx, t, say)
		return
	}
	app := New(config.Config{Listen: "127.0.0.1:0", Data: os.Getenv("PANSIDE_BENCH_DIR")}, scale.Scale{Run: publishTimes(0)}, slog.New(slog.DiscardHandler))
	app.network.announce = silent
	if err := app.Start(t.Context()); err != nil {
		t.Fatal(err)
	}
	g := greeting{Addr: app.Addr().String()}
	for i := range benchPhones {
		token, _, err := app.pairing.Join(t.Context(), app.pairing.Offer(device.Phone, time.Minute), fmt.Sprint("phone ", i), true)
		if err != nil {
			t.Fatal(err)
		}
		g.Tokens = append(g.Tokens, token)
	}
	say(g)
	<-ctx.Done()
	if err := app.Stop(); err != nil {
		t.Fatal(err)
	}
}

// publishTimes is a scale whose every weight is a new load, numbered by the
// time in nanoseconds. All of them beat together, each by its own part of a
// beat later.
func publishTimes(after time.Duration) func(context.Context, func(livehub.State)) {
	return func(ctx context.Context, publish func(livehub.State)) {
		for {
			now := time.Now()
			next := now.Truncate(benchEvery).Add(after)
			for !next.After(now) {
				next = next.Add(benchEvery)
			}
			beat := time.NewTimer(next.Sub(now))
			select {
			case <-ctx.Done():
				beat.Stop()
				return
			case <-beat.C:
			}
			s := cent(3.11)
			s.Estimate.Placement = uint64(time.Now().UnixNano())
			s.Reading = mass.Reading{Status: mass.StatusStable}
			publish(s)
		}
	}
}

// bareBroadcast is the least a program needs to send every weight to every
// socket: the library's upgrade, one goroutine a socket, a message prepared
// once. No joining, no newest-only slot, no age, no goodbye.
func bareBroadcast(ctx context.Context, t *testing.T, say func(greeting)) {
	dir := os.Getenv("PANSIDE_BENCH_DIR")
	authority, err := certs.OpenAuthority(dir, "bench", time.Now())
	if err != nil {
		t.Fatal(err)
	}
	leaf, err := authority.NewLeaf(certs.LeafOptions{Dir: dir, Addresses: func() []netip.Addr { return nil }, Now: time.Now, Log: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	example, err := os.ReadFile("../testdata/wire/weight.json")
	if err != nil {
		t.Fatal(err)
	}
	var compact bytes.Buffer
	if err := json.Compact(&compact, example); err != nil {
		t.Fatal(err)
	}
	before, after, _ := strings.Cut(compact.String(), `"placement":`)
	_, after, _ = strings.Cut(after, ",")

	var mu sync.Mutex
	var phones []chan *websocket.PreparedMessage
	upgrader := websocket.Upgrader{CheckOrigin: func(*http.Request) bool { return true }, ReadBufferSize: 1024, WriteBufferSize: 1024}
	server := http.Server{
		TLSConfig: &tls.Config{GetCertificate: leaf.Certificate, NextProtos: []string{"http/1.1"}},
		Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			conn, err := upgrader.Upgrade(w, r, nil)
			if err != nil {
				return
			}
			defer conn.Close()
			messages := make(chan *websocket.PreparedMessage, 64)
			mu.Lock()
			phones = append(phones, messages)
			mu.Unlock()
			for m := range messages {
				if conn.WritePreparedMessage(m) != nil {
					return
				}
			}
		}),
		ErrorLog: slog.NewLogLogger(slog.DiscardHandler, slog.LevelError),
	}
	go func() { _ = server.ServeTLS(ln, "", "") }()
	say(greeting{Addr: ln.Addr().String()})
	publishTimes(benchEvery/2)(ctx, func(s livehub.State) {
		m, err := websocket.NewPreparedMessage(websocket.TextMessage, fmt.Appendf(nil, `%s"placement":%d,%s`, before, s.Estimate.Placement, after))
		if err != nil {
			panic(err)
		}
		mu.Lock()
		defer mu.Unlock()
		for _, p := range phones {
			select {
			case p <- m:
			default:
			}
		}
	})
	if err := server.Close(); err != nil {
		t.Error(err)
	}
}
