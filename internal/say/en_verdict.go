package say

// enVerdict are the lines of verdicts.
var enVerdict = map[string]string{}
