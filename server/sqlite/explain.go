package sqlite

import (
	"errors"
	"io/fs"

	sqlite3 "github.com/mattn/go-sqlite3"

	"panside/internal/fault"
)

// explain turns what the driver or the system says into a sentence, judging by
// codes and never by an error's text. A fault passes through unchanged.
func explain(file string, err error) error {
	var f *fault.Error
	if err == nil || errors.As(err, &f) {
		return err
	}
	var e sqlite3.Error
	if errors.As(err, &e) {
		switch e.Code {
		case sqlite3.ErrCorrupt, sqlite3.ErrNotADB, sqlite3.ErrTooBig:
			return damaged(file, err)
		case sqlite3.ErrReadonly, sqlite3.ErrPerm, sqlite3.ErrAuth:
			return readOnly(file, err)
		case sqlite3.ErrCantOpen:
			return unusable(file, err)
		case sqlite3.ErrFull:
			return fault.Wrap(fault.DataFolder, "The disk that holds “"+file+"” is full. Nothing saved so far is lost; free some space and try again.", err)
		case sqlite3.ErrBusy, sqlite3.ErrLocked:
			return fault.Wrap(fault.DataFolder, "Another program is using the records in “"+file+"”. Nothing is lost; close the other one and try again.", err)
		case sqlite3.ErrIoErr:
			return fault.Wrap(fault.DataFolder, "The disk that holds “"+file+"” reports a fault while reading or writing. What was confirmed as saved is not changed; check the disk, and copy the folder to another one before going on.", err)
		}
	}
	switch {
	case errors.Is(err, fs.ErrPermission):
		return readOnly(file, err)
	case errors.As(err, new(*fs.PathError)):
		return unusable(file, err)
	}
	return err
}

func readOnly(file string, err error) error {
	return fault.Wrap(fault.DataFolder, "The records in “"+file+"” can’t be written: this user isn’t allowed to. Nothing is lost; give the user the right to the folder, or choose another one with --data.", err)
}

func unusable(file string, err error) error {
	return fault.Wrap(fault.DataFolder, "The records in “"+file+"” can’t be opened. Nothing was changed; check that the folder is there and that this name in it is a plain file, or choose another folder with --data.", err)
}

func damaged(file string, err error) error {
	return fault.Wrap(fault.Damaged, "The records in “"+file+"” fail their check: the file is damaged. It was not changed. Copy it somewhere safe first, then put back a backup or start with another folder by --data; what the phones hold is still on the phones.", err)
}
