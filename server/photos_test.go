package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/journal"
	"panside/server/backup"
	"panside/server/config"
	"panside/server/testjpeg"
)

// gallery is a server with a clock of its own, and a phone that sends photos.
type gallery struct {
	*kitchen
	t     *testing.T
	token string
	ahead atomic.Int64 // of the real time, in ns
	line  *websocket.Conn
}

func newGallery(t *testing.T, dir string) *gallery {
	t.Helper()
	g := &gallery{t: t}
	g.kitchen = prepare(t, config.Config{Data: dir}, make(fakeScale).scale())
	g.now = func() time.Time { return time.Now().Add(time.Duration(g.ahead.Load())) }
	g.begin()
	g.token = g.join(device.Phone).Token
	g.line = g.socket(g.token)
	return g
}

func (g *gallery) send(photo []byte) {
	g.t.Helper()
	status, body := g.raw("PUT", "/api/v1/photos/"+sha(photo), g.token, photo)
	var p journal.PhotoProgress
	if err := json.Unmarshal(body, &p); err != nil || status != 200 || !p.Complete {
		g.t.Fatalf("%d %s", status, body)
	}
}

// news waits for news of photos until what is asked for is so.
func (g *gallery) news(what string, so func() bool) {
	g.t.Helper()
	for !so() {
		var m struct {
			Type   string
			Photos int
		}
		if err := g.line.ReadJSON(&m); err != nil {
			g.t.Fatalf("no news of %s: %v", what, err)
		}
	}
}

func (g *gallery) verified(photo []byte) func() bool {
	return func() bool {
		g.t.Helper()
		var a struct{ Missing, Verified []string }
		g.ask("POST", "/api/v1/photos/missing", g.token, map[string]any{"photos": []string{sha(photo)}}, &a)
		return slices.Equal(a.Verified, []string{sha(photo)})
	}
}

func (g *gallery) wants(want ...string) func() bool {
	return func() bool {
		g.t.Helper()
		var w journal.PhotosWanted
		g.ask("GET", "/api/v1/photos/wanted", g.token, nil, &w)
		var got []string
		for _, p := range w.Photos {
			got = append(got, p.Photo+" "+p.Why)
		}
		slices.Sort(want)
		return slices.Equal(got, want)
	}
}

// TestADamagedPhotoComesAgain through the whole server: read back, rotten on the
// disk, found by the weekly round, said on the live line, and sent again.
func TestADamagedPhotoComesAgain(t *testing.T) {
	dir := t.TempDir()
	g := newGallery(t, dir)
	rotten, gone, other := testjpeg.Noise(1, 300), testjpeg.Noise(2, 300), testjpeg.Noise(3, 100)
	for _, photo := range [][]byte{rotten, gone} {
		g.send(photo)
		g.news("a photo read back", g.verified(photo))
	}
	file := filepath.Join(dir, backup.PhotosFolder, sha(rotten)+".jpg")
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	bad := bytes.Clone(rotten)
	bad[1000] ^= 1
	err = errors.Join(os.WriteFile(file, bad, 0o600), os.Chtimes(file, time.Time{}, info.ModTime()), os.Remove(filepath.Join(dir, backup.PhotosFolder, sha(gone)+".jpg")))
	if err != nil {
		t.Fatal(err)
	}
	g.ahead.Add(int64(6*24*time.Hour + time.Minute))
	g.send(other) // which wakes the round
	g.news("the two", g.wants(sha(rotten)+" damaged", sha(gone)+" gone"))
	for _, photo := range [][]byte{rotten, gone} {
		if status, _ := g.raw("GET", "/api/v1/photos/"+sha(photo), g.token, nil); status != 404 {
			t.Errorf("a lost photo answers %d", status)
		}
		var p journal.PhotoProgress
		if g.ask("GET", "/api/v1/photos/"+sha(photo)+"/progress", g.token, nil, &p); p != (journal.PhotoProgress{V: 1}) {
			t.Errorf("its progress is %+v", p)
		}
		g.send(photo)
	}
	g.news("nothing any more", g.wants())
	g.news("it read back", g.verified(rotten))
	if status, body := g.raw("GET", "/api/v1/photos/"+sha(rotten), g.token, nil); status != 200 || !bytes.Equal(body, rotten) {
		t.Errorf("%d with %d bytes", status, len(body))
	}
	if apart, err := filepath.Glob(filepath.Join(dir, backup.PhotosFolder, "damaged", sha(rotten)+"*.jpg")); err != nil || len(apart) != 1 {
		t.Errorf("set apart: %q, %v", apart, err)
	}
}

// TestAPhotoThatAFindNamesAndIsntThere: the entry came an hour ago by its stamp,
// or with a backup, and the photo never did.
func TestAPhotoThatAFindNamesAndIsntThere(t *testing.T) {
	g := newGallery(t, t.TempDir())
	photo := testjpeg.Noise(1, 100)
	p := g.pocket(1)
	p.now = time.Now().Add(-2 * time.Hour).UnixMilli()
	find := p.write("find", "", fmt.Sprintf(`{"photo/%[1]s":{"sha256":"%[1]s","type":"image/jpeg","bytes":%[2]d}}`, sha(photo), len(photo)))
	p.push()
	g.send(testjpeg.Noise(2, 100)) // which wakes the round
	g.news("the absent one", g.wants(sha(photo)+" absent"))
	var w journal.PhotosWanted
	g.ask("POST", "/api/v1/photos/wanted", g.token, map[string]any{"v": 1, "not_held": []string{sha(photo)}}, &w)
	if len(w.Photos) != 1 || string(w.Photos[0].Record) != find || !w.Photos[0].Told || len(w.Photos[0].WaitingFor) != 1 {
		t.Errorf("%+v", w)
	}
	g.send(photo)
	g.news("nothing any more", g.wants())
}

// TestAPhotoInParts over a slow line that is cut: what came is kept, and the
// rest is asked for, as long as it is the same photo.
func TestAPhotoInParts(t *testing.T) {
	g := newGallery(t, t.TempDir())
	photo := testjpeg.Noise(1, 900)
	g.send(photo)
	got := []byte{}
	tag := ""
	for len(got) < len(photo) {
		r, err := http.NewRequest("GET", g.url("/api/v1/photos/"+sha(photo)), nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Authorization", "Bearer "+g.token)
		r.Header.Set("Range", fmt.Sprintf("bytes=%d-", len(got)))
		if tag != "" {
			r.Header.Set("If-Range", tag)
		}
		resp, err := g.client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		part := make([]byte, 100_000)
		n, _ := io.ReadFull(resp.Body, part) // and then the line is cut
		resp.Body.Close()
		tag = resp.Header.Get("ETag")
		if want := fmt.Sprintf("bytes %d-%d/%d", len(got), len(photo)-1, len(photo)); resp.StatusCode != 206 || resp.Header.Get("Content-Range") != want {
			t.Fatalf("%s %v, want %s", resp.Status, resp.Header, want)
		}
		got = append(got, part[:n]...)
	}
	if !bytes.Equal(got, photo) {
		t.Error("the parts are another photo")
	}
	r, err := http.NewRequest("HEAD", g.url("/api/v1/photos/"+sha(photo)), nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+g.token)
	resp, err := g.client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	if resp.StatusCode != 200 || resp.ContentLength != int64(len(photo)) || resp.Header.Get("ETag") != `"`+sha(photo)+`"` || resp.Header.Get("Accept-Ranges") != "bytes" {
		t.Errorf("%s %v", resp.Status, resp.Header)
	}
}
