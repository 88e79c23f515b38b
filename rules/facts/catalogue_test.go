package facts

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// contract is the table of section 3 of the design, fact by fact and word by
// word; "<" joins words from least to most hazardous, "," words without order.
var contract = map[string]string{
	"job.goal": "replace, refit, scrap, store, ship", "job.force_used": "no < yes",
	"battery.place":         "in-closed-device, in-open-device, removed",
	"battery.role":          "device, power-bank",
	"battery.chemistry":     "lfp, lto, na-ion, lmo, nmc, nca, lco, li-metal",
	"battery.form":          "cylindrical, prismatic, pouch, coin",
	"battery.volts_at":      "cell, connector, smart-pack",
	"battery.looked":        "both-faces < opened < closed < no",
	"battery.history_asked": "yes < no", "battery.temperature_by": "contact < infrared",
	"battery.swelling": "none < slight < severe", "battery.deformation": "none < slight < severe",
	"battery.puncture": "none < suspected < confirmed", "battery.leakage": "none < suspected < confirmed",
	"battery.odour": "no < yes", "battery.discoloured": "no < yes", "battery.terminal_corrosion": "no < yes",
	"battery.self_heating": "no < yes", "battery.venting": "no < yes",
	"battery.wetted": "no < yes", "battery.overheated": "no < yes", "battery.dropped": "no < yes",
	"battery.wrong_charger": "no < yes", "battery.recalled": "no < yes",
	"battery.label": "legible < illegible", "battery.assessed": "none, not-critical, critical",
	"battery.terminals": "covered < bare", "battery.soldered": "no < yes", "battery.protected": "yes < no",
	"battery.test_summary": "yes < no", "battery.wh_printed": "yes < no",
	"adhesive.kind":     "none, stretch-strip, lift-film, pull-cord, plain-tape, liquid-glue, foam, voltage-release",
	"adhesive.family":   "acrylic, rubber",
	"adhesive.pull_tab": "intact < short < torn < buried", "adhesive.side_tabs": "none < free < pinned",
	"adhesive.solvent_used": "no < yes",
	"device.kind":           "phone, tablet, laptop, earbud, earbud-case, watch, handheld, other",
	"device.powered_off":    "yes < no", "device.battery_disconnected": "yes < no", "device.starts": "yes < no",
	"device.under_cell":            "frame < shielded-flex < bare-flex < display",
	"device.liquid_sensitive_near": "no < yes", "device.openings_taped": "yes < no",
	"device.pry_access": "open < tight < none",
	"bench.room_kind":   "workshop, office, store-room, vehicle, outdoors",
	"bench.ventilation": "extract < open-window < none", "bench.help": "beside < in-shout < timed-call < none",
	"bench.fire_bin": "yes < no", "bench.water": "yes < no", "bench.outdoor_place": "yes < no",
	"bench.plastic_tools": "yes < no", "bench.eye_protection": "yes < no", "bench.face_shield": "yes < no",
	"bench.gloves": "yes < no", "bench.tongs": "yes < no", "bench.thermometer": "yes < no", "bench.meter": "yes < no",
	"bench.eyewash": "yes < no", "bench.hf_gel": "yes < no", "bench.extinguisher": "yes < no",
	"bench.ignition_source": "no < yes", "bench.heat_source": "none, pad, hot-air",
	"bench.release_current_limited": "yes < no", "bench.worker": "trained < trainee",
	"store.container":  "open-noncombustible, vented-noncombustible, closed-airtight, plastic, cardboard",
	"store.sprinklers": "yes < no", "store.sleeping_above": "no < yes",
	"dispatch.purpose":       "reuse, return, recycle, dispose",
	"dispatch.packing":       "by-itself, with-equipment, in-equipment",
	"dispatch.jurisdiction":  "un, eu, uk, us",
	"dispatch.discarded_by":  "household, business",
	"dispatch.destination":   "sorter, treatment, recycler, maker, customer",
	"dispatch.prototype":     "no, yes",
	"dispatch.own_vehicle":   "no, yes",
	"dispatch.main_source":   "no, yes",
	"answer.condition":       "sound < worn < unproven < damaged < critical < reacting",
	"answer.transport_state": "not-damaged < damaged < critical",
	"answer.verdict":         "proceed < prepare < stop < evacuate",
}

var contractOther = map[string][]string{
	"members": {"job.tried", "bench.solvents", "device.plastics_near"},
	"count": {"job.warmings", "battery.series_cells", "battery.parallel_cells", "adhesive.pull_tabs",
		"adhesive.pull_tabs_torn", "device.battery_connectors", "store.cells", "dispatch.cells", "dispatch.batteries",
		"dispatch.equipment", "dispatch.packages"},
	"text": {"job.id", "job.ticket", "battery.assessed_by", "shop.name", "shop.address", "shop.emergency_number",
		"shop.poison_line", "shop.meeting_point", "shop.referral", "shop.collector", "shop.night_place"},
	"date":   {"battery.made", "battery.assessed_on", "store.since", "dispatch.date", "law.date"},
	"layers": {"device.stack"},
}

var contractUnits = map[string]string{
	"job.minutes": "min", "battery.nominal_voltage": "V", "battery.charge_limit": "V", "battery.rest_voltage": "V",
	"battery.rated_capacity": "Ah", "battery.rated_energy": "Wh", "battery.lithium_content": "g", "battery.health": "%",
	"battery.mass": "g", "battery.length": "mm", "battery.width": "mm", "battery.thickness": "mm",
	"battery.nominal_thickness": "mm", "battery.rest_time": "min", "battery.off_time": "min", "battery.rest_drop": "V",
	"battery.gauge_charge": "%", "battery.temperature": "degC", "battery.temperature_rate": "K/min", "battery.age": "yr",
	"adhesive.length": "mm", "adhesive.width": "mm", "adhesive.gap": "mm", "adhesive.solvent_volume": "mL",
	"bench.air_temperature": "degC", "bench.room_volume": "m3", "bench.air_changes": "1/h", "bench.sand_mass": "kg",
	"bench.combustibles_distance": "m", "bench.heat_setpoint": "degC", "bench.release_voltage": "V",
	"store.volume": "L", "store.separation": "m", "store.combustibles_distance": "m", "dispatch.net_mass": "kg",
	"dispatch.gross_mass": "kg", "dispatch.load_per_vehicle": "kg",
}

func TestCatalogueKeepsTheContract(t *testing.T) {
	cat := Shipped()
	for name, words := range contract {
		f, ok := cat.Lookup(name)
		if !ok {
			t.Errorf("no fact %s", name)
			continue
		}
		joint := ", "
		if f.Ordered {
			joint = " < "
		}
		if got := strings.Join(f.Words, joint); f.Kind != Words || got != words {
			t.Errorf("%s: %s, want %s", name, got, words)
		}
	}
	for kind, names := range contractOther {
		for _, name := range names {
			if f, ok := cat.Lookup(name); !ok || f.Kind.String() != kind {
				t.Errorf("%s is not there as %s", name, kind)
			}
		}
	}
	for name, unit := range contractUnits {
		if f, ok := cat.Lookup(name); !ok || f.Kind != Number || f.Unit != unit {
			t.Errorf("%s is not there in %s", name, unit)
		}
	}
}

func TestEveryFactCanBeAskedAndFoundOut(t *testing.T) {
	cat := Shipped()
	for i := range cat.Facts {
		f := &cat.Facts[i]
		if !f.Statable() {
			continue
		}
		if !strings.Contains(f.Ask, "?") || f.Find == "" || f.Minutes <= 0 {
			t.Errorf("%s lacks a question, a way to find out, or the minutes that takes", f.Name)
		}
		if f.Settle != SettleBefore && f.Settle != SettleDuring {
			t.Errorf("%s is settled neither before nor during work", f.Name)
		}
		if f.Unseen == nil && f.Kind != Text {
			t.Errorf("%s has no value for when nobody states it", f.Name)
		}
		if f.Change != nil && (f.Change.Text == "" || f.Change.Minutes <= 0) {
			t.Errorf("%s: a change wants a text and its minutes", f.Name)
		}
		if f.Unit == "" && f.Kind == Number {
			t.Errorf("%s has no unit", f.Name)
		}
	}
}

// Ignorance raises no alarm: what nobody states is taken at its harmless end
// where alarms are weighed.
func TestUnseenFactsAreHarmless(t *testing.T) {
	cat := Shipped()
	for i := range cat.Facts {
		f := &cat.Facts[i]
		// How far one looked and asked is known even when nothing was said: not at all.
		if f.Name == "battery.looked" || f.Name == "battery.history_asked" {
			continue
		}
		if f.Ordered && f.Unseen != nil && f.Unseen.Rank != 0 {
			t.Errorf("%s is taken as %s when nobody states it", f.Name, f.Unseen.Word)
		}
	}
}

func TestSignsSayWhichLookShowsThem(t *testing.T) {
	cat := Shipped()
	var signs, history []string
	for i := range cat.Facts {
		f := &cat.Facts[i]
		if f.History {
			history = append(history, f.Key())
		}
		if !f.Sign {
			continue
		}
		signs = append(signs, f.Key())
		atClosed := slices.Contains([]string{"swelling", "odour", "self_heating", "venting"}, f.Key())
		if want := map[bool]string{true: "closed", false: "opened"}[atClosed]; f.SeenBy != want {
			t.Errorf("%s shows at %q, want %q", f.Name, f.SeenBy, want)
		}
	}
	slices.Sort(signs)
	if got, want := strings.Join(signs, " "), "deformation discoloured leakage odour puncture self_heating swelling terminal_corrosion venting"; got != want {
		t.Errorf("signs are %s, want %s", got, want)
	}
	slices.Sort(history)
	if got, want := strings.Join(history, " "), "dropped overheated recalled wetted wrong_charger"; got != want {
		t.Errorf("history is %s, want %s", got, want)
	}
}

// Nothing is presumed of a sign, of the history, of the kit at the bench, of
// the charge, or of how far somebody looked.
func TestNothingHarmlessIsPresumedWhereItMatters(t *testing.T) {
	cat := Shipped()
	for i := range cat.Facts {
		f := &cat.Facts[i]
		kit := f.Group() == "bench" && (f.YesNo() || f.Name == "bench.help" || f.Name == "bench.ventilation" || f.Name == "bench.worker")
		matters := f.Sign || f.History || kit || slices.Contains([]string{
			"battery.looked", "battery.history_asked", "battery.gauge_charge", "battery.rest_voltage",
			"derived.state_of_charge"}, f.Name)
		if matters && len(f.Presume) > 0 {
			t.Errorf("%s is presumed to be %s", f.Name, f.Presume[0].Value)
		}
		for _, p := range f.Presume {
			if p.Note == "" {
				t.Errorf("%s: no reason is given for presuming %s", f.Name, p.Value)
			}
		}
	}
}

// A shop file may not state what is seen on a cell.
func TestShopFactsAreAboutTheShop(t *testing.T) {
	cat := Shipped()
	for i := range cat.Facts {
		f := &cat.Facts[i]
		if g := f.Group(); f.ShopLevel && (g == "battery" || g == "adhesive" || g == "device" || g == "job") {
			t.Errorf("%s may be stated in a shop file", f.Name)
		}
		if f.Group() == "shop" && !f.ShopLevel {
			t.Errorf("%s may not be stated in a shop file", f.Name)
		}
	}
}

func TestSynonymsAreUnmistakable(t *testing.T) {
	cat := Shipped()
	for _, c := range []struct{ fact, word, want string }{
		{"battery.swelling", "bloated", "slight | severe"},
		{"battery.swelling", "Pillow", "slight"},
		{"battery.wetted", "liquid damage", "yes"},
		{"battery.chemistry", "Li-ion", "lfp | lto | lmo | nmc | nca | lco"},
		{"battery.chemistry", "LiPo", "lfp | lto | lmo | nmc | nca | lco"},
		{"battery.chemistry", "polymer", "lfp | lto | lmo | nmc | nca | lco"},
		{"battery.chemistry", "lico", ""},
		{"adhesive.kind", "strip", "stretch-strip"},
		{"adhesive.kind", "flap", "lift-film"},
		{"bench.gloves", "latex", "no"},
		{"bench.meter", "TRUE", "yes"},
		{"bench.help", "true", ""},
	} {
		f, _ := cat.Lookup(c.fact)
		set, _ := f.Set(c.word)
		if got := strings.Join(f.Names(set), " | "); got != c.want {
			t.Errorf("%s: %s means %q, want %q", c.fact, c.word, got, c.want)
		}
		if rank, ok := f.Word(c.word); ok != (c.want != "" && !strings.Contains(c.want, "|")) || ok && f.Words[rank] != c.want {
			t.Errorf("%s: %s as one word is %d, %v", c.fact, c.word, rank, ok)
		}
	}
}

func TestNearestNames(t *testing.T) {
	for name, want := range map[string]string{
		"battery.sweling":   "battery.swelling",
		"swelling":          "battery.swelling",
		"bench.odour":       "battery.odour",
		"batery.odour":      "battery.odour",
		"batery.oodur":      "battery.odour",
		"bench.temperature": "battery.temperature",
		"xyzzy":             "",
		"":                  "",
	} {
		if got := Shipped().Nearest(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

func TestBrokenCataloguesAreRefused(t *testing.T) {
	for name, c := range map[string]struct{ facts, want string }{
		"no kind":       {"- {name: x}", "kind"},
		"misspelt":      {"- {name: x, kind: text, sing: true}", "sing"},
		"no range":      {"- {name: x, kind: number, unit: V}", "range"},
		"no unit":       {"- {name: x, kind: number, unit: furlong, range: [0, 1]}", "furlong"},
		"twice":         {"- {name: x, kind: text}\n- {name: x, kind: text}", "twice"},
		"bad unseen":    {"- {name: x, words: [a, b], unseen: c}", "unseen"},
		"wide unseen":   {"- {name: x, words: [a, b], unseen: a | b}", "one value"},
		"bad presume":   {"- {name: x, words: [a, b], presume: [{when: {job.y: a}, value: a}]}", "job.y"},
		"bad synonym":   {"- {name: x, words: [a, b], synonyms: {c: d}}", "synonym"},
		"bad change":    {"- {name: x, words: [a, b], change: {text: t, minutes: 1, to: z}}", "change"},
		"bad parent":    {"- {name: x, kind: count, range: [0, 1], parents: {job.y: 1}}", "parent"},
		"bad direction": {"- {name: x, kind: count, range: [0, 1], worse: sideways}", "sideways"},
	} {
		files := fstest.MapFS{}
		for _, g := range groupFiles {
			files["c/"+g+".yaml"] = &fstest.MapFile{Data: []byte("group: " + g + "\nfacts: []\n")}
		}
		files["c/job.yaml"] = &fstest.MapFile{Data: []byte("group: job\nfacts:\n" + c.facts + "\n")}
		if _, err := parseCatalogue(files, "c"); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Every glued device of a named kind has a cautious presumption for what one
// rarely knows: common practice, and li-metal is never among it.
func TestNamedKindsHavePresumptions(t *testing.T) {
	cat := Shipped()
	for _, kind := range []string{"phone", "tablet", "laptop", "earbud", "earbud-case", "watch", "handheld"} {
		for _, name := range []string{"battery.chemistry", "battery.form", "battery.series_cells", "battery.parallel_cells", "adhesive.gap"} {
			f, _ := cat.Lookup(name)
			found := false
			for _, p := range f.Presume {
				found = found || slices.Contains(strings.Split(p.When["device.kind"], " | "), kind)
				if name == "battery.chemistry" && strings.Contains(p.Value, "li-metal") {
					t.Errorf("lithium metal is presumed of %v", p.When)
				}
			}
			if !found {
				t.Errorf("nothing is presumed of %s for a %s", name, kind)
			}
		}
	}
}
