package say

// enShown are the lines of the glass and the scale’s state.
var enShown = map[string]string{}
