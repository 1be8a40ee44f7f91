package sqlite

import (
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	sqlite3 "github.com/mattn/go-sqlite3"

	"panside/internal/device"
	"panside/internal/fault"
)

func open(t *testing.T, file string) *DB {
	t.Helper()
	db, err := Open(t.Context(), file)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db
}

// TestEveryConnectionIsSafe opens several connections at once: each of them
// must wait for locks, synchronise fully and hold foreign keys.
func TestEveryConnectionIsSafe(t *testing.T) {
	// The name holds what would end or change a careless connection string.
	db := open(t, filepath.Join(t.TempDir(), "a ?_foreign_keys=off&#%20 ü.db"))
	for i := range 4 {
		conn, err := db.sql.Conn(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close() // all four stay open together
		for pragma, want := range map[string]string{
			"busy_timeout": "5000", "journal_mode": "wal", "synchronous": "2", "foreign_keys": "1",
		} {
			var got string
			if err := conn.QueryRowContext(t.Context(), "PRAGMA "+pragma).Scan(&got); err != nil {
				t.Fatal(err)
			}
			if got != want {
				t.Errorf("connection %d: %s is %s, want %s", i, pragma, got, want)
			}
		}
	}
}

func TestTablesAreStrict(t *testing.T) {
	db := open(t, filepath.Join(t.TempDir(), "x.db"))
	err := db.each(t.Context(), `SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite_%' AND name NOT LIKE 'goose_%'`,
		func(scan func(...any) error) error {
			var name string
			var strict bool
			if err := scan(&name, &strict); err != nil {
				return err
			}
			if !strict {
				t.Errorf("table %s is not STRICT", name)
			}
			return nil
		})
	if err != nil {
		t.Fatal(err)
	}
}

func TestOnlyTheOwnerCanReadTheFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "x.db")
	db := open(t, file)
	if err := db.AddDevice(t.Context(), device.Device{ID: "a", Name: "n", Role: device.Phone}, [32]byte{1}); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{file, file + "-wal"} {
		info, err := os.Stat(name)
		if err != nil {
			t.Fatal(err)
		}
		if mode := info.Mode().Perm(); mode != 0o600 {
			t.Errorf("%s has mode %o, want 600", filepath.Base(name), mode)
		}
	}
}

func TestDevicesOutliveARestart(t *testing.T) {
	file := filepath.Join(t.TempDir(), "x.db")
	at := time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)
	want := device.Device{ID: "D1", Name: "Kitchen phone", Role: device.Phone, Created: at, LastSeen: at}
	hash := sha256.Sum256([]byte("token"))

	db := open(t, file)
	if err := db.AddDevice(t.Context(), want, hash); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}

	db = open(t, file)
	got, err := db.DeviceByToken(t.Context(), hash)
	if err != nil || got != want {
		t.Fatalf("got %+v, %v, want %+v", got, err, want)
	}
	if err := db.SawDevice(t.Context(), "D1", at.Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	if err := db.SawDevice(t.Context(), "D1", at); err != nil { // a clock set back
		t.Fatal(err)
	}
	list, err := db.Devices(t.Context())
	if err != nil || len(list) != 1 || !list[0].LastSeen.Equal(at.Add(time.Hour)) {
		t.Errorf("list %+v, %v", list, err)
	}
}

func TestAnEndedDeviceHasNoToken(t *testing.T) {
	db := open(t, filepath.Join(t.TempDir(), "x.db"))
	ctx := t.Context()
	for i, id := range []string{"A", "B"} {
		at := time.UnixMilli(int64(i))
		if err := db.AddDevice(ctx, device.Device{ID: id, Name: id, Role: device.Desk, Created: at, LastSeen: at}, sha256.Sum256([]byte(id))); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.EndDevice(ctx, "A", time.Now()); err != nil {
		t.Fatal(err)
	}
	if err := db.RenameDevice(ctx, "A", "late"); code(err) != fault.NotFound {
		t.Errorf("renaming the ended one: %v", err)
	}
	if err := db.RenameDevice(ctx, "B", "Kitchen"); err != nil {
		t.Error(err)
	}
	if _, err := db.DeviceByToken(ctx, sha256.Sum256([]byte("A"))); code(err) != fault.NotJoined {
		t.Errorf("ended device: %v", err)
	}
	if _, err := db.DeviceByToken(ctx, sha256.Sum256([]byte("B"))); err != nil {
		t.Errorf("the other device: %v", err)
	}
	for _, id := range []string{"A", "never"} {
		if err := db.EndDevice(ctx, id, time.Now()); code(err) != fault.NotFound {
			t.Errorf("ending %s: %v", id, err)
		}
	}
	if list, err := db.Devices(ctx); err != nil || len(list) != 1 || list[0].ID != "B" || list[0].Name != "Kitchen" {
		t.Errorf("list %+v, %v", list, err)
	}
}

func TestTheDatabaseItselfRefusesNonsense(t *testing.T) {
	db := open(t, filepath.Join(t.TempDir(), "x.db"))
	good := device.Device{ID: "A", Name: "a", Role: device.Phone}
	if err := db.AddDevice(t.Context(), good, [32]byte{1}); err != nil {
		t.Fatal(err)
	}
	for what, d := range map[string]device.Device{
		"same id":      good,
		"unknown role": {ID: "B", Name: "b", Role: "guest"},
		"same token":   {ID: "C", Name: "c", Role: device.Phone},
	} {
		if err := db.AddDevice(t.Context(), d, [32]byte{1}); err == nil {
			t.Errorf("%s was stored", what)
		}
	}
}

func code(err error) fault.Code {
	if err == nil {
		return ""
	}
	return fault.Of(err).Code
}

func TestBadFilesGetPlainSentences(t *testing.T) {
	dir := t.TempDir()
	notADatabase := filepath.Join(dir, "text.db")
	if err := os.WriteFile(notADatabase, bytes.Repeat([]byte("not a database\n"), 100), 0o600); err != nil {
		t.Fatal(err)
	}
	isAFolder := filepath.Join(dir, "folder.db")
	if err := os.Mkdir(isAFolder, 0o700); err != nil {
		t.Fatal(err)
	}
	for file, want := range map[string]fault.Code{
		notADatabase:                        fault.Damaged,
		isAFolder:                           fault.DataFolder,
		filepath.Join(dir, "none", "x.db"):  fault.DataFolder,
		filepath.Join(notADatabase, "x.db"): fault.DataFolder,
		tornPage(t, dir):                    fault.Damaged,
		fromTheFuture(t, dir):               fault.DataFolder,
	} {
		before, _ := os.ReadFile(file)
		db, err := Open(t.Context(), file)
		if err == nil {
			db.Close()
			t.Errorf("%s was opened", filepath.Base(file))
			continue
		}
		if f := fault.Of(err); f.Code != want || !strings.Contains(f.English(), file) {
			t.Errorf("%s: %v, want code %s and the file's name", filepath.Base(file), err, want)
		}
		if after, _ := os.ReadFile(file); !slices.Equal(before, after) {
			t.Errorf("%s was changed", filepath.Base(file))
		}
	}
}

// tornPage makes a database whose last pages hold garbage, as after a failing
// memory card.
func tornPage(t *testing.T, dir string) string {
	t.Helper()
	file := filepath.Join(dir, "torn.db")
	db := open(t, file)
	for i := range 200 {
		id := fmt.Sprintf("device %03d", i)
		if err := db.AddDevice(t.Context(), device.Device{ID: id, Name: strings.Repeat("n", 40), Role: device.Phone}, sha256.Sum256([]byte(id))); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.Close(); err != nil { // the log is folded into the file
		t.Fatal(err)
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	const page = 4096
	for i := 3 * page; i < len(raw); i++ {
		raw[i] ^= 0xa5
	}
	if err := os.WriteFile(file, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func fromTheFuture(t *testing.T, dir string) string {
	t.Helper()
	file := filepath.Join(dir, "future.db")
	db := open(t, file)
	if _, err := db.sql.ExecContext(t.Context(), `INSERT INTO goose_db_version (version_id, is_applied) VALUES (9999, 1)`); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return file
}

// TestDamageThatIsNoErrorIsFound checks the trap that both of SQLite's checks
// report rows and no error.
func TestDamageThatIsNoErrorIsFound(t *testing.T) {
	for what, damage := range map[string]string{
		"a row names a missing one": `CREATE TABLE child (d TEXT REFERENCES devices (id)) STRICT; INSERT INTO child VALUES ('nobody')`,
		"a row that can't be":       `PRAGMA ignore_check_constraints = on; INSERT INTO devices (id, name, role, created, last_seen, ended) VALUES ('X', 'x', 'guest', 0, 0, 0)`,
	} {
		file := filepath.Join(t.TempDir(), "x.db")
		if err := open(t, file).Close(); err != nil {
			t.Fatal(err)
		}
		damageBy(t, file, damage)
		if _, err := Open(t.Context(), file); code(err) != fault.Damaged {
			t.Errorf("%s: %v, want damaged", what, err)
		}
	}
}

// damageBy runs statements on a file as a careless program would, with foreign
// keys off.
func damageBy(t *testing.T, file, statements string) {
	t.Helper()
	loose, err := sql.Open("sqlite3", file)
	if err != nil {
		t.Fatal(err)
	}
	_, err = loose.ExecContext(t.Context(), statements)
	if err := errors.Join(err, loose.Close()); err != nil {
		t.Fatal(err)
	}
}

func TestExplainJudgesByCode(t *testing.T) {
	for number, want := range map[sqlite3.ErrNo]fault.Code{
		sqlite3.ErrReadonly: fault.DataFolder,
		sqlite3.ErrPerm:     fault.DataFolder,
		sqlite3.ErrFull:     fault.DataFolder,
		sqlite3.ErrBusy:     fault.DataFolder,
		sqlite3.ErrIoErr:    fault.DataFolder,
		sqlite3.ErrCorrupt:  fault.Damaged,
		sqlite3.ErrSchema:   fault.Internal,
	} {
		err := explain("x.db", fmt.Errorf("running: %w", sqlite3.Error{Code: number}))
		if got := code(err); got != want {
			t.Errorf("SQLite code %d: %s, want %s", number, got, want)
		}
		if !errors.As(err, new(sqlite3.Error)) {
			t.Errorf("SQLite code %d: the cause is lost", number)
		}
	}
	if code(explain("x.db", &os.PathError{Op: "open", Err: os.ErrPermission})) != fault.DataFolder {
		t.Error("a forbidden file is no fault of the data folder")
	}
	if explain("x.db", nil) != nil {
		t.Error("explain(nil) is not nil")
	}
}

func TestOpenStopsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if db, err := Open(ctx, filepath.Join(t.TempDir(), "x.db")); err == nil {
		db.Close()
		t.Error("opened under a cancelled context")
	}
}

// TestBuildWithoutCgoIsRefused reads the compiler's message: without cgo the
// driver would build and fail only in use.
func TestBuildWithoutCgoIsRefused(t *testing.T) {
	cmd := exec.Command("go", "build", ".")
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0")
	out, err := cmd.CombinedOutput()
	if err == nil || !bytes.Contains(out, []byte("CGO_ENABLED_1_and_a_C_compiler")) {
		t.Errorf("building without cgo: %v\n%s", err, out)
	}
}
