//go:build !js

package bridge

const onPhone = false
