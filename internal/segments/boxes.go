package segments

// boxes takes means over boxes that reach so many cells to each side, cut at the edges, in pictures of
// one size. It makes nothing anew: phones that read 20 frames a second must not stop to collect
// garbage.
type boxes struct {
	w, h, reach int
	sums        []float32 // of the columns, over the rows that the boxes reach
	shares      []float32 // one over how many columns they reach
}

func newBoxes(w, h, reach int) *boxes {
	b := &boxes{w: w, h: h, reach: reach, sums: make([]float32, w), shares: make([]float32, w)}
	for i := range b.shares {
		b.shares[i] = 1 / float32(min(i+reach, w-1)-max(i-reach, 0)+1)
	}
	return b
}

// row writes the means of a picture's row. Rows are asked for from the top, one after the other.
func (b *boxes) row(from []float32, j int, to []float32) {
	w, n := b.w, b.reach
	b.column(from, j)
	share := 1 / float32(min(j+n, b.h-1)-max(j-n, 0)+1)
	sums, shares, to := b.sums[:w], b.shares[:w], to[:w]
	var sum float32
	for _, x := range sums[:min(n, w)] {
		sum += x
	}
	i := 0
	for ; i < w && i <= n; i++ {
		if i+n < w {
			sum += sums[i+n]
		}
		to[i] = sum * share * shares[i]
	}
	if i+n < w {
		// All of these boxes are whole.
		ahead, behind, into := sums[i+n:], sums[i-n-1:], to[i:w-n]
		ahead, behind = ahead[:len(into)], behind[:len(into)]
		share := share * shares[i]
		k := 0
		for ; k+3 < len(into); k += 4 {
			sum += ahead[k] - behind[k]
			into[k] = sum * share
			sum += ahead[k+1] - behind[k+1]
			into[k+1] = sum * share
			sum += ahead[k+2] - behind[k+2]
			into[k+2] = sum * share
			sum += ahead[k+3] - behind[k+3]
			into[k+3] = sum * share
		}
		for ; k < len(into); k++ {
			sum += ahead[k] - behind[k]
			into[k] = sum * share
		}
		i = w - n
	}
	for ; i < w; i++ {
		sum -= sums[i-n-1]
		to[i] = sum * share * shares[i]
	}
}

// column brings the columns' sums to a row.
func (b *boxes) column(from []float32, j int) {
	w, n := b.w, b.reach
	if j == 0 {
		clear(b.sums)
		for k := range min(n, b.h-1) + 1 {
			mix(b.sums, 1, from[k*w:], 1)
		}
		return
	}
	if k := j + n; k < b.h {
		mix(b.sums, 1, from[k*w:], 1)
	}
	if k := j - n - 1; k >= 0 {
		mix(b.sums, 1, from[k*w:], -1)
	}
}

// threes writes the means over three by three cells, cut at the edges, of a part of a picture.
func threes(from, to []float32, w, h int, part box) {
	x0, x1 := max(part.x0, 1), min(part.x1, w-2)
	for j := part.y0; j <= part.y1; j++ {
		if j == 0 || j == h-1 || x0 > x1 {
			for i := part.x0; i <= part.x1; i++ {
				to[j*w+i] = threeAt(from, w, h, i, j)
			}
			continue
		}
		if part.x0 < x0 {
			to[j*w] = threeAt(from, w, h, 0, j)
		}
		if part.x1 > x1 {
			to[j*w+w-1] = threeAt(from, w, h, w-1, j)
		}
		above, here, below := from[(j-1)*w+x0-1:], from[j*w+x0-1:], from[(j+1)*w+x0-1:]
		left, middle := above[0]+here[0]+below[0], above[1]+here[1]+below[1]
		into := to[j*w+x0 : j*w+x1+1]
		above, here, below = above[2:][:len(into)], here[2:][:len(into)], below[2:][:len(into)]
		for k := range into {
			right := above[k] + here[k] + below[k]
			into[k] = (left + middle + right) * (1.0 / 9)
			left, middle = middle, right
		}
	}
}

// threeAt is that of one cell.
func threeAt(from []float32, w, h, i, j int) float32 {
	var sum, n float32
	for b := max(j-1, 0); b <= min(j+1, h-1); b++ {
		for _, x := range from[b*w+max(i-1, 0) : b*w+min(i+1, w-1)+1] {
			sum += x
			n++
		}
	}
	return sum / n
}
