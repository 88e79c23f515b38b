package triage

import (
	"context"
	"io"
)

// stoppable is an input of which nobody has to wait for more once ctx has ended:
// a read under way is left to itself then, with the memory it was lent.
type stoppable struct {
	ctx context.Context
	in  io.Reader
}

// Read reads, or returns why ctx ended.
func (s *stoppable) Read(to []byte) (int, error) {
	if s.ctx.Err() != nil {
		return 0, context.Cause(s.ctx)
	}
	type result struct {
		n   int
		err error
	}
	done := make(chan result, 1)
	go func() {
		n, err := s.in.Read(to)
		done <- result{n, err}
	}()
	select {
	case r := <-done:
		return r.n, r.err
	case <-s.ctx.Done():
		return 0, context.Cause(s.ctx)
	}
}
