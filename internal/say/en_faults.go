package say

// enFaults are the lines of errors in the core.
var enFaults = map[string]string{}
