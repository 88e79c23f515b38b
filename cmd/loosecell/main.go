// Command loosecell tells a technician at the bench, with numbers and sources,
// whether and how a glued lithium battery comes out of a device, and what
// becomes of it afterwards.
package main

import (
	"context"
	"os"
	"os/signal"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
