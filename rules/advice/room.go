package advice

import (
	"loosecell/hazards"
	"loosecell/hazards/room"
	"loosecell/rules/expression"
)

// workingRoom is what is taken for a room that nobody described at all: from a
// store-room to a workshop, aired little (common practice). It is only used to
// reckon with; an explicit unknown takes its place.
var workingRoom = struct{ volumeM3, changes, airC expression.Range }{
	expression.Range{Low: 8, High: 500}, expression.Range{Low: 0.5, High: 2}, expression.Range{Low: 15, High: 30},
}

// roomFact is a fact of the room, or what is taken where nobody mentioned it.
func (o *outcome) roomFact(fact string, taken expression.Range) expression.Range {
	if o.missing(fact) && o.missing("bench.room_kind") {
		return taken
	}
	return o.at(fact)
}

// box is the room as the models take it.
func (o *outcome) box() room.Box {
	return room.Box{
		VolumeM3:          scale(o.roomFact("bench.room_volume", workingRoom.volumeM3), 0.5, 100000),
		AirChangesPerHour: scale(o.roomFact("bench.air_changes", workingRoom.changes), 0, 1000),
	}
}

// airC is the air at the bench, in degC, held inside low..high.
func (o *outcome) airC(low, high float64) hazards.Estimate {
	return estimate(o.roomFact("bench.air_temperature", workingRoom.airC), low, high)
}

// roomAssumed says what was taken for a room that nobody described.
func (o *outcome) roomAssumed() []Assumption {
	if !o.missing("bench.room_kind") {
		return nil
	}
	var out []Assumption
	for _, a := range []struct {
		fact string
		is   expression.Range
	}{
		{"bench.room_volume", workingRoom.volumeM3}, {"bench.air_changes", workingRoom.changes}, {"bench.air_temperature", workingRoom.airC},
	} {
		if !o.missing(a.fact) {
			continue
		}
		unit := o.full.Layout.Slots[o.full.Layout.MustSlot(a.fact)].Fact.Unit
		out = append(out, Assumption{Fact: a.fact, Value: number(a.is.Low) + ".." + number(a.is.High) + " " + unit,
			Why: "Common practice. A room people work in, for the reckoning of vapour and smoke only."})
	}
	return out
}
