package facts_test

import (
	"fmt"

	"loosecell/rules/facts"
)

// A case says what is known, in units, in ranges, or as one of several.
func ExampleParseCase() {
	c, err := facts.ParseCase(facts.Shipped(), "phone.yaml", []byte(`
device.kind: phone
battery: {rest_voltage: 3700..3850 mV, chemistry: lco | nmc, temperature: unknown}
`))
	fmt.Println(err)
	fmt.Print(string(c.YAML()))
	// Output:
	// <nil>
	// battery:
	//   chemistry: nmc | lco
	//   rest_voltage: 3.7..3.85 V
	//   temperature: unknown
	// device:
	//   kind: phone
}

// Everything wrong with a file is said at once, with the place and the fix.
func ExampleParseCase_problems() {
	_, err := facts.ParseCase(facts.Shipped(), "phone.yaml", []byte(`battery:
  rest_voltage: 3.78
  sweling: none
`))
	fmt.Println(err)
	// Output:
	// phone.yaml:2:17: "3.78" has no unit; write the unit: V or mV, as in 3.78 V [no-unit]
	// phone.yaml:3:3: "battery.sweling" is no fact of the catalogue; did you mean battery.swelling? [unknown-key]
}
