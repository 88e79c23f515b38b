package discharge

import "fmt"

// Faraday constant (CODATA 2018, exact), C/mol; molar volume of an ideal gas at 20 degC, L/mol;
// molar mass of chlorine, g/mol.
const (
	faraday       = 96485.33212
	litresPerMol  = 24.055
	chlorineMolar = 70.906
)

// Brine is the most a salt-water bath can give off while it empties a cell.
type Brine struct{ HydrogenMol, HydrogenL, ChlorineG float64 }

// BrineLimit bounds the gas from emptying capacityAh (above 0) in salt water, by Faraday's law:
// Q·3600/(2F) mol each of hydrogen and chlorine. It shows why the bench uses no bath.
func BrineLimit(capacityAh float64) (Brine, error) {
	if !positive(capacityAh) {
		return Brine{}, fmt.Errorf("discharge: capacity %g Ah, want above 0", capacityAh)
	}
	mol := capacityAh * 3600 / (2 * faraday)
	return Brine{mol, mol * litresPerMol, mol * chlorineMolar}, nil
}
