package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"io"
	"strings"
	"testing"

	"panside/internal/fault"
	"panside/internal/say"
)

// call runs the program without a process.
func call(t *testing.T, args ...string) (code int, out, errOut string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(t.Context(), args, &stdio{strings.NewReader(""), &o, &e})
	return code, o.String(), e.String()
}

func TestCommandLine(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		args string
		code int
		out  string
		err  string
	}{
		{"version", 0, "panside ", ""},
		{"--help", 0, "serve", ""},
		{"serve --help", 0, "--data", ""},
		{"judge --help", 0, "--json", ""},
		{"listen --help", 0, "--scale", ""},
		{"nonsense", 2, "", "nonsense"},
		{"--nonsense", 2, "", "--nonsense"},
		{"serve --cert only.pem", 2, "", "--key"},
		{"serve --listen nowhere", 2, "", "--listen"},
	} {
		code, out, errOut := call(t, strings.Fields(tc.args)...)
		if code != tc.code || !strings.Contains(out, tc.out) || !strings.Contains(errOut, tc.err) {
			t.Errorf("%s: code %d, want %d\nout: %s\nerr: %s", tc.args, code, tc.code, out, errOut)
		}
	}
}

func TestReport(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		err  error
		code int
		text string
	}{
		{nil, 0, ""},
		{exitCode(1), 1, ""},
		{usageError("say which coin"), 2, "say which coin"},
		{fault.Wrap(fault.PortBusy, say.New("The port is busy."), errors.New("EBUSY")), 1, "The port is busy.\ncause: EBUSY"},
		{errors.New("open /x: no such file"), 1, "cause: open /x"},
	} {
		var w strings.Builder
		if code := report(tc.err, &w); code != tc.code || !strings.Contains(w.String(), tc.text) || (tc.text == "" && w.Len() > 0) {
			t.Errorf("%v: code %d, %q", tc.err, code, w.String())
		}
	}
}

// TestServeFromStartToSignal runs the command as a person does and reads what
// it prints.
func TestServeFromStartToSignal(t *testing.T) {
	t.Parallel()
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	reader, writer := io.Pipe()
	log := &logText{}
	code := make(chan int, 1)
	go func() {
		defer writer.Close()
		code <- run(ctx, []string{"--scale", "virtual", "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--verbose"},
			&stdio{strings.NewReader(""), writer, log})
	}()
	var printed strings.Builder
	var links []string
	scale := false
	for lines := bufio.NewScanner(reader); lines.Scan(); {
		line := lines.Text()
		printed.WriteString(line + "\n")
		if strings.Contains(line, "/#join=") {
			links = append(links, strings.TrimSpace(line))
		}
		scale = scale || strings.HasPrefix(line, "Scale: ")
		if scale && strings.Contains(printed.String(), "Ctrl+C") {
			stop()
		}
	}
	if got := <-code; got != exitGood {
		t.Errorf("exit code %d", got)
	}
	if len(links) != 2 || !strings.HasPrefix(links[0], "https://localhost:") || !strings.HasPrefix(links[1], "https://127.0.0.1:") {
		t.Errorf("addresses to join by: %q", links)
	}
	if !strings.Contains(printed.String(), "█") {
		t.Error("no code to scan")
	}
	for _, link := range links {
		if strings.Contains(log.String(), secretOf(t, link)) {
			t.Error("a secret stands in the log")
		}
	}
	if !strings.Contains(log.String(), "level=INFO") {
		t.Errorf("the log: %s", log.String())
	}
}
