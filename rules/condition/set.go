package condition

import (
	"math/bits"
	"slices"
)

// A Set is a set of symbols, by their index in the environment. The zero value is
// empty and ready to use. It grows on the first use and keeps its memory, so that
// filling it again after Reset allocates nothing.
type Set struct{ bits []uint64 }

// Add puts symbol i into the set. A negative i is left out.
func (s *Set) Add(i int) {
	if i < 0 {
		return
	}
	s.grow(i)
	s.bits[i>>6] |= 1 << (i & 63)
}

// grow makes room for symbol i.
func (s *Set) grow(i int) {
	if i>>6 >= len(s.bits) {
		s.bits = append(s.bits, make([]uint64, i>>6+1-len(s.bits))...)
	}
}

// Has reports whether symbol i is in the set.
func (s *Set) Has(i int) bool {
	return i >= 0 && i>>6 < len(s.bits) && s.bits[i>>6]>>(i&63)&1 == 1
}

// Len returns the number of symbols in the set.
func (s *Set) Len() int {
	n := 0
	for _, w := range s.bits {
		n += bits.OnesCount64(w)
	}
	return n
}

// List returns the symbols in the set, ascending, in a slice of the caller's own.
func (s *Set) List() []int {
	list := make([]int, 0, s.Len())
	for k, w := range s.bits {
		for ; w != 0; w &= w - 1 {
			list = append(list, k<<6+bits.TrailingZeros64(w))
		}
	}
	return list
}

// Equal reports whether two sets hold the same symbols.
func (s *Set) Equal(o *Set) bool { return slices.Equal(s.List(), o.List()) }

// Reset empties the set and keeps its memory.
func (s *Set) Reset() { clear(s.bits) }
