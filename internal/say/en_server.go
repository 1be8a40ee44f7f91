package say

// enServer are the lines of the server alone.
var enServer = map[string]string{}
