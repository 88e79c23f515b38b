// Package advice is the one road from a case to an answer: resolve what is
// known, derive what follows, decide what is permitted, plan what to do.
package advice

// Schema names the shape of the JSON form of an Advice.
const Schema = "loosecell.advice/1"

// Advice is everything the rulebook answers for one case. Its JSON form is a
// contract that other programs read; fields that do not apply are left out.
type Advice struct {
	Schema  string `json:"schema"`
	Case    string `json:"case"`             // name of the file or job
	JobID   string `json:"job_id,omitempty"` // job.id
	Ticket  string `json:"ticket,omitempty"` // job.ticket
	Date    string `json:"date"`             // the date the law was read at
	Goal    string `json:"goal"`
	Verdict string `json:"verdict"` // proceed < prepare < stop < evacuate
	Because string `json:"because"` // the verdict in one sentence

	Prepare        []Preparation `json:"prepare"`
	Condition      string        `json:"condition"`
	TransportState string        `json:"transport_state"`
	Removal        Removal       `json:"removal"`
	Opening        *Opening      `json:"opening,omitempty"`
	Discharge      Discharge     `json:"discharge"`
	Heat           Heat          `json:"heat"`
	Solvent        Solvent       `json:"solvent"`
	Refit          May           `json:"refit"`
	Storage        *Storage      `json:"storage,omitempty"`
	Shipping       []Shipping    `json:"shipping"`

	PPE       []Line   `json:"ppe"`
	StopSigns []Line   `json:"stop_signs"`
	Emergency []Line   `json:"emergency"`
	Cautions  []Line   `json:"cautions"`
	AfterCare []Line   `json:"after_removal,omitempty"`
	Deference Line     `json:"deference"`
	Numbers   []Figure `json:"numbers,omitempty"` // what the arithmetic found, with its source

	Consequence *Consequence `json:"consequence,omitempty"`
	Assumed     []Assumption `json:"assumed"`
	Relaxations []Relaxation `json:"relaxations,omitempty"` // what rules of the shop loosen here
	Unknowns    []Unknown    `json:"unknowns"`
	Trace       []Trace      `json:"trace"`
}

// complete writes the lists of the contract as empty ones rather than not at all.
func (a *Advice) complete() {
	if a.Shipping == nil {
		a.Shipping = []Shipping{}
	}
	for i := range a.Removal.Rungs {
		r := &a.Removal.Rungs[i]
		r.Why, r.PutBack = listed(r.Why), listed(r.PutBack)
	}
	if a.Storage != nil {
		a.Storage.KeepApart, a.Storage.Limits = listed(a.Storage.KeepApart), listed(a.Storage.Limits)
	}
	a.Solvent.RuledOut = listed(a.Solvent.RuledOut)
}

// complete does the same for one mode.
func (s *Shipping) complete() {
	s.Unsettled, s.AllowedIf, s.Basis = listed(s.Unsettled), listed(s.AllowedIf), listed(s.Basis)
	s.Packing, s.Marks, s.Documents = listed(s.Packing), listed(s.Marks), listed(s.Documents)
}

func listed[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// Line is one sentence to the technician and where it comes from.
type Line struct {
	Text   string `json:"text"`
	Source string `json:"source"`
	Rule   string `json:"rule,omitempty"`
}

// Figure is a number the program worked out, as a range in one unit.
type Figure struct {
	Name   string   `json:"name"`
	Low    float64  `json:"low"`
	Middle *float64 `json:"middle,omitempty"`
	High   float64  `json:"high"`
	Unit   string   `json:"unit"`
	Basis  string   `json:"basis"`
	Source string   `json:"source"`
}

// Preparation is something named that is done, fetched or measured first.
type Preparation struct {
	Text    string  `json:"text"`
	Fact    string  `json:"fact"`
	Kind    string  `json:"kind"` // blocking, quick
	Minutes float64 `json:"minutes"`
	Answer  string  `json:"answer,omitempty"` // the answer that settles it, as a case file states it
	Rule    string  `json:"rule,omitempty"`
	Source  string  `json:"source,omitempty"`
}

// May is a permission: yes, no or open, and why.
type May struct {
	May string   `json:"may"`
	Why []string `json:"why,omitempty"`
}

// Removal is how the cell comes out.
type Removal struct {
	Pick  string `json:"pick"`
	Rungs []Rung `json:"rungs"`
	Steps []Step `json:"steps"`
	// Likely is the rung that stays once what is to be prepared is done.
	Likely string `json:"likely,omitempty"`
}

// Rung is one way to free the cell, gentlest first.
type Rung struct {
	Rung    string   `json:"rung"`
	May     string   `json:"may"`  // yes, no, open
	Fits    string   `json:"fits"` // yes, no, open
	Tried   bool     `json:"tried"`
	Why     []string `json:"why"`
	PutBack []string `json:"back"` // what would put it back
	Minutes float64  `json:"minutes"`
}

// Step is one numbered step with this case's numbers in it.
type Step struct {
	Number int    `json:"number"`
	Text   string `json:"text"`
	Source string `json:"source"`
	Rule   string `json:"rule,omitempty"`
}

// Opening tells whether and how a closed device may be opened.
type Opening struct {
	Needed        bool     `json:"needed"`
	May           string   `json:"may"`
	SurfaceLimitC float64  `json:"surface_limit_c"`
	TimeLimitMin  float64  `json:"time_limit_min"`
	WhereToHeat   string   `json:"where_to_heat"`
	Steps         []Step   `json:"steps"`
	Why           []string `json:"why,omitempty"`
}

// Discharge is to what charge the cell is brought, and how.
type Discharge struct {
	May          string     `json:"may"`
	Due          string     `json:"due"`    // no, unknown, yes
	Action       string     `json:"action"` // forbidden, none, measure-first, in-device, resistor
	TargetSoCPct float64    `json:"target_soc_pct"`
	ChargePct    *Range     `json:"charge_pct,omitempty"`
	TimeH        *Band      `json:"time_h,omitempty"`
	QuickWays    []QuickWay `json:"quick_ways,omitempty"`
	Resistor     *Resistor  `json:"resistor,omitempty"`
	Notes        []Line     `json:"notes,omitempty"`
	Why          []string   `json:"why,omitempty"`
}

// Range is a closed range of one unit named by its field.
type Range struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Band is a low, middle and high estimate in the unit its field names.
type Band struct {
	Low    float64 `json:"low"`
	Middle float64 `json:"middle"`
	High   float64 `json:"high"`
}

// QuickWay is one safe load of the device and how long it takes.
type QuickWay struct {
	Way    string `json:"way"`
	Hours  Band   `json:"hours"`
	Source string `json:"source"`
}

// Resistor is a discharge rig for one sound, protected cell.
type Resistor struct {
	Ohms         float64 `json:"ohms"`
	Series       string  `json:"series"`
	RatingW      float64 `json:"rating_w"`
	CurrentA     Band    `json:"current_a"`
	TimeH        Band    `json:"time_h"`
	SurfaceC     Band    `json:"surface_c"`
	StopLoadedV  float64 `json:"stop_loaded_v"`
	StopRestedV  float64 `json:"stop_rested_v"`
	RecheckAfter string  `json:"recheck_after"`
	Source       string  `json:"source"`
}

// Heat is how warm and how long.
type Heat struct {
	May           string   `json:"may"`
	SurfaceLimitC *float64 `json:"surface_limit_c,omitempty"`
	CellLimitC    *float64 `json:"cell_limit_c,omitempty"`
	TimeLimitMin  *float64 `json:"time_limit_min,omitempty"`
	Window        *Window  `json:"window,omitempty"`
	Why           []string `json:"why,omitempty"`
	Notes         []Line   `json:"notes,omitempty"`
}

// Window is what the computed course says of a warming.
type Window struct {
	SetPointC       Range  `json:"set_point_c"`
	AdhesiveSoftMin *Band  `json:"adhesive_soft_min,omitempty"` // absent: never within the time
	CellLimitMin    *Band  `json:"cell_limit_min,omitempty"`    // absent: never passes its limit
	CellEndC        Band   `json:"cell_end_c"`
	AdhesiveEndC    Band   `json:"adhesive_end_c"`
	CoolingMin      Band   `json:"cooling_min"`
	WorthIt         string `json:"worth_it"` // yes, no, open
	Suggestion      string `json:"suggestion,omitempty"`
	Source          string `json:"source"`
}

// Solvent is which liquid, how much, how long.
type Solvent struct {
	May        string     `json:"may"`
	Choice     string     `json:"choice,omitempty"`
	DoseML     *Band      `json:"dose_ml,omitempty"`
	DoseLeftML *float64   `json:"dose_left_ml,omitempty"`
	SoakMin    *Band      `json:"soak_min,omitempty"`
	Vapour     *Vapour    `json:"vapour,omitempty"`
	Drying     *Drying    `json:"drying,omitempty"`
	RuledOut   []RuledOut `json:"ruled_out"`
	Why        []string   `json:"why,omitempty"`
	Notes      []Line     `json:"notes,omitempty"`
}

// Vapour is what the dose does to the air.
type Vapour struct {
	RoomPPM       Band    `json:"room_ppm"`
	NearPPM       Band    `json:"near_ppm"`
	LimitPPM      float64 `json:"limit_ppm"`
	LimitName     string  `json:"limit_name"`
	QuarterLFLPct float64 `json:"quarter_lfl_pct"`
	OverLimit     string  `json:"over_limit"` // no, near the work, yes
	Source        string  `json:"source"`
}

// Drying is how long the liquid stays.
type Drying struct {
	OpenMin     Band   `json:"open_min"`
	TrappedDays Band   `json:"trapped_days"`
	Text        string `json:"text"`
	Source      string `json:"source"`
}

// RuledOut is a solvent at hand that is not to be used here.
type RuledOut struct {
	Solvent string `json:"solvent"`
	Why     string `json:"why"`
}

// Storage is where the removed cell waits.
type Storage struct {
	Class        string   `json:"class"`
	Container    string   `json:"container"`
	SoCBandPct   *Range   `json:"soc_band_pct,omitempty"`
	LookAgain    string   `json:"look_again"`
	KeepApart    []string `json:"keep_apart_from"`
	Limits       []Line   `json:"limits"`
	Fallback     string   `json:"fallback,omitempty"`
	StoreVerdict string   `json:"store_verdict,omitempty"`
	Waste        []Line   `json:"waste,omitempty"`
	Notes        []Line   `json:"notes,omitempty"`
}

// Shipping is one mode of carriage for the cell as it is now.
type Shipping struct {
	Mode         string   `json:"mode"`
	Allowed      string   `json:"allowed"` // yes, no, approval
	Unsettled    []string `json:"unsettled"`
	AllowedIf    []string `json:"allowed_if"`
	UNNumber     string   `json:"un_number,omitempty"`
	Name         string   `json:"name,omitempty"`
	Basis        []string `json:"basis"`
	Edition      string   `json:"edition,omitempty"`
	EditionUntil string   `json:"edition_until,omitempty"`
	EditionOver  bool     `json:"edition_over"`
	Packing      []string `json:"packing"`
	Marks        []string `json:"marks"`
	Documents    []string `json:"documents"`
	SoCCapPct    *float64 `json:"soc_cap_pct,omitempty"`
	SoCCapKind   string   `json:"soc_cap_kind,omitempty"` // mandatory, recommended
	NetLimitKg   *float64 `json:"net_limit_kg,omitempty"`
	Notes        []string `json:"notes,omitempty"`
	Why          []string `json:"why,omitempty"`
}

// Consequence is what happens in this room if the cell fails here.
type Consequence struct {
	StoredKJ   Band    `json:"stored_kj"`
	ReleasedKJ Band    `json:"released_kj"`
	GasL       Band    `json:"gas_l"`
	GasLFLPct  Band    `json:"gas_lfl_pct"`
	HFMg       Band    `json:"hf_mg"`
	HFPPM      Band    `json:"hf_ppm"`
	HFLimitPPM float64 `json:"hf_limit_ppm"`
	PurgeMin   Band    `json:"purge_min"`
	PainM      Band    `json:"pain_distance_m"`
	IgnitionM  Band    `json:"ignition_distance_m"`
	SandKg     Band    `json:"sand_kg"`
	WaterL     Band    `json:"water_l"`
	Text       []Line  `json:"text,omitempty"`
	Source     string  `json:"source"`
}

// Assumption is a presumption used because nobody said otherwise.
type Assumption struct {
	Fact  string `json:"fact"`
	Value string `json:"value"`
	Why   string `json:"why"`
}

// Unknown is a missing fact that could still change an answer.
type Unknown struct {
	Fact    string   `json:"fact"`
	Ask     string   `json:"ask"`
	How     string   `json:"how"`
	StandIn string   `json:"stand_in,omitempty"`
	Minutes float64  `json:"minutes,omitempty"`
	Changes []Change `json:"changes"`
}

// Change is what one answer could become, and on which value of the fact.
type Change struct {
	Answer string `json:"answer"`
	If     string `json:"if"`
	To     string `json:"to"`
}

// Trace is one rule that spoke for an answer.
type Trace struct {
	Rule    string   `json:"rule"`
	Answer  string   `json:"answer"`
	Effect  string   `json:"effect"`
	Certain bool     `json:"certain"` // false: open, it acts because it may be true
	Facts   []string `json:"facts,omitempty"`
	Because string   `json:"because"`
	Source  string   `json:"source"`
	Known   string   `json:"known"` // read, secondary, memory, practice
}
