package heat

import "math"

// The three closed forms of a half-space that starts at one temperature: Carslaw and
// Jaeger, Conduction of Heat in Solids, chapter II (from memory); Incropera et al.,
// section 5.7; Holman, Heat Transfer, section 4-3.

func checkHalfSpace(depthM, timeS, diffusivity, conductivity float64) error {
	return firstError(within("depth", depthM, 0, math.MaxFloat64, "m"), positive("time", timeS, "s"),
		positive("diffusivity", diffusivity, "m²/s"), positive("conductivity", conductivity, "W/(m K)"))
}

// SemiInfiniteFixedC returns the temperature (degC) at depthM (zero or more) and timeS
// (above zero) when the face jumps from startC to faceC. Diffusivity in m²/s.
// Incropera et al., eq. 5.60.
func SemiInfiniteFixedC(startC, faceC, depthM, timeS, diffusivity float64) (float64, error) {
	if err := firstError(finite("start", startC), finite("face", faceC), checkHalfSpace(depthM, timeS, diffusivity, 1)); err != nil {
		return 0, err
	}
	return faceC + (startC-faceC)*math.Erf(depthM/(2*math.Sqrt(diffusivity*timeS))), nil
}

// SemiInfiniteFixedDepthM returns the depth at which that temperature is targetC,
// which must lie strictly between faceC and startC.
func SemiInfiniteFixedDepthM(startC, faceC, targetC, timeS, diffusivity float64) (float64, error) {
	if err := firstError(finite("start", startC), finite("face", faceC), finite("target", targetC), checkHalfSpace(0, timeS, diffusivity, 1)); err != nil {
		return 0, err
	}
	share := (targetC - faceC) / (startC - faceC)
	if err := within("target's place between face and start", share, 1e-15, 1-1e-15, ""); err != nil {
		return 0, err
	}
	return 2 * math.Sqrt(diffusivity*timeS) * math.Erfinv(share), nil
}

// SemiInfiniteFluxC returns the temperature (degC) at depthM and timeS when a constant
// flux (W/m², finite, positive inwards) enters the face. Incropera et al., eq. 5.62.
func SemiInfiniteFluxC(startC, flux, depthM, timeS, conductivity, diffusivity float64) (float64, error) {
	if err := firstError(finite("start", startC), finite("flux", flux), checkHalfSpace(depthM, timeS, diffusivity, conductivity)); err != nil {
		return 0, err
	}
	spread := math.Sqrt(diffusivity * timeS)
	a := depthM / (2 * spread)
	return startC + 2*flux*spread/(conductivity*math.SqrtPi)*math.Exp(-a*a) - flux*depthM/conductivity*math.Erfc(a), nil
}

// SemiInfiniteConvectionC returns the temperature (degC) at depthM and timeS when the
// face meets surroundings at ambientC through a film coefficient (W/(m²K), above zero).
// Incropera et al., eq. 5.63; Holman, eq. 4-15.
func SemiInfiniteConvectionC(startC, ambientC, film, depthM, timeS, conductivity, diffusivity float64) (float64, error) {
	if err := firstError(finite("start", startC), finite("ambient", ambientC), positive("film coefficient", film, "W/(m²K)"),
		checkHalfSpace(depthM, timeS, diffusivity, conductivity)); err != nil {
		return 0, err
	}
	spread := math.Sqrt(diffusivity * timeS)
	a, b := depthM/(2*spread), film*spread/conductivity
	// exp(h x/k + h² alpha t/k²) erfc(a+b) = exp(-a²) erfcx(a+b), which cannot overflow.
	return startC + (ambientC-startC)*(math.Erfc(a)-math.Exp(-a*a)*scaledErfc(a+b)), nil
}

// scaledErfc returns exp(y²) erfc(y) for y >= 0, with the asymptotic series where erfc
// underflows (Abramowitz and Stegun, 7.1.23).
func scaledErfc(y float64) float64 {
	if y < 25 {
		return math.Exp(y*y) * math.Erfc(y)
	}
	s := 1 / (2 * y * y)
	return (1 - s + 3*s*s) / (y * math.SqrtPi)
}
