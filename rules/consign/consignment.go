package consign

// Schema names the shape of the JSON form of a Consignment.
const Schema = "loosecell.consignment/1"

// A Consignment is a list of cells, sorted and packed. Its JSON form is a
// contract that other programs read. Masses of packages are worked out from the
// cells and a stated allowance for the packing: weigh before handing over.
type Consignment struct {
	Schema       string `json:"schema"`
	List         string `json:"list"` // name of the file
	Date         string `json:"date"` // the date the law was read at
	Mode         string `json:"mode"`
	Jurisdiction string `json:"jurisdiction,omitempty"`
	Packing      string `json:"packing,omitempty"`
	Edition      string `json:"edition,omitempty"`
	EditionUntil string `json:"edition_until,omitempty"`
	EditionOver  bool   `json:"edition_over,omitempty"`

	Counts      Counts       `json:"counts"`
	Sort        *Sort        `json:"sort,omitempty"`
	Collection  *Collection  `json:"collection,omitempty"`
	Packages    []Package    `json:"packages"`
	SetAside    []SetAside   `json:"set_aside"`
	Totals      Totals       `json:"totals"`
	Cells       []Placed     `json:"cells"` // every row of the list, once, in its order
	Assessments []Assessment `json:"assessments,omitempty"`
	Training    []string     `json:"training,omitempty"`
	Approvals   []string     `json:"approvals,omitempty"`
	Checks      []string     `json:"checks"`
	Notes       []string     `json:"notes,omitempty"`
}

// Counts tell how many rows and cells came in and where they are.
type Counts struct {
	Rows     int `json:"rows"`
	Cells    int `json:"cells"`
	Packed   int `json:"packed"`
	SetAside int `json:"set_aside"`
	Packages int `json:"packages"`
	Fewest   int `json:"fewest_packages"` // no plan under the same limits needs fewer than this
}

// Sort tells what a short look at some cells would change.
type Sort struct {
	Text         string   `json:"text"`
	Cells        int      `json:"cells"` // to look at
	Minutes      float64  `json:"minutes"`
	PackagesNow  int      `json:"packages_now"`
	AsideNow     int      `json:"set_aside_now"`
	PackagesThen int      `json:"packages_then"` // if every one looked at is sound
	AsideThen    int      `json:"set_aside_then"`
	LookFor      []string `json:"look_for"`
	Rows         []string `json:"rows"` // ids
}

// Collection is the way by the collection box to a sorter.
type Collection struct {
	Open  string   `json:"open"`  // yes, partly, no
	Cells int      `json:"cells"` // that may go this way
	Basis []string `json:"basis,omitempty"`
	Text  []string `json:"text"`
}

// A Package is one box, drum or device parcel.
type Package struct {
	Number     int       `json:"number"`
	Scheme     string    `json:"scheme"`
	Title      string    `json:"title"`
	UNNumber   string    `json:"un_number,omitempty"`
	Name       string    `json:"name,omitempty"`
	State      string    `json:"transport_state"`
	Packing    string    `json:"packing"`
	Basis      []string  `json:"basis"`
	Contents   []Content `json:"contents"`
	Cells      int       `json:"cells"` // items of any kind
	NetKg      float64   `json:"net_kg"`
	GrossKg    float64   `json:"gross_kg"` // with the allowance for packing
	NetLimit   *float64  `json:"net_limit_kg,omitempty"`
	GrossLim   *float64  `json:"gross_limit_kg,omitempty"`
	CountLimit *int      `json:"item_limit,omitempty"`
	MassKnown  bool      `json:"masses_weighed"`
	SoCCapPct  *float64  `json:"soc_cap_pct,omitempty"`
	SoCCapKind string    `json:"soc_cap_kind,omitempty"`
	Inner      string    `json:"inner"`
	Cushioning string    `json:"cushioning"`
	Outer      string    `json:"outer"`
	Rules      []string  `json:"packing_rules,omitempty"` // as the rulebook says
	Marks      []string  `json:"marks,omitempty"`
	MarkSizes  string    `json:"mark_sizes"`
	Documents  []string  `json:"documents,omitempty"`
	Training   string    `json:"training,omitempty"`
	Approval   string    `json:"approval,omitempty"`
	Waste      []string  `json:"waste,omitempty"`
	Notes      []string  `json:"notes,omitempty"`
	Source     string    `json:"source"`
	Known      string    `json:"known"` // read, secondary, memory, practice
}

// Content is how many cells of one row lie in a package.
type Content struct {
	Row   string `json:"row"` // id
	Count int    `json:"count"`
}

// SetAside is a row that does not travel as it is.
type SetAside struct {
	Row    string   `json:"row"`
	Count  int      `json:"count"`
	Reason string   `json:"reason"`
	Next   []string `json:"next"`
}

// Placed tells where the cells of one row are.
type Placed struct {
	Row       string      `json:"row"`
	Line      int         `json:"line"`
	Count     int         `json:"count"`
	Condition string      `json:"condition"`
	State     string      `json:"transport_state"`
	MassG     *float64    `json:"mass_g,omitempty"` // of one cell, the largest it may be
	MassFrom  string      `json:"mass_from"`        // weighed, taken, unknown
	Packages  []Placement `json:"packages,omitempty"`
	SetAside  bool        `json:"set_aside,omitempty"`
}

// Placement is a share of a row in one package.
type Placement struct {
	Package int `json:"package"`
	Count   int `json:"count"`
}

// Totals hold the whole consignment against the lines of one vehicle.
type Totals struct {
	NetKg      float64 `json:"net_kg"`
	GrossKg    float64 `json:"gross_kg"`
	Collection *Tally  `json:"collection_load,omitempty"` // kg under SP 636, SP 670 (b)
	Points     *Tally  `json:"points,omitempty"`          // 1.1.3.6
}

// A Tally is a sum against its line.
type Tally struct {
	Value  float64 `json:"value"`
	Limit  float64 `json:"limit"`
	Within bool    `json:"within"`
	Text   string  `json:"text"`
	Source string  `json:"source"`
}

// An Assessment is the record that goes with a damaged cell: what was seen, and
// who judged it, when and on what. Empty fields are for a person to fill in.
type Assessment struct {
	Row      string   `json:"row"`
	Count    int      `json:"count"`
	Reading  string   `json:"reading"`
	Signs    []string `json:"signs"`
	Judged   string   `json:"judged"` // none, not-critical, critical
	JudgedBy string   `json:"judged_by,omitempty"`
	JudgedOn string   `json:"judged_on,omitempty"`
	Criteria []string `json:"criteria"`
	Source   string   `json:"source"`
}
