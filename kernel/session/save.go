package session

import (
	"sync"
	"time"
)

// save has the notebook saved.
func (r *run) save() {
	if r.o.Save == nil {
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.changed = false
	r.o.Save()
}

// saveNowAndThen begins to save the notebook whenever it has changed, at the
// pace the options ask for. The function it returns ends that.
func (r *run) saveNowAndThen() (stop func()) {
	if r.o.Save == nil || r.o.SaveEvery <= 0 {
		return func() {}
	}
	done := make(chan struct{})
	var saver sync.WaitGroup
	saver.Go(func() {
		tick := time.NewTicker(r.o.SaveEvery)
		defer tick.Stop()
		for {
			select {
			case <-tick.C:
				r.mu.Lock()
				changed := r.changed
				r.mu.Unlock()
				if changed {
					r.save()
				}
			case <-done:
				return
			}
		}
	})
	return func() {
		close(done)
		saver.Wait()
	}
}
