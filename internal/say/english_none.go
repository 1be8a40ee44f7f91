//go:build wordless

package say

// english stays out of a program that only gives codes: the phone's senses, whose download it
// would make a twentieth larger.
var english []map[string]string
