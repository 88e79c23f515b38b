package solvent

import (
	"fmt"
	"slices"
)

// Rating is what a liquid does to a material, least harm first. NotRated is no
// harm known and no leave given.
type Rating int

const (
	Resists Rating = iota
	Caution
	Attacked
	NotRated
)

func (r Rating) String() string {
	return [...]string{"resists", "caution", "attacked", "not rated"}[max(0, min(int(r), 3))]
}

// Compatibility is the worse of the published immersion rating and the bench
// rating for a brief wetting. Neither knows of stress cracking, so nothing here
// says "safe".
type Compatibility struct {
	Material string
	Rating   Rating
	Read     bool // a rating that was read stands among those compared
	Origin        // of the rating that decided
}

// ratings turns the words of data/plastics.csv into a Rating. "good" is not full
// marks and a technician's wetting is under stress, so it counts as caution.
var ratings = map[string]Rating{
	"resists": Resists, "caution": Caution, "attacked": Attacked,
	"excellent": Resists, "good": Caution, "fair": Caution, "poor": Attacked,
}

// Materials are the words of device.plastics_near. "display" (the bonded stack)
// and "nitrile" (gloves) are rated too.
var Materials = []string{"pc", "abs", "pmma", "pet", "silicone"}

// Compatibility looks up a material by its word (pc, abs, pmma, pet, silicone,
// display, nitrile and others of data/plastics.csv). A rating from memory alone
// never stands as "resists": it becomes caution. An unlisted material is
// NotRated, not an error.
func (l Liquid) Compatibility(material string) (Compatibility, error) {
	table, err := rows("plastics.csv")
	if err != nil {
		return Compatibility{}, err
	}
	found := Compatibility{Material: material, Rating: NotRated,
		Origin: Origin{Source: "common-practice", Known: "practice"}}
	for _, r := range table {
		if r.value["compound"] != l.Compound || r.value["material"] != material {
			continue
		}
		rating, ok := ratings[r.value["rating"]]
		if !ok {
			return Compatibility{}, fmt.Errorf("solvent: data/plastics.csv row %d: rating %q", r.line, r.value["rating"])
		}
		origin := r.origin()
		found.Read = found.Read || origin.Known == "read"
		better := rating == found.Rating && origin.Known == "read"
		if found.Rating == NotRated || rating > found.Rating || better {
			found.Rating, found.Origin = rating, origin
		}
	}
	if found.Rating == Resists && !found.Read {
		found.Rating = Caution
	}
	return found, nil
}

// knownMaterial tells whether a word is one of device.plastics_near.
func knownMaterial(word string) bool { return slices.Contains(Materials, word) }
