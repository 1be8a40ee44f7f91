package othercoin

import "math"

// clouds is smooth noise over the plane from -1 to 1, with lumps of about 1, of a seed.
type clouds uint64

func (n clouds) corner(x, y int32) float64 {
	h := uint64(n) ^ uint64(uint32(x))*0x9e3779b97f4a7c15 ^ uint64(uint32(y))*0xc2b2ae3d27d4eb4f
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	h ^= h >> 32
	return float64(h&0xffff)/32767.5 - 1
}

func (n clouds) at(x, y float64) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	i, j := int32(fx), int32(fy)
	u, v := smooth(x-fx), smooth(y-fy)
	top := n.corner(i, j) + u*(n.corner(i+1, j)-n.corner(i, j))
	low := n.corner(i, j+1) + u*(n.corner(i+1, j+1)-n.corner(i, j+1))
	return top + v*(low-top)
}

// rough is clouds of several sizes, each half as large and half as strong.
func (n clouds) rough(x, y float64, octaves int) float64 {
	sum, k := 0.0, 0.5
	for range octaves {
		sum += k * n.at(x, y)
		x, y, k, n = 2.03*x+17, 2.03*y+5, k/2, n*31+7
	}
	return sum
}
