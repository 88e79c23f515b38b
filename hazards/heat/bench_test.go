package heat

import "testing"

func commonRecipe(b *testing.B) Recipe {
	s, err := StackNamed("phone-display")
	if err != nil {
		b.Fatal(err)
	}
	return NewRecipe(s, exact(70), exact(20), 10, 60)
}

// A whole answer: five runs of an hour, bounds, conclusions, set-points.
func BenchmarkAssess(b *testing.B) {
	r := commonRecipe(b)
	for b.Loop() {
		if _, err := r.Assess(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCooling(b *testing.B) {
	c, err := commonRecipe(b).Assess()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := c.Cooling(Glass, 10); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTouchLimit(b *testing.B) {
	for b.Loop() {
		if _, err := TouchLimitC(Metal, 10); err != nil {
			b.Fatal(err)
		}
	}
}
