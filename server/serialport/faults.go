package serialport

import (
	"errors"
	"io/fs"
	"os"
	"syscall"

	"go.bug.st/serial"

	"panside/internal/fault"
	"panside/internal/say"
)

// errHeld says that another program has locked the port.
var errHeld = errors.New("locked by another program")

// openFault finds the sentence for an error of opening or setting up a port.
func openFault(name string, s Settings, err error) error {
	var known *fault.Error
	if errors.As(err, &known) {
		return known
	}
	switch kind(err) {
	case serial.PortNotFound:
		return fault.Wrap(fault.PortMissing, say.New("port-missing", say.Text("port", name)), err)
	case serial.PortBusy:
		return fault.Wrap(fault.PortBusy, say.New("port-busy", say.Text("port", name)), err)
	case serial.PermissionDenied:
		return fault.Wrap(fault.PortPermission, notAllowed(name, groupOf(name)), err)
	}
	if errors.Is(err, errNotSerial) || errors.Is(err, syscall.ENOTTY) {
		return fault.Wrap(fault.PortSettings, say.New("port-not-serial", say.Text("port", name)), err)
	}
	return fault.Wrap(fault.PortSettings, say.New("port-settings", say.Text("port", name), say.Text("settings", s.String())), err)
}

// kind sorts an error of the library or of the operating system.
func kind(err error) serial.PortErrorCode {
	var port *serial.PortError
	switch {
	case errors.As(err, &port):
		return port.Code()
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ENXIO), errors.Is(err, syscall.ENODEV):
		return serial.PortNotFound
	case errors.Is(err, errHeld), errors.Is(err, syscall.EBUSY):
		return serial.PortBusy
	case errors.Is(err, fs.ErrPermission):
		return serial.PermissionDenied
	}
	return -1
}

// notAllowed names the group that owns the device, because joining it is the cure
// on nearly every Linux system (often “dialout” or “uucp”).
func notAllowed(name, group string) say.Line {
	switch group {
	case "":
		return say.New("port-not-allowed", say.Text("port", name))
	case "root":
		return say.New("port-of-root", say.Text("port", name))
	}
	return say.New("port-of-group", say.Text("port", name), say.Text("group", group), say.Text("user", userName()))
}

// userName is the account to put into the command; the shell fills it in where
// it isn't known.
func userName() string {
	if name := os.Getenv("USER"); name != "" {
		return name
	}
	return "$USER"
}
