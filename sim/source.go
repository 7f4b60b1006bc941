package sim

import "embed"

// Source is this package's own Go text, from whose doc comments the reference pages are written.
//
//go:embed *.go
var Source embed.FS

// VehicleSource is the part of it that describes a vehicle, for a program that hasn't room for it all.
//
//go:embed vehicle.go
var VehicleSource string
