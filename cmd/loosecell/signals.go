package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"
)

// A command that is told to end ends as the system has it, at once. Only one
// that writes as it goes takes the signal itself, to leave nothing half written.

// stopped is the end of a run by a signal.
type stopped struct {
	by   syscall.Signal
	rows int // that were dealt with by then
}

func (s stopped) Error() string {
	return fmt.Sprintf("stopped by a signal (%v); the first %s rows are dealt with, and what was written of them is whole", s.by, grouped(s.rows))
}

// patience is how long whoever reads the output may hold up the end.
const patience = time.Second

// stoppable is a context that a signal ends with a stopped as its cause. A
// second signal, or an end that is held up, ends the program as it stands.
func stoppable(ctx context.Context) (_ context.Context, done func()) {
	ctx, cancel := context.WithCancelCause(ctx)
	arrived := make(chan os.Signal, 1)
	for _, s := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		if !signal.Ignored(s) { // as nohup and shells have it for work in the background
			signal.Notify(arrived, s)
		}
	}
	go func() {
		select {
		case got := <-arrived:
			signal.Stop(arrived)
			by, _ := got.(syscall.Signal)
			cancel(stopped{by: by})
			time.Sleep(patience)
			dieBy(by)
		case <-ctx.Done():
			signal.Stop(arrived)
		}
	}()
	return ctx, func() { cancel(nil) }
}

// dieBy ends the program by a signal, so that the shell that started it sees
// that, or with its exit code where a program cannot do so.
func dieBy(s syscall.Signal) {
	signal.Reset(s)
	if self, err := os.FindProcess(os.Getpid()); err == nil && self.Signal(s) == nil {
		time.Sleep(patience) // until it comes
	}
	os.Exit(exitSignal + int(s))
}
