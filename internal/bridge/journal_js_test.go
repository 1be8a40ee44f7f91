package bridge

const onPhone = true
