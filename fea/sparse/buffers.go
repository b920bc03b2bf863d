package sparse

import (
	"math/bits"
	"sync"
)

// Buffers keeps the memory of released factors for the next ones: memory that
// the system has to hand out anew costs as much time as the arithmetic of a small
// model. The zero value is empty and ready; it may serve several factors and
// goroutines at a time. A nil *Buffers keeps nothing.
type Buffers struct {
	mu    sync.Mutex
	large [][]float64     // guarded by mu
	small [40][][]float64 // by size class; guarded by mu
}

// maxLarge is the number of large blocks that are kept: those of two factors.
const maxLarge = 4

// takeLarge returns a block of n doubles of any value, the smallest kept one that
// is large enough.
func (b *Buffers) takeLarge(n int) []float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	best := -1
	for i, block := range b.large {
		if cap(block) >= n && (best < 0 || cap(block) < cap(b.large[best])) {
			best = i
		}
	}
	if best < 0 || cap(b.large[best]) > 4*n+1024 {
		return make([]float64, n, n+n/8) // a model grows a little from edit to edit
	}
	block := b.large[best][:n]
	b.large = append(b.large[:best], b.large[best+1:]...)
	return block
}

// giveLarge keeps a block; the smallest is dropped if there are too many.
func (b *Buffers) giveLarge(block []float64) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.large = append(b.large, block)
	if len(b.large) > maxLarge {
		least := 0
		for i := range b.large {
			if cap(b.large[i]) < cap(b.large[least]) {
				least = i
			}
		}
		b.large = append(b.large[:least], b.large[least+1:]...)
	}
}

// class is the size class of n doubles: two to an octave.
func class(n int) (k, size int) {
	if n <= 64 {
		return 0, 64
	}
	top := bits.Len(uint(n - 1)) // n ≤ 1<<top
	if half := 3 << (top - 2); n <= half {
		return 2*(top-6) - 1, half
	}
	return 2 * (top - 6), 1 << top
}

// take returns a block of n doubles of any value for a short time.
func (b *Buffers) take(n int) []float64 {
	k, size := class(n)
	if k >= len(b.small) {
		return make([]float64, n)
	}
	b.mu.Lock()
	if list := b.small[k]; len(list) > 0 {
		block := list[len(list)-1]
		b.small[k] = list[:len(list)-1]
		b.mu.Unlock()
		return block[:n]
	}
	b.mu.Unlock()
	return make([]float64, n, size)
}

// give takes a block back.
func (b *Buffers) give(block []float64) {
	k, size := class(cap(block))
	if size != cap(block) || k >= len(b.small) {
		return // not from a class: too large to be kept
	}
	b.mu.Lock()
	b.small[k] = append(b.small[k], block)
	b.mu.Unlock()
}

// Drop forgets all kept memory.
func (b *Buffers) Drop() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.large, b.small = nil, [40][][]float64{}
}
