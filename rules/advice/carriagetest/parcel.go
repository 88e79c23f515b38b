package carriagetest

import (
	"fmt"
	"strings"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

// sound is a fully stated sound, tested one-cell battery on the bench; every
// parcel changes what it is about.
const sound = `job.goal=ship; job.tried=[]; job.warmings=0; job.minutes=0 min; job.force_used=no;
battery.place=removed; battery.role=device; battery.chemistry=lco; battery.form=pouch; battery.series_cells=1; battery.parallel_cells=1;
battery.looked=both-faces; battery.history_asked=yes; battery.swelling=none; battery.deformation=none; battery.puncture=none;
battery.leakage=none; battery.odour=no; battery.discoloured=no; battery.terminal_corrosion=no; battery.self_heating=no; battery.venting=no;
battery.wetted=no; battery.overheated=no; battery.dropped=no; battery.wrong_charger=no; battery.recalled=no;
battery.rated_energy=15 Wh; battery.gauge_charge=30 %; battery.mass=60 g; battery.made=2023-05-01; battery.label=legible;
battery.test_summary=yes; battery.wh_printed=yes; battery.terminals=covered; battery.soldered=no;
battery.assessed_by=an expert of the maker;
device.kind=other; device.starts=yes; bench.air_temperature=20 degC;
dispatch.purpose=reuse; dispatch.packing=by-itself; dispatch.jurisdiction=eu; dispatch.date=2026-06-01;
dispatch.discarded_by=business; dispatch.destination=customer`

// Parcel is a sound, tested, loose one-cell battery of 15 Wh in the EU, offered
// on 2026-06-01 at 30 % charge, with changes laid over it: "fact=value" parted
// by semicolons; "fact=" takes a fact out. What is judged of it is judged on the
// day it is offered, unless a change says when. The error tells which change is
// none.
func Parcel(changes string) (*facts.Case, error) {
	cat := facts.Shipped()
	c := facts.NewCase(cat, "parcel")
	for part := range strings.SplitSeq(sound+";"+changes, ";") {
		if part = strings.TrimSpace(part); part == "" {
			continue
		}
		name, value, _ := strings.Cut(part, "=")
		if strings.TrimSpace(value) == "" {
			c.Unset(name)
			continue
		}
		if err := c.SetText(cat, name, value); err != nil {
			return nil, fmt.Errorf("%s: %w", part, err)
		}
	}
	const judged = "battery.assessed_on"
	if day := c.Get("dispatch.date"); day.State == facts.Stated && !strings.Contains(changes, judged+"=") {
		c.Set(judged, day)
	}
	return c, nil
}

// Carried answers the carriage of a case by its mode.
func Carried(b *rules.Book, c *facts.Case) (map[string]advice.Shipping, error) {
	a, err := advice.Carry(b, c, advice.Options{Now: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)})
	if err != nil {
		return nil, err
	}
	out := map[string]advice.Shipping{}
	for _, s := range a.Shipping {
		out[s.Mode] = s
	}
	return out, nil
}
