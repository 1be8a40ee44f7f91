package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"panside/internal/device"
	"panside/server/backup"
	"panside/server/config"
	"panside/server/promised"
	"panside/server/sqlite"
	"panside/server/testjpeg"
)

// asKilled copies a running server's folder as a kill would leave it.
func asKilled(t *testing.T, k *kitchen) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "data")
	if err := os.CopyFS(dir, os.DirFS(k.folder)); err != nil {
		t.Fatal(err)
	}
	return dir
}

// TestFewerThanPromised: whatever happens to the files, the laptop says that it
// has fewer entries than it acknowledged, asks the phones, and says it when all
// are back.
func TestFewerThanPromised(t *testing.T) {
	remove := func(names ...string) func(t *testing.T, dir, old string) {
		return func(t *testing.T, dir, _ string) {
			for _, name := range names {
				if err := os.RemoveAll(filepath.Join(dir, name)); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	for name, harm := range map[string]func(t *testing.T, dir, old string){
		"the log beside the records is gone": remove(backup.RecordsFile + "-wal"),
		"the log is damaged": func(t *testing.T, dir, _ string) {
			wal := filepath.Join(dir, backup.RecordsFile+"-wal")
			raw, err := os.ReadFile(wal)
			if err != nil {
				t.Fatal(err)
			}
			for i := 4096; i < len(raw); i += 4096 {
				raw[i] ^= 0x55
			}
			if err := os.WriteFile(wal, raw, 0o600); err != nil {
				t.Fatal(err)
			}
		},
		"an old copy of the records is put in place": func(t *testing.T, dir, old string) {
			remove(backup.RecordsFile+"-wal", backup.RecordsFile+"-shm")(t, dir, "")
			if err := copyOver(filepath.Join(old, backup.RecordsFile), filepath.Join(dir, backup.RecordsFile)); err != nil {
				t.Fatal(err)
			}
		},
		"an old copy of the whole folder is put in place": func(t *testing.T, dir, old string) {
			remove("")(t, dir, "")
			if err := os.CopyFS(dir, os.DirFS(old)); err != nil {
				t.Fatal(err)
			}
		},
		"the records are gone":  remove(backup.RecordsFile, backup.RecordsFile+"-wal", backup.RecordsFile+"-shm"),
		"the folder is emptied": remove(""),
		"the note is damaged too": func(t *testing.T, dir, _ string) {
			remove(backup.RecordsFile+"-wal")(t, dir, "")
			f, err := os.OpenFile(filepath.Join(dir, backup.PromisedFile), os.O_WRONLY, 0)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := f.WriteAt([]byte("damage"), 20); err != nil { // the first line only
				t.Fatal(err)
			}
			f.Close()
		},
	} {
		t.Run(name, func(t *testing.T) {
			first := filepath.Join(t.TempDir(), "data")
			k := open(t, config.Config{Data: first})
			p := k.pocket(1)
			writeMany(p, 5)
			k.close()
			old := filepath.Join(t.TempDir(), "old")
			if err := os.CopyFS(old, os.DirFS(first)); err != nil {
				t.Fatal(err)
			}
			k = open(t, config.Config{Data: first})
			p.k = k
			writeMany(p, 40)
			p.pull()
			k.promises.NoteBeside() // as with each copy
			dir := asKilled(t, k)
			if err := copyOver(backup.NoteFile(k.folder), backup.NoteFile(dir)); err != nil {
				t.Fatal(err)
			}
			k.close()
			harm(t, dir, old)

			var s *said
			k, s = openTelling(t, config.Config{Data: dir})
			has, err := k.db.Count(t.Context())
			if err != nil || has >= 45 {
				t.Fatalf("the harm did nothing: %d entries, %v", has, err)
			}
			word := s.all()
			t.Log(word)
			if !strings.Contains(word, backup.Counted(45-int(has), "entry", "entries")+" that it had confirmed") || !strings.Contains(word, "numbers ") || !strings.Contains(word, "to 45 of ") || !strings.Contains(word, "Kitchen phone") {
				t.Errorf("with %d of 45 entries it says %q", has, word)
			}
			conn := k.socket(k.join(device.Phone).Token)
			if m := aboutRecords(t, conn); !strings.Contains(m.Sentence, "that it had confirmed") {
				t.Errorf("a phone is told %+v", m)
			}
			// The phone, which may have to join again, brings what it has.
			p.k, p.token = k, k.join(device.Phone).Token
			p.pull()
			p.push()
			if n, err := k.db.Count(t.Context()); err != nil || n != 45 {
				t.Fatalf("%d entries after the phone came, %v", n, err)
			}
			if m := aboutRecords(t, conn); m.Sentence != "" {
				t.Errorf("all is back, and a phone is told %+v", m)
			}
			if !strings.Contains(s.all(), "are back") {
				t.Errorf("all is back, and the laptop says %q", s.all())
			}
			k.close()
			k, s = openTelling(t, config.Config{Data: dir})
			if s.all() != "" {
				t.Errorf("at the next start it says %q", s.all())
			}
			k.close()
		})
	}
}

// TestWhatNobodyHas is named, and stays so after a restart, until it is found.
func TestWhatNobodyHas(t *testing.T) {
	k := open(t, config.Config{})
	lost, other := k.pocket(1), k.pocket(2)
	writeMany(other, 3)
	k.copyIfDue(t.Context(), true)
	dir := asKilled(t, k)
	writeMany(lost, 7)
	for _, name := range []string{backup.PromisedFile} {
		if err := copyOver(filepath.Join(k.folder, name), filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
	}
	k.close()
	for range 2 {
		var s *said
		k, s = openTelling(t, config.Config{Data: dir})
		other.k, other.token = k, k.join(device.Phone).Token
		other.pull()
		other.push()
		other.pull()
		last := s.all()[strings.LastIndex("\n"+s.all(), "\n"):]
		for _, part := range []string{"7 entries that", "(numbers 1 to 7 of ", "confirmed until " + time.Now().Format("January 2, 2006"), "1 phone has connected since and didn’t have them"} {
			if !strings.Contains(last, part) {
				t.Errorf("it says %q, without %q", last, part)
			}
		}
		// An older copy may have them, so none is thrown away.
		if !k.promises.AnyLacking() {
			t.Error("copies go on being thrown away")
		}
		k.close()
	}
	if exists(todaysCopy(filepath.Join(dir, backup.CopiesFolder), time.Now())) && !exists(strings.TrimSuffix(todaysCopy(filepath.Join(dir, backup.CopiesFolder), time.Now()), ".zip")+"-before-loss.zip") {
		t.Error("the day's copy of before is written over")
	}
	k, s := openTelling(t, config.Config{Data: dir})
	lost.k, lost.token = k, k.join(device.Phone).Token
	lost.pull()
	lost.push()
	if !strings.Contains(s.all(), "are back") {
		t.Errorf("it says %q", s.all())
	}
}

// TestTheDailyLook finds what goes wrong while the server runs.
func TestTheDailyLook(t *testing.T) {
	k, s := openTelling(t, config.Config{})
	writeMany(k.pocket(1), 50)
	k.checkRecords(t.Context())
	if s.all() != "" {
		t.Fatalf("all is well, and it says %q", s.all())
	}
	file := filepath.Join(k.folder, backup.RecordsFile)
	if err := sqlite.Fold(t.Context(), file); err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	at := strings.LastIndex(string(raw), `"find 7"`)
	if at < 0 {
		t.Fatal("no such entry in the file")
	}
	f, err := os.OpenFile(file, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := f.WriteAt([]byte(`"fond`), int64(at)); err != nil {
		t.Fatal(err)
	}
	k.checkRecords(t.Context())
	if !strings.Contains(s.all(), "fail their check") {
		t.Errorf("it says %q", s.all())
	}
}

// TestAFolderPulledAway: nothing is acknowledged that nobody finds again.
func TestAFolderPulledAway(t *testing.T) {
	for name, harm := range map[string]func(dir string) error{
		"renamed": func(dir string) error { return os.Rename(dir, dir+"-away") },
		"removed": func(dir string) error { // a copy may just be made in it
			for os.RemoveAll(dir) != nil {
			}
			return nil
		},
		"its records removed": func(dir string) error { return os.Remove(filepath.Join(dir, backup.RecordsFile)) },
		"its log removed":     func(dir string) error { return os.Remove(filepath.Join(dir, backup.RecordsFile+"-wal")) },
		"another one there": func(dir string) error {
			if err := os.Rename(dir, dir+"-away"); err != nil {
				return err
			}
			return os.CopyFS(dir, os.DirFS(dir+"-away"))
		},
	} {
		t.Run(name, func(t *testing.T) {
			k := open(t, config.Config{Data: filepath.Join(t.TempDir(), "data")})
			k.hasCopied(1)
			p := k.pocket(1)
			writeMany(p, 3)
			if err := harm(k.folder); err != nil {
				t.Fatal(err)
			}
			p.write("find", "", `{"note":"after"}`)
			status, body := k.raw("POST", "/api/v1/journal", p.token, []byte(`{"v":1,"entries":[`+p.Entries[3].Raw+`]}`))
			if status < 500 || !strings.Contains(string(body), "was moved, replaced or removed") {
				t.Errorf("a push: %d %s", status, body)
			}
			photo := testjpeg.Noise(1, 64)
			if status, body := k.raw("PUT", "/api/v1/photos/"+sha(photo), p.token, photo); status < 400 {
				t.Errorf("a photo: %d %s", status, body)
			}
			if status, _ := k.tryJoin(secretOf(t, k.Invite(device.Phone))); status < 400 {
				t.Errorf("joining: %d", status)
			}
			before := exists(k.folder)
			dir := k.folder
			k.close()
			if !before && exists(dir) {
				t.Error("stopping made the folder again")
			}
		})
	}
}

// TestTheNextStartMissesTheFolder that was pulled away.
func TestTheNextStartMissesTheFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data")
	k := open(t, config.Config{Data: dir})
	writeMany(k.pocket(1), 6)
	k.close()
	if err := os.Rename(dir, dir+"-away"); err != nil {
		t.Fatal(err)
	}
	k, s := openTelling(t, config.Config{Data: dir})
	if !strings.Contains(s.all(), "6 entries that it had confirmed") {
		t.Errorf("it says %q", s.all())
	}
	k.close()
}

// TestASecondServerWithoutTheLocksFile doesn't start.
func TestASecondServerWithoutTheLocksFile(t *testing.T) {
	k := open(t, config.Config{})
	if err := os.Remove(filepath.Join(k.folder, "panside.lock")); err != nil {
		t.Fatal(err)
	}
	second := prepare(t, config.Config{Data: k.folder}, make(fakeScale).scale())
	if err := second.Start(t.Context()); err == nil || !strings.Contains(err.Error(), "Another Panside") {
		if err == nil {
			_ = second.Stop()
		}
		t.Errorf("a second one: %v", err)
	}
}

// TestWhatWasPromisedIsOnTheDisk before the answer, and grows with every push.
func TestWhatWasPromisedIsOnTheDisk(t *testing.T) {
	k := open(t, config.Config{})
	p := k.pocket(1)
	for n := range 5 {
		writeMany(p, 1)
		s, damaged, err := promised.Read(filepath.Join(k.folder, backup.PromisedFile))
		if err != nil || damaged > 0 || s.Count != int64(n+1) || len(s.Heads) != 1 || s.List()[0].Seq != uint64(n+1) {
			t.Errorf("after %d: %+v, %d damaged, %v", n+1, s, damaged, err)
		}
	}
}
