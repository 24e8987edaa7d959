package data

import _ "embed"

//go:embed sample/community-garden.hedgereach
var sample []byte

// SampleName is the file name that the sample plan goes by.
const SampleName = "community-garden.hedgereach"

// Sample is a plan file, an invented community garden at an invented spot, for trying the program out. The caller may change
// the bytes.
func Sample() []byte { return append([]byte(nil), sample...) }
