package heat_test

import (
	"fmt"

	"loosecell/hazards"
	"loosecell/hazards/heat"
)

// A pad set to 58..60 °C under the display of a phone in a room at 20..24 °C, for ten
// minutes, with 60 °C as the cell's limit.
func ExampleRecipe_Assess() {
	stack, err := heat.StackNamed("phone-display")
	if err != nil {
		fmt.Println(err)
		return
	}
	pad, room := hazards.Estimate{Low: 58, Middle: 59, High: 60}, hazards.Estimate{Low: 20, Middle: 22, High: 24}
	course, err := heat.NewRecipe(stack, pad, room, 10, 60).Assess()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("soft after about %.0f min, worth it: %s\n", course.Soft.Middle.Minutes, course.Worth)
	fmt.Printf("cell may pass its limit: %t\n", course.PassesLimit.Earliest.Reached)
	fmt.Printf("far face after 10 min: about %.0f degC\n", course.AtEnd.CellFarC.Middle)
	// Output:
	// soft after about 3 min, worth it: open
	// cell may pass its limit: false
	// far face after 10 min: about 53 degC
}
