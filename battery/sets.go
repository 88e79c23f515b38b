package battery

import (
	"fmt"
	"strings"
)

// Form is the shape of a cell.
type Form uint8

// The forms, in the order of the fact battery.form.
const (
	Cylindrical Form = iota
	Prismatic
	Pouch
	Coin
	formCount
)

var formNames = [formCount]string{"cylindrical", "prismatic", "pouch", "coin"}

// String returns the word used in case files.
func (f Form) String() string {
	if f < formCount {
		return formNames[f]
	}
	return fmt.Sprintf("form %d", uint8(f))
}

// FormSet holds the forms that are possible; bit i is Form(i). The empty set
// means the same as all of them: nothing is known.
type FormSet uint8

// AllForms is the set of every form.
const AllForms FormSet = 1<<formCount - 1

// Forms returns the set of the given forms.
func Forms(fs ...Form) FormSet {
	var s FormSet
	for _, f := range fs {
		s |= 1 << f & AllForms
	}
	return s
}

// Has reports whether f is possible in s as it stands.
func (s FormSet) Has(f Form) bool { return s&(1<<f) != 0 }

func (s FormSet) orAll() FormSet {
	if s&AllForms == 0 {
		return AllForms
	}
	return s & AllForms
}

// Place is where the resting voltage was measured.
type Place uint8

// The places, in the order of the fact battery.volts_at.
const (
	AtCell Place = iota
	AtConnector
	AtSmartPack
	placeCount
)

// PlaceSet holds the places that are possible; bit i is Place(i). The empty
// set means the same as all of them.
type PlaceSet uint8

// AllPlaces is the set of every place.
const AllPlaces PlaceSet = 1<<placeCount - 1

// Places returns the set of the given places.
func Places(ps ...Place) PlaceSet {
	var s PlaceSet
	for _, p := range ps {
		s |= 1 << p & AllPlaces
	}
	return s
}

// behindBoard reports whether a protection board may sit between the meter
// and the cell.
func (s PlaceSet) behindBoard() bool {
	return s&AllPlaces == 0 || s&Places(AtConnector, AtSmartPack) != 0
}

func parseForms(words string) (FormSet, error) {
	var s FormSet
	for _, w := range strings.Fields(words) {
		found := false
		for i, n := range formNames {
			if w == n {
				s |= Forms(Form(i))
				found = true
			}
		}
		if !found {
			return 0, fmt.Errorf("battery: %q is no form; use one of %s", w, strings.Join(formNames[:], ", "))
		}
	}
	return s, nil
}
