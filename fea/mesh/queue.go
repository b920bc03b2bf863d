package mesh

// triQueue holds triangles to look at, the worst first. A triangle may be in it
// more than once, or be gone by its turn: whoever takes it looks again.
type triQueue struct {
	level [queueLevels][]int32
	low   int // no lower level holds anything
}

const queueLevels = 24

// push puts t in; level 0 is taken first.
func (q *triQueue) push(t int32, level int) {
	level = min(max(level, 0), queueLevels-1)
	q.level[level] = append(q.level[level], t)
	q.low = min(q.low, level)
}

// pop takes the last of the lowest level.
func (q *triQueue) pop() (int32, bool) {
	for ; q.low < queueLevels; q.low++ {
		if l := q.level[q.low]; len(l) > 0 {
			q.level[q.low] = l[:len(l)-1]
			return l[len(l)-1], true
		}
	}
	return none, false
}
