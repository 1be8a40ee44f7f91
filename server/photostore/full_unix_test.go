//go:build unix

package photostore

import "syscall"

const fullDisk = syscall.ENOSPC
