//go:build unix

package main

import (
	"bufio"
	"bytes"
	"crypto/tls"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"panside/server/testjpeg"
)

// programFolder names, in the environment, the data folder of a whole program
// that runs as a process of its own.
const programFolder = "PANSIDE_TEST_PROGRAM_FOLDER"

// TestChildProgram is no test but the process that TestStopIsQuiet starts.
func TestChildProgram(t *testing.T) {
	dir := os.Getenv(programFolder)
	if dir == "" {
		t.Skip("runs only as a process of TestStopIsQuiet")
	}
	os.Args = []string{"panside", "serve", "--listen", "127.0.0.1:0", "--data", dir, "--scale", "virtual"}
	main()
}

// program is one that runs.
type program struct {
	*exec.Cmd
	t     *testing.T
	out   []io.ReadCloser
	read  sync.WaitGroup // ends when it prints no more
	said  *logText       // what it printed, both ways
	host  string
	token string
	http  *http.Client
	tls   *tls.Config
}

func startProgram(t *testing.T) *program {
	t.Helper()
	p := &program{t: t, Cmd: exec.Command(os.Args[0], "-test.run=^TestChildProgram$"), said: &logText{}}
	p.Env = append(os.Environ(), programFolder+"="+t.TempDir())
	for _, pipe := range []func() (io.ReadCloser, error){p.StdoutPipe, p.StderrPipe} {
		out, err := pipe()
		if err != nil {
			t.Fatal(err)
		}
		p.out = append(p.out, out)
	}
	if err := p.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.Process.Kill() }) // if it still runs
	links := make(chan string, 2)
	p.read.Go(func() { _, _ = io.Copy(p.said, p.out[1]) })
	p.read.Go(func() {
		defer close(links)
		link := regexp.MustCompile(`https://\S+#join=\S+`)
		for lines := bufio.NewScanner(p.out[0]); lines.Scan(); {
			fmt.Fprintln(p.said, lines.Text())
			if l := link.FindString(lines.Text()); l != "" {
				links <- l
			}
		}
	})
	<-links // the desk's
	link, ok := <-links
	if !ok {
		t.Fatalf("the program printed no address:\n%s", p.said)
	}
	p.host = strings.TrimPrefix(strings.Split(link, "/#")[0], "https://")
	p.tls = &tls.Config{InsecureSkipVerify: true}
	transport := &http.Transport{TLSClientConfig: p.tls}
	t.Cleanup(transport.CloseIdleConnections)
	p.http = &http.Client{Transport: transport, Timeout: patience}
	var j joinedAs
	if status, body := p.ask("POST", "/api/v1/join", []byte(`{"secret":"`+secretOf(t, link)+`"}`)); status != 200 || json.Unmarshal(body, &j) != nil {
		t.Fatalf("joining: %d %s", status, body)
	}
	p.token = j.Token
	return p
}

func (p *program) ask(method, path string, body []byte) (status int, answer []byte) {
	p.t.Helper()
	r, err := http.NewRequest(method, "https://"+p.host+path, bytes.NewReader(body))
	if err != nil {
		p.t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+p.token)
	resp, err := p.http.Do(r)
	if err != nil {
		p.t.Fatal(err)
	}
	defer resp.Body.Close()
	if answer, err = io.ReadAll(resp.Body); err != nil {
		p.t.Fatal(err)
	}
	return resp.StatusCode, answer
}

// leftOpen opens one connection of each kind that isn't done.
func (p *program) leftOpen() {
	t := p.t
	t.Helper()
	photo := testjpeg.Noise(1, 1000)
	path := "/api/v1/photos/" + sha(photo)
	for begin := 0; begin < len(photo); begin += 1 << 20 {
		part := photo[begin:min(begin+1<<20, len(photo))]
		r, err := http.NewRequest("PUT", "https://"+p.host+path, bytes.NewReader(part))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Authorization", "Bearer "+p.token)
		r.Header.Set("Content-Range", fmt.Sprintf("bytes %d-%d/%d", begin, begin+len(part)-1, len(photo)))
		resp, err := p.http.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if resp.StatusCode != 200 {
			t.Fatalf("the photo: %d", resp.StatusCode)
		}
	}
	head := " HTTP/1.1\r\nHost: " + p.host + "\r\nAuthorization: Bearer " + p.token + "\r\n"
	for _, begun := range []string{
		"", // nothing after the handshake
		"GET /heal",
		"GET /healthz" + head,
		"POST /api/v1/journal" + head + "Content-Length: 100\r\n\r\n{",
		"GET " + path + head + "\r\n",
	} {
		conn := p.dial()
		if err := conn.(*net.TCPConn).SetReadBuffer(4 << 10); err != nil {
			t.Fatal(err)
		}
		secure := tls.Client(conn, p.tls)
		if _, err := io.WriteString(secure, begun); err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(begun, "GET "+path) { // the answer has begun
			if _, err := secure.Read(make([]byte, 1)); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, begun := range []string{"", "\x16\x03\x01\x00\xff\x01", "GET / HTTP/1.1\r\n"} {
		if _, err := io.WriteString(p.dial(), begun); err != nil {
			t.Fatal(err)
		}
	}
	dialer := websocket.Dialer{TLSClientConfig: p.tls}
	for _, hello := range []string{p.token, ""} {
		live, _, err := dialer.Dial("wss://"+p.host+"/api/v1/live", nil)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { live.Close() })
		if hello == "" {
			continue // it never says who it is
		}
		if err := live.WriteJSON(map[string]string{"type": "hello", "token": hello}); err != nil {
			t.Fatal(err)
		}
	}
}

func (p *program) dial() net.Conn {
	p.t.Helper()
	conn, err := net.Dial("tcp", p.host)
	if err != nil {
		p.t.Fatal(err)
	}
	p.t.Cleanup(func() { conn.Close() })
	return conn
}

// TestStopIsQuiet: whatever is half done, the program ends by itself, well and
// without complaint, however it is told to. How long that takes is logged and not
// held, since a busy machine stretches it: alone it is 1.1 s, of which finishWithin
// is all but a tenth. Waiting for what never ends shows by the exit code.
func TestStopIsQuiet(t *testing.T) {
	for _, how := range []syscall.Signal{syscall.SIGTERM, syscall.SIGHUP, syscall.SIGINT} {
		t.Run(how.String(), func(t *testing.T) {
			t.Parallel()
			if signal.Ignored(how) {
				t.Skip("these tests were started with that signal ignored, and so is what they start")
			}
			p := startProgram(t)
			p.leftOpen()
			began := time.Now()
			if err := p.Process.Signal(how); err != nil {
				t.Fatal(err)
			}
			if how == syscall.SIGHUP { // the system tells of a closed terminal, and so does the shell
				for !strings.Contains(p.said.String(), "Stopping") {
					runtime.Gosched()
				}
				if err := p.Process.Signal(how); err != nil {
					t.Fatal(err)
				}
			}
			p.read.Wait()
			err := p.Wait()
			took := time.Since(began)
			if err != nil || finishWithin > time.Second {
				t.Errorf("ended by %v; what is under way has %v", err, finishWithin)
			}
			said := p.said.String()
			if strings.Contains(said, "level=ERROR") || strings.Contains(said, "level=WARN") || strings.Contains(said, "unexpected") || !strings.Contains(said, "msg=stopped") {
				t.Errorf("it said:\n%s", said)
			}
			t.Logf("took %v", took)
		})
	}
}

// TestATerminalThatIsGone: when what the program prints is read no more, as
// after the terminal was closed, it still stops as it should.
func TestATerminalThatIsGone(t *testing.T) {
	p := startProgram(t)
	for _, out := range p.out {
		out.Close()
	}
	if err := p.Process.Signal(syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	if err := p.Wait(); err != nil {
		t.Errorf("ended by %v", err)
	}
}
