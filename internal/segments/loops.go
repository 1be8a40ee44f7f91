package segments

import "math"

// These loops go over whole pictures in every frame. They take four cells a turn, or two where each has
// a condition, since a turn of a loop costs as much as several sums in WebAssembly.

// dot is the sum of a·b.
func dot(a, b []float32) float32 {
	var s, t, u, v float32
	b = b[:len(a)]
	k := 0
	for ; k+3 < len(a); k += 4 {
		s += a[k] * b[k]
		t += a[k+1] * b[k+1]
		u += a[k+2] * b[k+2]
		v += a[k+3] * b[k+3]
	}
	for ; k < len(a); k++ {
		s += a[k] * b[k]
	}
	return s + t + u + v
}

// mix writes p·a + q·b in the place of a.
func mix(a []float32, p float32, b []float32, q float32) {
	b = b[:len(a)]
	k := 0
	for ; k+3 < len(a); k += 4 {
		a[k] = p*a[k] + q*b[k]
		a[k+1] = p*a[k+1] + q*b[k+1]
		a[k+2] = p*a[k+2] + q*b[k+2]
		a[k+3] = p*a[k+3] + q*b[k+3]
	}
	for ; k < len(a); k++ {
		a[k] = p*a[k] + q*b[k]
	}
}

// times writes a·b.
func times(a, b, into []float32) {
	a, b = a[:len(into)], b[:len(into)]
	k := 0
	for ; k+3 < len(into); k += 4 {
		into[k] = a[k] * b[k]
		into[k+1] = a[k+1] * b[k+1]
		into[k+2] = a[k+2] * b[k+2]
		into[k+3] = a[k+3] * b[k+3]
	}
	for ; k < len(into); k++ {
		into[k] = a[k] * b[k]
	}
}

// distances is the sum of |p·a − b|.
func distances(p float32, a, b []float32) float32 {
	var s, t, u, v float64
	b = b[:len(a)]
	k := 0
	for ; k+3 < len(a); k += 4 {
		s += math.Abs(float64(p*a[k] - b[k]))
		t += math.Abs(float64(p*a[k+1] - b[k+1]))
		u += math.Abs(float64(p*a[k+2] - b[k+2]))
		v += math.Abs(float64(p*a[k+3] - b[k+3]))
	}
	for ; k < len(a); k++ {
		s += math.Abs(float64(p*a[k] - b[k]))
	}
	return float32(s + t + u + v)
}

// within is the sums of a·b and b·b where (a − p·b)² is at most a limit.
func within(limit, p float32, a, b []float32) (ab, bb float32) {
	b = b[:len(a)]
	k := 0
	for ; k+1 < len(a); k += 2 {
		x, y, z, w := a[k], b[k], a[k+1], b[k+1]
		d, e := x-p*y, z-p*w
		if d*d <= limit {
			ab += x * y
			bb += y * y
		}
		if e*e <= limit {
			ab += z * w
			bb += w * w
		}
	}
	if k < len(a) {
		if d := a[k] - p*b[k]; d*d <= limit {
			ab += a[k] * b[k]
			bb += b[k] * b[k]
		}
	}
	return ab, bb
}
