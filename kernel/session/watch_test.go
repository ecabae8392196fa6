package session

import (
	"context"
	"errors"
	"testing"
	"time"

	"example.com/railbook/kernel/wire"
	"example.com/railbook/kernel/wire/wiretest"
)

func TestWatch(t *testing.T) {
	quiet := func(*fakeKernel, *wiretest.Peer, *wire.Message, string) {}
	for _, tt := range []struct {
		name  string
		limit time.Duration
		die   bool
		want  string // cause of the context's end; empty if it should not end
	}{
		{"alive", time.Minute, false, ""},
		{"dead", time.Minute, true, "signal: killed; last words: help"},
		{"silent", time.Nanosecond, false, "the cell kernel has not answered its heartbeat for 1ns"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			k := newFake(t, quiet)
			ctx, cancel := context.WithCancelCause(t.Context())
			defer cancel(nil)
			go watch(ctx, k, cancel, time.Millisecond, tt.limit)
			if tt.die {
				k.die()
			}
			if tt.want == "" {
				select {
				case <-ctx.Done():
					t.Errorf("ended: %v", context.Cause(ctx))
				case <-time.After(200 * time.Millisecond):
				}
				return
			}
			select {
			case <-ctx.Done():
			case <-time.After(20 * time.Second):
				t.Fatal("did not notice")
			}
			if got := context.Cause(ctx).Error(); got != tt.want {
				t.Errorf("got %s, want %s", got, tt.want)
			}
		})
	}
}

// TestSilentKernelIsLost checks what becomes of a cell when the watch has given
// up the kernel.
func TestSilentKernelIsLost(t *testing.T) {
	k := newFake(t, func(*fakeKernel, *wiretest.Peer, *wire.Message, string) {})
	ctx, cancel := context.WithCancelCause(t.Context())
	cancel(&silentKernel{time.Minute})
	err := Run(ctx, k, notebook(t, "code"), Options{})
	if died, ok := errors.AsType[*KernelDied](err); !ok || died.Error() != "cell 1 (code cell 1) was lost: the cell kernel has not answered its heartbeat for 1m0s" {
		t.Errorf("got %v", err)
	}
}
