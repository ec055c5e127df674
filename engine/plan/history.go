package plan

import (
	"encoding/binary"
	"slices"
)

// history is what was done to the machine since the first belief, in a form that does not depend on the order of steps where the order
// makes no difference.
type history struct {
	repairs uint64 // done, without success
	seen    []sight
}

// sight is a test that was done.
type sight struct {
	test, outcome int
	before        uint64 // repairs done before it
	felt          uint64 // those of them that can make a difference to what it shows
}

// observe adds a test; affects are the repairs that can make a difference to it. Sights are kept in the order of test numbers.
func (h *history) observe(test, outcome int, affects uint64) history {
	s := sight{test, outcome, h.repairs, h.repairs & affects}
	seen := make([]sight, 0, len(h.seen)+1)
	at, _ := slices.BinarySearchFunc(h.seen, test, func(s sight, test int) int { return s.test - test })
	seen = append(append(append(seen, h.seen[:at]...), s), h.seen[at:]...)
	return history{h.repairs, seen}
}

func (h *history) fail(repairs []int) history {
	return history{h.repairs | setOf(repairs), h.seen}
}

// key names the history; repairs outside of matters leave no trace in it.
func (h *history) key(repairs uint64) string {
	b := binary.LittleEndian.AppendUint64(make([]byte, 0, 8+12*len(h.seen)), repairs)
	for _, s := range h.seen {
		b = binary.LittleEndian.AppendUint16(append(b, byte(s.test)), uint16(s.outcome))
		b = binary.LittleEndian.AppendUint64(b, s.felt)
	}
	return string(b)
}

func setOf(numbers []int) uint64 {
	var s uint64
	for _, n := range numbers {
		s |= 1 << n
	}
	return s
}
