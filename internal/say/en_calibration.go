package say

// enCalibration are the lines of the guide through a scale check.
var enCalibration = map[string]string{}
