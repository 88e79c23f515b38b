package battery

// GrowthBand is what the growth of a cell's thickness means.
type GrowthBand uint8

// The bands; no standard has them (common practice). Growth that was measured
// over a cell's life is 0.5 to 1.5 %.
const (
	GrowthSound   GrowthBand = iota // up to 5 %
	GrowthWorn                      // over 5 and up to 10 %
	GrowthSwollen                   // over 10 %
)

// Upper ends of the bands, in %.
const (
	SoundGrowthPercent = 5
	WornGrowthPercent  = 10
)

// String returns "sound", "worn" or "swollen".
func (b GrowthBand) String() string {
	return [...]string{"sound", "worn", "swollen"}[min(b, GrowthSwollen)]
}

// ThicknessGrowth returns by how much a cell is thicker than it was made, in
// %; negative is thinner. Both in mm, over 0 and up to 1000.
func ThicknessGrowth(thicknessMM, nominalMM Interval) (Interval, error) {
	if err := Given(thicknessMM).check("thickness", "mm", smallestMM, mostMM); err != nil {
		return Interval{}, err
	}
	if err := Given(nominalMM).check("nominal thickness", "mm", smallestMM, mostMM); err != nil {
		return Interval{}, err
	}
	return Interval{
		(thicknessMM.Low - nominalMM.High) / nominalMM.High * 100,
		(thicknessMM.High - nominalMM.Low) / nominalMM.Low * 100,
	}.snapped(), nil
}

// GrowthBands returns the least and the most hazardous band a growth in % may
// lie in.
func GrowthBands(growthPercent Interval) (least, most GrowthBand) {
	band := func(g float64) GrowthBand {
		switch {
		case g <= SoundGrowthPercent:
			return GrowthSound
		case g <= WornGrowthPercent:
			return GrowthWorn
		}
		return GrowthSwollen // also for what is no number
	}
	return band(growthPercent.Low), band(growthPercent.High)
}
