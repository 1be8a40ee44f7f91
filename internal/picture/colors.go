package picture

// Colors is a picture as the light of its three channels, each a raster of the same size.
type Colors struct{ Red, Green, Blue Picture }

// ShrunkColors is ShrunkRGBA with the channels kept apart.
func ShrunkColors(rgba []byte, w, h, by int) (Colors, bool) {
	if w < 1 || h < 1 || by < 1 || len(rgba) != 4*w*h || w < by || h < by {
		return Colors{}, false
	}
	c := Colors{New(w/by, h/by), New(w/by, h/by), New(w/by, h/by)}
	share := 1 / float32(by*by)
	for y := range c.Red.H {
		from, to := y*c.Red.W, (y+1)*c.Red.W
		red, green, blue := c.Red.Light[from:to], c.Green.Light[from:to], c.Blue.Light[from:to]
		for row := y * by; row < (y+1)*by; row++ {
			in := rgba[4*row*w : 4*(row*w+c.Red.W*by)]
			for x := range red {
				var r, g, b float32
				for px := in[4*x*by : 4*(x+1)*by]; len(px) >= 4; px = px[4:] {
					r, g, b = r+linear[px[0]], g+linear[px[1]], b+linear[px[2]]
				}
				red[x], green[x], blue[x] = red[x]+r*share, green[x]+g*share, blue[x]+b*share
			}
		}
	}
	return c, true
}

// Light weighs the channels to the light of the whole.
func (c Colors) Light() Picture {
	p := New(c.Red.W, c.Red.H)
	for i := range p.Light {
		p.Light[i] = Red*c.Red.Light[i] + Green*c.Green.Light[i] + Blue*c.Blue.Light[i]
	}
	return p
}

// Shrink shrinks each channel as Picture.Shrink does.
func (c Colors) Shrink(by int) Colors {
	return Colors{c.Red.Shrink(by), c.Green.Shrink(by), c.Blue.Shrink(by)}
}
