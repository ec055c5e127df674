package belief

import "sync"

// arena hands out tables whose sizes are powers of two and takes them back: the buddy system (Knowlton 1965, from memory), so that
// small tables given back join to large ones again and a pass allocates next to nothing once it is warm.
type arena struct {
	chunks [][]float64
	free   [64][]span // by log of the size
	total  int        // entries in all chunks
}

// arenas are kept for the next pass, whatever its net: fresh memory costs as much as the arithmetic on it. A collection of garbage or two
// frees those that nobody uses.
var arenas sync.Pool // *arena

// handedOn is an arena that another pass has done with, on this net or any, or a new one.
func (n *Net) handedOn() *arena {
	if a, ok := n.large.Get().(*arena); ok {
		return a
	}
	if a, ok := arenas.Get().(*arena); ok {
		return a
	}
	return new(arena)
}

// handOn leaves an arena to the next pass; one that is very large only to those on the same net, or many machines at a time would each
// hold on to what the widest sheet among them took.
func (n *Net) handOn(a *arena) {
	const most = 4 << 20 // entries, 32 MB
	if a.total > most {
		n.large.Put(a)
		return
	}
	arenas.Put(a)
}

// span is a place in a chunk; a place of size n starts at a multiple of n.
type span struct{ chunk, off int }

// table is a table of an arena; its first entries are in use.
type table struct {
	t   []float64
	at  span
	log uint8
}

// smallChunk and largeChunk bound the size of a new chunk, if the table itself is not larger.
const smallChunk, largeChunk = 1 << 10, 1 << 19

// get returns a table of 1<<log entries with any content.
func (a *arena) get(log uint8) table {
	k := log
	for int(k) < len(a.free) && len(a.free[k]) == 0 {
		k++
	}
	if int(k) == len(a.free) {
		k = a.grow(log)
	}
	last := len(a.free[k]) - 1
	at := a.free[k][last]
	a.free[k] = a.free[k][:last]
	for ; k > log; k-- {
		a.free[k-1] = append(a.free[k-1], span{at.chunk, at.off + 1<<(k-1)})
	}
	end := at.off + 1<<log
	return table{a.chunks[at.chunk][at.off:end:end], at, log}
}

// grow adds a chunk that holds 1<<log entries at least and returns the log of its size.
func (a *arena) grow(log uint8) uint8 {
	for 1<<log < min(max(a.total, smallChunk), largeChunk) {
		log++
	}
	a.free[log] = append(a.free[log], span{len(a.chunks), 0})
	a.chunks = append(a.chunks, make([]float64, 1<<log))
	a.total += 1 << log
	return log
}

// put gives a table back.
func (a *arena) put(t table) {
	at, log := t.at, t.log
	for ; 1<<log < len(a.chunks[at.chunk]); log++ {
		buddy := span{at.chunk, at.off ^ 1<<log}
		i := len(a.free[log]) - 1
		for i >= 0 && a.free[log][i] != buddy {
			i--
		}
		if i < 0 {
			break
		}
		a.free[log] = append(a.free[log][:i], a.free[log][i+1:]...)
		at.off &^= 1 << log
	}
	a.free[log] = append(a.free[log], at)
}
