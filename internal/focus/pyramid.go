package focus

import "panside/internal/picture"

// down gives the picture blurred by Burt and Adelson's kernel (1 4 6 4 1)/16 both ways and half as
// large, odd sizes rounded up.
func down(p picture.Picture) picture.Picture {
	mid := picture.New((p.W+1)/2, p.H)
	for y := range p.H {
		row := p.Light[y*p.W : (y+1)*p.W]
		at := func(x int) float32 { return row[min(max(x, 0), p.W-1)] }
		to := mid.Light[y*mid.W : (y+1)*mid.W]
		for x := range to {
			i := 2 * x
			if i >= 2 && i+2 < p.W {
				to[x] = (row[i-2] + 4*row[i-1] + 6*row[i] + 4*row[i+1] + row[i+2]) / 16
			} else {
				to[x] = (at(i-2) + 4*at(i-1) + 6*at(i) + 4*at(i+1) + at(i+2)) / 16
			}
		}
	}
	out := picture.New(mid.W, (p.H+1)/2)
	for y := range out.H {
		line := func(j int) []float32 {
			j = min(max(j, 0), mid.H-1)
			return mid.Light[j*mid.W : (j+1)*mid.W]
		}
		a, b, c, d, e := line(2*y-2), line(2*y-1), line(2*y), line(2*y+1), line(2*y+2)
		to := out.Light[y*out.W : (y+1)*out.W]
		for x := range to {
			to[x] = (a[x] + 4*b[x] + 6*c[x] + 4*d[x] + e[x]) / 16
		}
	}
	return out
}

// up gives a picture of w*h, at most twice as large, by the same kernel.
func up(p picture.Picture, w, h int) picture.Picture {
	mid := picture.New(w, p.H)
	for y := range p.H {
		row, to := p.Light[y*p.W:(y+1)*p.W], mid.Light[y*w:(y+1)*w]
		at := func(x int) float32 { return row[min(max(x, 0), p.W-1)] }
		for x := range to {
			if i := x / 2; x%2 == 0 {
				to[x] = (at(i-1) + 6*at(i) + at(i+1)) / 8
			} else {
				to[x] = (at(i) + at(i+1)) / 2
			}
		}
	}
	out := picture.New(w, h)
	for y := range h {
		line := func(j int) []float32 {
			j = min(max(j, 0), p.H-1)
			return mid.Light[j*w : (j+1)*w]
		}
		to := out.Light[y*w : (y+1)*w]
		i := y / 2
		a, b, c := line(i-1), line(i), line(i+1)
		if y%2 == 0 {
			for x := range to {
				to[x] = (a[x] + 6*b[x] + c[x]) / 8
			}
		} else {
			for x := range to {
				to[x] = (b[x] + c[x]) / 2
			}
		}
	}
	return out
}

// bands takes a picture apart: each but the last is a level less the next one brought up, the last is
// what is left.
func bands(p picture.Picture, n int) []picture.Picture {
	var out []picture.Picture
	for range n {
		small := down(p)
		back := up(small, p.W, p.H)
		for i, v := range p.Light {
			back.Light[i] = v - back.Light[i]
		}
		out = append(out, back)
		p = small
	}
	return append(out, p)
}

// together is the way back from bands.
func together(b []picture.Picture) picture.Picture {
	p := b[len(b)-1]
	for k := len(b) - 2; k >= 0; k-- {
		p = up(p, b[k].W, b[k].H)
		for i, v := range b[k].Light {
			p.Light[i] += v
		}
	}
	return p
}
