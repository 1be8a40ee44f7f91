// Package relief makes a coin's shape out of photos that differ by the side of the lamp alone.
//
// # Model
//
// Photometric stereo (Woodham, Optical Engineering 19, 1980): a dull surface of tone ρ and normal n
// under a far lamp in direction l sends I = ρ n·l. Three or more frames with known l give g = ρ n by
// least squares, so tone and shape come apart: ρ = |g|, and the slopes of the height h(x, y) are
// ∂h/∂x = −g_x/g_z and ∂h/∂y = −g_y/g_z.
//
// What real coins do beside it, and what is done about it:
//
//   - the lamp is near and the camera sets its own exposure: each frame is divided by the quadratic
//     surface through its field (flatten.go), so what is wider than half the coin is lost;
//   - cast shadows and gloss: a frame that is far darker or brighter at a pixel than the others allow
//     counts less there (solve.go);
//   - metal that shines all over, so that Lambert's law explains little: light is then believed for how it
//     stands out of its surroundings alone, which gives slopes but for their scale (even.go);
//   - frames that slipped: all are laid over each other by marks that stay where the lamp moves (marks.go, lay.go) and,
//     as far as the metal is dull, so that they agree with one relief
//     (register.go), drawn in to what frames that slip as they do are likely to have slipped (calm.go), or
//     refused;
//   - the coin is turned under one lamp instead: each frame is turned back, and the lamp with it (dial.go);
//   - room light makes slopes look flatter by one factor, and so does a wrong height of the lamp: the
//     height's scale is not known, and nothing here says µm.
//
// # Heights
//
// Heights are those whose gradient is nearest to the slopes in the least squares sense: Poisson's
// equation ∇²h = ∂p/∂x + ∂q/∂y with no flow over the edges, solved by cosine transforms
// (Simchony, Chellappa and Shao, IEEE Trans. PAMI 12, 1990), with waves longer than the picture
// held down, since flattening has taken them away.
package relief
