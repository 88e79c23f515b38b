package runaway

import (
	"loosecell/battery"
	"loosecell/hazards"
	"loosecell/hazards/room"
)

// Gases whose limits are compared.
const (
	GasHydrogenFluoride = "hydrogen-fluoride"
	GasCarbonMonoxide   = "carbon-monoxide"
)

// Failure is the battery that fails and the room it fails in.
type Failure struct {
	RatedWh     hazards.Estimate     // above 0
	ChargePct   hazards.Estimate     // 0 to 150
	Chemistries battery.ChemistrySet // empty: unknown
	Room        *room.Box            // nil: outdoors or not known, no answer about air
	Mixing      hazards.Estimate     // mixing factor 1 to 10; zero: room.MixingFactor()
}

// Consequence is what happens if the battery fails there.
type Consequence struct {
	Heat Heat
	Gas  Gas

	PeopleM         hazards.Estimate // distance at PeopleFlux
	CautiousPeopleM hazards.Estimate // distance at CautiousPeopleFlux
	LitterM         hazards.Estimate // distance at LitterFlux
	LongM           hazards.Estimate // distance at LongFlux
	KeepPeopleM     float64          // to keep: the larger of the highest PeopleM and common practice
	KeepLitterM     float64          // the same for wood and paper, of LitterM

	Beds        []Bed            // for the heat without flame
	RoomAtIDLH  hazards.Estimate // m3 in which the hydrogen fluoride just reaches its IDLH
	Air         *Air             // nil if Failure.Room is nil
	FlameBurnsS float64          // bare skin at PeopleFlux to a second-degree burn, s
}

// Air is the room after the failure.
type Air struct {
	HydrogenFluoride Exposure
	CarbonMonoxide   Exposure
	LFLShare         hazards.Estimate // vent gas, well mixed, in percent of its lower flammable limit
	Clears           bool             // false: the air change may be nothing, no re-entry time
	ReentryMinutes   hazards.Estimate // before anyone without breathing protection goes back
}

// Reckon works out a whole failure with the models of this package; each of their comments names its
// sources. Errors: ErrDomain, a room outside its range.
func Reckon(f Failure) (Consequence, error) {
	var c Consequence
	var err error
	if c.Heat, err = ReckonHeat(f.RatedWh, f.ChargePct); err != nil {
		return Consequence{}, err
	}
	if c.Gas, err = ReckonGas(f.RatedWh, f.ChargePct, f.Chemistries); err != nil {
		return Consequence{}, err
	}
	if err = c.distances(); err != nil {
		return Consequence{}, err
	}
	if c.Beds, err = Beds(c.Heat.NoFlameKJ); err != nil {
		return Consequence{}, err
	}
	fluoride, err := ReleaseOf(GasHydrogenFluoride, c.Gas.HydrogenFluorideG)
	if err != nil {
		return Consequence{}, err
	}
	danger, err := DangerLimit(GasHydrogenFluoride)
	if err != nil {
		return Consequence{}, err
	}
	if c.RoomAtIDLH, err = RoomAtPPM(fluoride, danger.PPM); err != nil {
		return Consequence{}, err
	}
	if f.Room != nil {
		if c.Air, err = f.air(c.Gas, fluoride); err != nil {
			return Consequence{}, err
		}
	}
	return c, nil
}

func (c *Consequence) distances() error {
	for _, d := range []struct {
		flux float64
		to   *hazards.Estimate
	}{{PeopleFlux, &c.PeopleM}, {CautiousPeopleFlux, &c.CautiousPeopleM}, {LitterFlux, &c.LitterM}, {LongFlux, &c.LongM}} {
		reach, err := RadiantReach(c.Heat.PeakW, d.flux)
		if err != nil {
			return err
		}
		*d.to = reach
	}
	c.KeepPeopleM = max(ClearPeopleM, c.PeopleM.High)
	c.KeepLitterM = max(ClearCombustibleM, c.LitterM.High)
	var err error
	c.FlameBurnsS, err = BurnSeconds(PeopleFlux)
	return err
}

func (f Failure) air(gas Gas, fluoride room.Release) (*Air, error) {
	var a Air
	var err error
	if a.HydrogenFluoride, err = ExposureTo(GasHydrogenFluoride, fluoride, *f.Room); err != nil {
		return nil, err
	}
	if a.CarbonMonoxide, err = ExposureTo(GasCarbonMonoxide, room.Release{Litres: gas.CarbonMonoxideL}, *f.Room); err != nil {
		return nil, err
	}
	// the cloud at its limit as a share of the room is the room's mean as a share of the limit
	share := over(gas.CloudL, f.Room.VolumeM3)
	a.LFLShare = scaled(share, 100.0/1000)
	a.Clears = aired(*f.Room)
	if !a.Clears {
		return &a, nil
	}
	mixing := f.Mixing
	if mixing == (hazards.Estimate{}) {
		mixing = room.MixingFactor()
	}
	a.ReentryMinutes, err = ReentryMinutes(map[string]hazards.Estimate{
		GasHydrogenFluoride: a.HydrogenFluoride.PeakPPM,
		GasCarbonMonoxide:   a.CarbonMonoxide.PeakPPM,
	}, *f.Room, mixing)
	return &a, err
}
