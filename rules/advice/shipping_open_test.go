package advice_test

import (
	"slices"
	"strings"
	"testing"
)

// Nobody asked about carriage, so nothing is said.
func TestCarriageStaysQuiet(t *testing.T) {
	quiet := "job.goal=replace; dispatch.purpose=; dispatch.packing=; dispatch.jurisdiction="
	if got := carried(t, parcel(t, quiet)); len(got) != 0 {
		t.Errorf("%d modes were answered", len(got))
	}
	for _, ask := range []string{"job.goal=ship", "dispatch.purpose=return", "dispatch.packing=by-itself", "dispatch.jurisdiction=eu"} {
		if got := carried(t, parcel(t, quiet+"; "+ask)); len(got) != 7 {
			t.Errorf("%s: %d modes", ask, len(got))
		}
	}
}

// What would make a mode acceptable, and which facts leave it open.
func TestCarriageTellsWhatWouldOpenIt(t *testing.T) {
	for _, tc := range []struct {
		name, facts, mode, allowed string
		opens, unsettled           []string
	}{
		{"charge, contacts and summary", "battery.gauge_charge=60 %; battery.terminals=bare; battery.test_summary=no", "air-cargo", "no",
			[]string{"the charge is 30 % or less", "every contact is covered", "test summary is at hand"}, nil},
		{"charge in a range", "battery.gauge_charge=20..60 %", "air-cargo", "approval", []string{"the charge is 30 % or less"}, []string{"battery.rest_voltage"}},
		{"summary not known", "battery.test_summary=", "road", "no", []string{"test summary is at hand"}, []string{"battery.test_summary"}},
		{"law of the road not named", "dispatch.jurisdiction=un", "road", "no", []string{"whose law holds"}, nil},
		{"jurisdiction not known", "dispatch.jurisdiction=unknown", "road", "no", []string{"whose law holds"}, []string{"dispatch.jurisdiction"}},
		{"nobody has looked", "battery.looked=no; battery.swelling=; battery.deformation=; battery.puncture=; battery.leakage=; battery.odour=; battery.discoloured=; battery.terminal_corrosion=; battery.self_heating=; battery.venting=",
			"air-cargo", "no", []string{"a look at every face"}, []string{"battery.looked"}},
		{"nobody has looked, by road", "battery.looked=no; battery.odour=; battery.venting=; battery.self_heating=", "road", "approval",
			[]string{"a look finds no smell"}, []string{"battery.looked"}},
		{"purpose not known", "dispatch.purpose=", "air-cargo", "approval", []string{"not sent for recycling"}, []string{"dispatch.purpose"}},
		{"which limit the volts are against", "battery.gauge_charge=; battery.rest_voltage=3.7 V; battery.volts_at=cell; battery.chemistry=li-ion", "air-cargo", "no",
			[]string{"a look at every face"}, []string{"battery.nominal_voltage"}},
		{"swollen is not lifted", "battery.swelling=slight", "air-cargo", "no", nil, nil},
		{"loose with passengers is not lifted", "", "air-passenger", "no", nil, nil},
		{"power bank or not", "battery.role=unknown; dispatch.packing=in-equipment", "air-passenger", "no", nil, []string{"battery.role"}},
		{"cell or battery", "battery.series_cells=unknown; battery.rated_energy=30 Wh", "air-cargo", "yes", nil, []string{"battery.series_cells"}},
		{"cell or battery does not matter", "battery.series_cells=unknown; battery.rated_energy=15 Wh", "air-cargo", "yes", nil, []string{}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := carried(t, parcel(t, tc.facts))[tc.mode]
			if s.Allowed != tc.allowed {
				t.Errorf("allowed %s %v, want %s", s.Allowed, s.Why, tc.allowed)
			}
			all := strings.Join(s.AllowedIf, "\n")
			for _, words := range tc.opens {
				if !strings.Contains(all, words) {
					t.Errorf("allowed_if lacks %q: %v", words, s.AllowedIf)
				}
			}
			if tc.opens == nil && tc.allowed == "no" && len(s.AllowedIf) > 0 && tc.unsettled == nil {
				t.Errorf("allowed_if %v for what nothing opens", s.AllowedIf)
			}
			for _, name := range tc.unsettled {
				if !slices.Contains(s.Unsettled, name) {
					t.Errorf("unsettled %v lacks %s", s.Unsettled, name)
				}
			}
			if tc.unsettled != nil && len(tc.unsettled) == 0 && len(s.Unsettled) > 0 {
				t.Errorf("unsettled %v although the answer stands", s.Unsettled)
			}
		})
	}
}

// What allowed_if names does open the mode.
func TestWhatIsNamedOpensTheMode(t *testing.T) {
	bad := "battery.gauge_charge=60 %; battery.terminals=bare; battery.test_summary=no; battery.series_cells=2; battery.wh_printed=no"
	s := carried(t, parcel(t, bad))["air-cargo"]
	if s.Allowed != "no" || len(s.AllowedIf) != 4 {
		t.Fatalf("%s, %v", s.Allowed, s.AllowedIf)
	}
	good := bad + "; battery.gauge_charge=30 %; battery.terminals=covered; battery.test_summary=yes; battery.wh_printed=yes"
	if s := carried(t, parcel(t, good))["air-cargo"]; s.Allowed != "yes" || !slices.Contains(s.Basis, "PI 965-IB") {
		t.Errorf("%s %v", s.Allowed, s.Basis)
	}
}

// Law has dates: beyond the editions known the answer says so.
func TestCarriageEditions(t *testing.T) {
	for _, tc := range []struct {
		date, mode, juris, edition, until string
		over                              bool
	}{
		{"2024-01-01", "road", "eu", "ADR/RID 2023", "2024-12-31", false},
		{"2024-12-31", "rail", "eu", "ADR/RID 2023", "2024-12-31", false},
		{"2025-01-01", "road", "uk", "ADR/RID 2025", "2026-12-31", false},
		{"2026-12-31", "road", "eu", "ADR/RID 2025", "2026-12-31", false},
		{"2027-01-01", "road", "eu", "ADR/RID 2025", "2026-12-31", true},
		{"2024-12-31", "air-cargo", "un", "ICAO Technical Instructions 2023-2024", "2024-12-31", false},
		{"2026-12-31", "air-cargo", "un", "ICAO Technical Instructions 2025-2026", "2026-12-31", false},
		{"2027-01-01", "air-cargo", "un", "ICAO Technical Instructions 2025-2026", "2026-12-31", true},
		{"2024-06-01", "sea", "eu", "IMDG Code 41-22", "2025-12-31", false},
		{"2026-06-01", "sea", "eu", "IMDG Code 42-24", "2026-12-31", false},
		{"2024-05-09", "road", "us", "49 CFR 173.185 of 27 December 2022", "2024-05-09", false},
		{"2024-05-10", "road", "us", "49 CFR 173.185 as amended from 10 May 2024", "2026-12-31", false},
		{"2023-12-31", "road", "eu", "ADR/RID 2023", "2024-12-31", true},
	} {
		s := carried(t, parcel(t, "dispatch.date="+tc.date+"; dispatch.jurisdiction="+tc.juris))[tc.mode]
		if s.Edition != tc.edition || s.EditionUntil != tc.until || s.EditionOver != tc.over {
			t.Errorf("%s %s %s: %s until %s, over %v", tc.date, tc.mode, tc.juris, s.Edition, s.EditionUntil, s.EditionOver)
		}
	}
}
