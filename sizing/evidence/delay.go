package evidence

// delay holds samples back for as long as a change that is seen later may reach back to
// them: a sample is transient where any stretch of [Rules.RateTime] that holds it is.
type delay struct {
	span float64
	out  func(*sample) error

	queue []sample
	head  int // of what is held
}

// mostHeld is how many samples are held back at most.
const mostHeld = 1 << 14

// add takes the next sample and hands on those that no change can reach any more.
func (d *delay) add(s *sample) error {
	if s.afresh {
		if err := d.flush(); err != nil {
			return err
		}
	}
	t := s.reading[timeChannel]
	for d.head < len(d.queue) && (t-d.queue[d.head].reading[timeChannel] > d.span || len(d.queue)-d.head >= mostHeld) {
		if err := d.take(); err != nil {
			return err
		}
	}
	if d.head == len(d.queue) {
		d.queue, d.head = d.queue[:0], 0
	} else if d.head > 64 && 2*d.head > len(d.queue) {
		d.queue = d.queue[:copy(d.queue, d.queue[d.head:])]
		d.head = 0
	}
	if s.changing {
		for i := len(d.queue) - 1; i >= d.head && !d.queue[i].changing; i-- {
			d.queue[i].changing = true
			if r := &d.queue[i].reason; *r == "" || *r == OutsideInjectorData {
				*r = Transient
			}
		}
	}
	d.queue = append(d.queue, *s)
	return nil
}

func (d *delay) take() error {
	s := &d.queue[d.head]
	d.head++
	return d.out(s)
}

// flush hands on all that is held.
func (d *delay) flush() error {
	for d.head < len(d.queue) {
		if err := d.take(); err != nil {
			return err
		}
	}
	d.queue, d.head = d.queue[:0], 0
	return nil
}
