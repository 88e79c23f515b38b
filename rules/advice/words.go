package advice

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

func lowerFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if next, _ := utf8.DecodeRuneInString(s[n:]); unicode.IsUpper(next) {
		return s
	}
	return string(unicode.ToLower(r)) + s[n:]
}

// number writes a number as people do: three figures, no trailing zeros.
func number(x float64) string {
	if x == 0 {
		return "0"
	}
	digits := max(0, 2-int(math.Floor(math.Log10(math.Abs(x)))))
	scale := math.Pow(10, float64(digits))
	return strconv.FormatFloat(math.Round(x*scale)/scale, 'f', -1, 64)
}

// span writes a range as people do.
func span(r expression.Range) string {
	low, high := number(r.Low), number(r.High)
	if low == high {
		return low
	}
	return low + " to " + high
}

func parsePercent(s string) (low, high float64, err error) { return facts.ParseQuantity(s, "%") }

// placeholders are the numbers and names of this case for the sentences of the
// rulebook. What is not known reads as what to do about it.
func (o *outcome) placeholders() map[string]string {
	text := func(fact, otherwise string) string {
		if t := o.values[fact].Text; t != "" {
			return t
		}
		return otherwise
	}
	ranged := func(fact, otherwise string) string {
		slot := o.full.Layout.MustSlot(fact)
		r := o.full.At(slot)
		if r == o.full.Layout.Slots[slot].Domain {
			return otherwise
		}
		return span(r)
	}
	limit := func(name, otherwise string) string {
		if v, _, ok := o.q.Cap(name); ok {
			return number(v)
		}
		return otherwise
	}
	liquid := o.solventWords()
	minutes := o.full.At(o.full.Layout.MustSlot("job.minutes"))
	return map[string]string{
		"target_soc": number(o.target), "rated_wh": ranged("derived.rated_energy", "unknown"), "soc": span(o.charge),
		"heat_surface_c": limit("heat.surface", "60"), "heat_cell_c": limit("heat.cell", "60"), "heat_minutes": limit("heat.minutes", "2"),
		"opening_surface_c": limit("opening.surface", "60"), "opening_minutes": limit("opening.minutes", "2"),
		"solvent": liquid.name, "dose_ml": liquid.dose, "dose_left_ml": liquid.left,
		"dose_per_edge_ml": liquid.edge, "soak_min": liquid.soak, "tried": o.triedWords(),
		"air_c": ranged("bench.air_temperature", "room temperature"), "cell_c": ranged("battery.temperature", "not measured"),
		"excess_k": ranged("derived.excess_over_room", "not measured"), "watch_h": "24",
		"shop_name": text("shop.name", "this bench"), "shop_address": text("shop.address", "(write the address here)"),
		"emergency_number": text("shop.emergency_number", "the fire service"),
		"poison_line":      text("shop.poison_line", "the poison centre"),
		"meeting_point":    text("shop.meeting_point", "the agreed meeting point"),
		"referral":         text("shop.referral", "a specialist"),
		"collector":        text("shop.collector", "the battery collector"),
		"night_place":      text("shop.night_place", "the agreed night place"),
		"discharge_h":      o.dischargeHours(), "volts": ranged("battery.rest_voltage", "not measured"),
		"volts_per_cell": ranged("derived.volts_per_cell", "not measured"),
		"connectors":     ranged("device.battery_connectors", "one or more"),
		"tabs":           ranged("adhesive.pull_tabs", "the"), "tabs_torn": ranged("adhesive.pull_tabs_torn", "the torn"),
		"warmings":        ranged("job.warmings", "unknown"),
		"minutes_left":    number(max(0, jobLimitMinutes-minutes.High)),
		"release_voltage": ranged("bench.release_voltage", "the maker's"), "look_again": "daily",
	}
}

// jobLimitMinutes is when a removal stops and is handed on (common practice).
const jobLimitMinutes = 45

func (o *outcome) triedWords() string {
	first, count, _ := o.full.Layout.MemberSlots("job.tried")
	v := o.values["job.tried"]
	var out []string
	for i := range count {
		if v.State == facts.Stated && v.Has(i) {
			out = append(out, o.full.Layout.Slots[first].Fact.Words[i])
		}
	}
	if len(out) == 0 {
		return "nothing yet"
	}
	return strings.Join(out, ", ")
}

// filled puts this case's numbers into a sentence.
func (w *writer) filled(text string) string {
	if !strings.Contains(text, "{") {
		return text
	}
	var b strings.Builder
	for {
		open := strings.IndexByte(text, '{')
		if open < 0 {
			break
		}
		end := strings.IndexByte(text[open:], '}')
		if end < 0 {
			break
		}
		b.WriteString(text[:open])
		b.WriteString(w.fill[text[open+1:open+end]])
		text = text[open+end+1:]
	}
	b.WriteString(text)
	return b.String()
}
