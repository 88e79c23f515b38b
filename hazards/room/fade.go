package room

import "math"

// The forms below are for one unit of vapour per unit of room volume, released
// evenly over tau minutes from minute 0 in a box with q air changes a minute:
//
//	dC/dt = 1/tau - q C   while t < tau,   dC/dt = -q C   afterwards
//
// CDC's table S3-1 is the second branch. phi1 and phi2 keep the answers exact
// when q goes to nothing.

// phi1 is (1-exp(-x))/x.
func phi1(x float64) float64 {
	if x == 0 {
		return 1
	}
	return -math.Expm1(-x) / x
}

// phi2 is (x-1+exp(-x))/x^2; the series avoids cancellation near nought.
func phi2(x float64) float64 {
	if x < 1e-3 {
		return 0.5 - x/6 + x*x/24
	}
	return (x + math.Expm1(-x)) / (x * x)
}

// fadeAt is the concentration at minute t.
func fadeAt(t, tau, q float64) float64 {
	switch {
	case t < 0:
		return 0
	case tau == 0:
		return math.Exp(-q * t)
	case t <= tau:
		return t / tau * phi1(q*t)
	}
	return phi1(q*tau) * math.Exp(-q*(t-tau))
}

// fadeSum is the integral of fadeAt from 0 to t, in minutes.
func fadeSum(t, tau, q float64) float64 {
	switch {
	case t <= 0:
		return 0
	case tau == 0:
		return t * phi1(q*t)
	case t <= tau:
		return t * t / tau * phi2(q*t)
	}
	after := t - tau
	return tau*phi2(q*tau) + phi1(q*tau)*after*phi1(q*after)
}

// fadeMean is the highest mean over any stretch of w minutes. The course rises
// to minute tau and falls after it, so the best stretch begins and ends at the
// same concentration; bisection finds it.
func fadeMean(w, tau, q float64) float64 {
	low, high := max(0, tau-w), tau
	for range 60 {
		middle := (low + high) / 2
		if fadeAt(middle+w, tau, q) > fadeAt(middle, tau, q) {
			low = middle
		} else {
			high = middle
		}
	}
	return (fadeSum(low+w, tau, q) - fadeSum(low, tau, q)) / w
}
