package consign

import (
	"testing"

	"pgregory.net/rapid"
)

// drawn is a room and items that may travel in it.
func drawn(t *rapid.T, most int) (room, []item) {
	const none = 1 << 40
	r := room{net: none, gross: none, items: none, cells: none, batteries: none}
	switch rapid.IntRange(0, 3).Draw(t, "limit") {
	case 0:
		r.net = rapid.Int64Range(10, 100).Draw(t, "net")
	case 1:
		r.gross = rapid.Int64Range(20, 120).Draw(t, "gross")
	case 2:
		r.gross = rapid.Int64Range(20, 120).Draw(t, "gross")
		r.items = rapid.IntRange(1, 5).Draw(t, "items")
	case 3:
		r.net = rapid.Int64Range(10, 100).Draw(t, "net")
		r.cells = rapid.IntRange(1, 4).Draw(t, "cells")
		r.batteries = r.cells
	}
	r.single = r.net
	if rapid.Bool().Draw(t, "single") {
		r.single = none
	}
	tare := rapid.Int64Range(0, 10).Draw(t, "tare")
	var items []item
	for i := range rapid.IntRange(1, most).Draw(t, "rows") {
		it := item{row: i, count: 1, netMg: rapid.Int64Range(1, 60).Draw(t, "mass"), cell: 1}
		if rapid.Bool().Draw(t, "unit") {
			it.cell, it.battery = 0, 1
		}
		it.grossMg = it.netMg + tare
		if r.alone(it) {
			items = append(items, it)
		}
	}
	return r, items
}

// optimum is the fewest packages, by trying every way to part the items.
func optimum(r room, items []item) int {
	best := len(items)
	var bins []bin
	var try func(i int)
	try = func(i int) {
		if len(bins) >= best && i < len(items) {
			return
		}
		if i == len(items) {
			best = min(best, len(bins))
			return
		}
		for b := range bins {
			old := bins[b]
			if r.roomy(items[i]) && r.net >= old.net && r.gross >= old.gross && old.fits(r, items[i]) > 0 {
				bins[b].put(items[i], 1)
				try(i + 1)
				bins[b] = old
			}
		}
		fresh := bin{}
		fresh.put(items[i], 1)
		bins = append(bins, fresh)
		try(i + 1)
		bins = bins[:len(bins)-1]
	}
	try(0)
	return best
}

// First-fit decreasing against brute force: never under the lower bound, never
// over twice the fewest and one.
func TestFillWithinItsBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, items := drawn(t, 8)
		got, least, low := len(fill(r, items)), optimum(r, items), fewest(r, items)
		if low > least {
			t.Fatalf("the lower bound %d is over the fewest, %d: %+v %+v", low, least, r, items)
		}
		if got < least || got > 2*least+1 {
			t.Fatalf("%d packages, the fewest are %d: %+v %+v", got, least, r, items)
		}
	})
}

// Nothing is lost, nothing is over a limit.
func TestFillConservesAndKeepsLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, items := drawn(t, 30)
		want := map[int]int{}
		for i := range items {
			items[i].count = rapid.IntRange(1, 40).Draw(t, "count")
			want[items[i].row] = items[i].count
		}
		byRow := map[int]item{}
		for _, it := range items {
			byRow[it.row] = it
		}
		for _, b := range fill(r, items) {
			var net, gross int64
			number, cells, batteries := 0, 0, 0
			for _, h := range b.holds {
				it := byRow[h.row]
				want[h.row] -= h.count
				net += int64(h.count) * it.netMg
				gross += int64(h.count) * it.grossMg
				number += h.count
				cells += h.count * it.cell
				batteries += h.count * it.battery
			}
			alone := number == 1 && net <= r.single
			if !alone && (net > r.net || gross > r.gross) || number > r.items || cells > r.cells || batteries > r.batteries {
				t.Fatalf("a package of %d mg net, %d gross, %d items in %+v", net, gross, number, r)
			}
			if number == 0 {
				t.Fatal("an empty package")
			}
		}
		for row, n := range want {
			if n != 0 {
				t.Fatalf("row %d is off by %d", row, n)
			}
		}
	})
}

// Arithmetic done by hand: 60 g cells, 5 g each for the bag, 30 kg gross less
// 0.6 kg for the box: 29400 / 65 = 452 in a package.
func TestFillBoundaries(t *testing.T) {
	s := &Scheme{NetG: 1e9, GrossG: 30000, SingleG: 1e9, Items: 1e9, Cells: 1e9, Batteries: 1e9, OuterG: 600, ItemG: 5}
	r := roomOf(s, nil)
	it := item{netMg: 60000, grossMg: 65000, cell: 1}
	for count, packages := range map[int]int{1: 1, 452: 1, 453: 2, 904: 2, 905: 3} {
		it.count = count
		if got := len(fill(r, []item{it})); got != packages {
			t.Errorf("%d cells in %d packages, want %d", count, got, packages)
		}
	}
	ten := 10.0 // PI 965-IB: 10 kg net
	r = roomOf(&Scheme{NetG: 35000, GrossG: 1e9, SingleG: 35000, Items: 1e9, Cells: 1e9, Batteries: 1e9}, &ten)
	for mass, want := range map[int64]int{5_000_000: 1, 5_000_001: 2} {
		if got := len(fill(r, []item{{netMg: mass, grossMg: mass, count: 2, cell: 1}})); got != want {
			t.Errorf("two of %d mg in %d packages, want %d", mass, got, want)
		}
	}
}
