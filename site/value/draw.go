package value

import (
	"hash/fnv"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"turnplate/sim/unit"
)

// Distribution turns a probability into a value.
type Distribution func(p float64) float64

// Normal is the normal distribution (JCGM 101:2008, 6.4.7).
func Normal(mean, sd float64) Distribution {
	if sd == 0 {
		return func(float64) float64 { return mean }
	}
	return distuv.Normal{Mu: mean, Sigma: sd}.Quantile
}

// Uniform is the rectangular distribution (JCGM 101:2008, 6.4.2).
func Uniform(lo, hi float64) Distribution { return distuv.Uniform{Min: lo, Max: hi}.Quantile }

// Triangular is the triangular distribution with its own mode (Kotz and van Dorp, Beyond Beta, 2004, ch. 1).
func Triangular(lo, mode, hi float64) Distribution {
	if hi == lo {
		return func(float64) float64 { return lo }
	}
	return func(p float64) float64 { return distuv.NewTriangle(lo, hi, mode, nil).Quantile(p) }
}

// Sample draws once in each of n equal slices of probability, in random order (Latin hypercube sampling:
// McKay, Beckman and Conover, Technometrics 21, 1979). Each source keeps its distribution far better than
// with plain draws, and sources stay independent because each has an order of its own. The seed comes from
// the notebook and the name, so that an added line changes no other draw.
func Sample(axis *Axis, notebook, name string, dim unit.Dim, d Distribution) *Array {
	h := fnv.New64a()
	h.Write([]byte(notebook + "\x00" + name))
	rng := rand.New(rand.NewPCG(h.Sum64(), 0x7475726e706c6174))
	n := axis.Length
	out := &Array{Dim: dim, Axes: []*Axis{axis}, Num: make([]float64, n)}
	for i, slice := range rng.Perm(n) {
		out.Num[i] = d((float64(slice) + rng.Float64()) / float64(n))
	}
	return out
}
