package layout

// pages puts the strips on pages and returns them with the page that each
// section starts on, counted from 1.
func (d *Doc) pages() (pages [][]strip, starts map[int]int) {
	starts = map[int]int{}
	room := d.bodyHeight()
	var page []strip
	used := 0.0
	turn := func() {
		if len(page) > 0 {
			pages = append(pages, page)
		}
		page, used = nil, 0
	}
	put := func(s strip) {
		if s.section > 0 {
			starts[s.section] = len(pages) + 1
		}
		page = append(page, s)
		used += s.height
	}
	for i := 0; i < len(d.strips); {
		if d.strips[i].newPage {
			turn()
			i++
			continue
		}
		// The strips that have to stand together from here on, as far as a page
		// holds them.
		end, high, need := i, 0.0, 0.0
		for {
			s := d.strips[end]
			need = max(need, high+s.need)
			high += s.height
			end++
			if !s.keep || end == len(d.strips) || d.strips[end].newPage {
				break
			}
		}
		if len(page) > 0 && used+max(high, need) > room && max(high, need) <= room {
			turn()
		}
		for ; i < end; i++ {
			s := d.strips[i]
			if len(page) > 0 && used+s.height > room {
				turn()
			}
			if len(page) == 0 {
				if s.blank {
					continue
				}
				for _, h := range s.head {
					put(h)
				}
			}
			put(s)
		}
	}
	turn()
	return pages, starts
}
