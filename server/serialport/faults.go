package serialport

import (
	"errors"
	"io/fs"
	"os"
	"syscall"

	"go.bug.st/serial"

	"panside/internal/fault"
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
		return fault.Wrap(fault.PortMissing, "There is no port "+name+". Nothing is lost; plug the scale in, or choose another port. The search keeps running.", err)
	case serial.PortBusy:
		return fault.Wrap(fault.PortBusy, "Another program is using "+name+". Nothing is lost; close that program and weighing resumes.", err)
	case serial.PermissionDenied:
		return fault.Wrap(fault.PortPermission, permissionSentence(name, groupOf(name)), err)
	}
	if errors.Is(err, errNotSerial) || errors.Is(err, syscall.ENOTTY) {
		return fault.Wrap(fault.PortSettings, name+" is not a serial port. Nothing was changed; choose the port the scale is plugged into.", err)
	}
	return fault.Wrap(fault.PortSettings, name+" does not take the port settings "+s.String()+". No weight is read; choose the speed and framing the scale’s manual gives.", err)
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

// permissionSentence names the group that owns the device, because joining it
// is the cure on nearly every Linux system (often “dialout” or “uucp”).
func permissionSentence(name, group string) string {
	s := "You are not allowed to open " + name + ". Nothing is lost; "
	switch group {
	case "":
		return s + "ask whoever looks after this computer to let you use its serial ports."
	case "root":
		return s + "the port belongs to the administrator alone: ask whoever looks after this computer to let your account use it."
	}
	return s + "join the group “" + group + "” (sudo usermod -aG " + group + " " + userName() + "), then sign out and in again."
}

// userName is the account to put into the command; the shell fills it in where
// it isn't known.
func userName() string {
	if name := os.Getenv("USER"); name != "" {
		return name
	}
	return "$USER"
}
