package say

// enLook are the lines of sheets and the key.
var enLook = map[string]string{}
