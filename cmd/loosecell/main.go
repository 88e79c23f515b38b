// Command loosecell tells a technician at the bench, with numbers and sources,
// whether and how a glued lithium battery comes out of a device, and what
// becomes of it afterwards.
package main

import (
	"context"
	"os"
	"syscall"
)

func main() {
	code := run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	if code > exitSignal {
		dieBy(syscall.Signal(code - exitSignal))
	}
	os.Exit(code)
}
