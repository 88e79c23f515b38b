package heat

import (
	"fmt"
	"math"
)

// MinOneTermFourier is the Fourier number from which one term of the series is
// accurate to about 2 %. Incropera et al., section 5.5.2; Cengel, section 4-2.
const MinOneTermFourier = 0.2

// maxBiot keeps the eigenvalue equation representable; above it a face is at its
// surroundings' temperature for all purposes.
const maxBiot = 1e12

// Eigenvalue returns the nth positive root z (n from 1, at most 10 000) of
// z tan z = biot, in radians, for a plane wall with one face insulated (or symmetric
// about it). biot is above zero and at most 1e12. Incropera et al., eq. 5.42c.
func Eigenvalue(biot float64, n int) (float64, error) {
	if err := firstError(positive("Biot number", biot, ""), within("Biot number", biot, 0, maxBiot, ""), within("number of the root", float64(n), 1, 1e4, "")); err != nil {
		return 0, err
	}
	return eigenvalue(biot, n), nil
}

// eigenvalue bisects z sin z - biot cos z, which changes sign once between (n-1) pi
// and (n-1) pi + pi/2 and, unlike z tan z, has no pole there.
func eigenvalue(biot float64, n int) float64 {
	low := float64(n-1) * math.Pi
	high := low + math.Pi/2
	sign := 1.0
	if n%2 == 0 {
		sign = -1
	}
	for range 200 {
		z := low + (high-low)/2
		if z == low || z == high {
			return z
		}
		if sign*(z*math.Sin(z)-biot*math.Cos(z)) > 0 {
			high = z
		} else {
			low = z
		}
	}
	return low + (high-low)/2
}

// amplitude returns C = 4 sin z / (2 z + sin 2z). Incropera et al., eq. 5.42b.
func amplitude(z float64) float64 { return 4 * math.Sin(z) / (2*z + math.Sin(2*z)) }

// OneTerm returns the share of the first temperature difference that is left,
// (T - Tambient)/(Tstart - Tambient), in a plane wall of thickness L with one face
// insulated (or half-thickness L, symmetric) whose other face meets a film of the
// given Biot number, at the Fourier number alpha*t/L² (at least MinOneTermFourier) and
// at place x/L, 0 the insulated and 1 the wetted face. Incropera et al., eq. 5.43.
func OneTerm(biot, fourier, place float64) (float64, error) {
	if err := firstError(within("Fourier number", fourier, MinOneTermFourier, math.MaxFloat64, ""), within("place x/L", place, 0, 1, "")); err != nil {
		return 0, err
	}
	z, err := Eigenvalue(biot, 1)
	if err != nil {
		return 0, err
	}
	return amplitude(z) * math.Exp(-z*z*fourier) * math.Cos(z*place), nil
}

// PlaneWall is OneTerm with as many terms as the Fourier number needs (from 1e-4, under
// which the wall is better taken as semi-infinite). Incropera et al., eq. 5.42a.
func PlaneWall(biot, fourier, place float64) (float64, error) {
	if err := firstError(positive("Biot number", biot, ""), within("Biot number", biot, 0, maxBiot, ""),
		within("Fourier number", fourier, 1e-4, math.MaxFloat64, ""), within("place x/L", place, 0, 1, "")); err != nil {
		return 0, err
	}
	sum := 0.0
	for n := 1; n <= 10000; n++ {
		z := eigenvalue(biot, n)
		decay := math.Exp(-z * z * fourier)
		sum += amplitude(z) * decay * math.Cos(z*place)
		if decay < 1e-16 {
			return sum, nil
		}
	}
	return 0, fmt.Errorf("%w: the series did not settle at Fourier number %g", ErrDomain, fourier)
}
