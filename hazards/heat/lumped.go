package heat

import "math"

// MaxLumpedBiot is the Biot number under which a body may be taken as one
// temperature (error about 5 %). Incropera et al., section 5.2; Cengel, section 4-1.
const MaxLumpedBiot = 0.1

// Biot returns film*length/conductivity for a film coefficient in W/(m²K), a
// half-thickness (or volume over surface) in m and a conductivity in W/(m K), all
// above zero.
func Biot(film, lengthM, conductivity float64) (float64, error) {
	if err := firstError(positive("film coefficient", film, "W/(m²K)"), positive("length", lengthM, "m"), positive("conductivity", conductivity, "W/(m K)")); err != nil {
		return 0, err
	}
	return film * lengthM / conductivity, nil
}

// LumpedTimeConstantS returns density*cp*length/film in seconds: the time constant of
// a body of one temperature, length being volume over surface. All inputs above zero
// (kg/m³, J/(kg K), m, W/(m²K)). Incropera et al., eq. 5.7.
func LumpedTimeConstantS(density, specificHeat, lengthM, film float64) (float64, error) {
	if err := firstError(positive("density", density, "kg/m³"), positive("specific heat", specificHeat, "J/(kg K)"),
		positive("length", lengthM, "m"), positive("film coefficient", film, "W/(m²K)")); err != nil {
		return 0, err
	}
	return density * specificHeat * lengthM / film, nil
}

// LumpedTemperatureC returns the temperature after timeS (zero or more) of a body of
// one temperature that starts at startC in surroundings at ambientC. Valid for a Biot
// number under MaxLumpedBiot, which the caller checks. Incropera et al., eq. 5.6.
func LumpedTemperatureC(startC, ambientC, timeS, timeConstantS float64) (float64, error) {
	if err := firstError(finite("start", startC), finite("ambient", ambientC), within("time", timeS, 0, math.MaxFloat64, "s"),
		positive("time constant", timeConstantS, "s")); err != nil {
		return 0, err
	}
	return ambientC + (startC-ambientC)*math.Exp(-timeS/timeConstantS), nil
}

// LumpedTimeS returns the seconds until such a body reaches targetC, which must lie
// from startC up to, but not at, ambientC.
func LumpedTimeS(startC, ambientC, targetC, timeConstantS float64) (float64, error) {
	if err := firstError(finite("start", startC), finite("ambient", ambientC), finite("target", targetC), positive("time constant", timeConstantS, "s")); err != nil {
		return 0, err
	}
	left := (targetC - ambientC) / (startC - ambientC)
	if err := within("share of the temperature difference left at the target", left, math.SmallestNonzeroFloat64, 1, ""); err != nil {
		return 0, err
	}
	return -timeConstantS * math.Log(left), nil
}
