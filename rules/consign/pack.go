package consign

import (
	"cmp"
	"math"
	"slices"
)

// room is what one package may hold, in whole milligrams and items.
type room struct {
	net, gross int64 // math.MaxInt64: no limit; gross is without the outer packing
	single     int64 // net, of a package that holds one item
	items      int
	cells      int
	batteries  int
}

// roomOf is the room of a scheme, with a net limit of the rulebook beside its own.
func roomOf(s *Scheme, netLimitKg *float64) room {
	net := s.NetG
	single := s.SingleG
	if netLimitKg != nil {
		net, single = min(net, 1000**netLimitKg), min(single, 1000**netLimitKg)
	}
	return room{net: milligrams(net), gross: milligrams(s.GrossG - s.OuterG), single: milligrams(single),
		items: whole(s.Items), cells: whole(s.Cells), batteries: whole(s.Batteries)}
}

// milligrams rounds a limit in grams down.
func milligrams(g float64) int64 {
	if mg := math.Floor(g * 1000); mg < 1e15 {
		return max(int64(mg), 0)
	}
	return math.MaxInt64
}

func whole(x float64) int {
	if x > math.MaxInt32 {
		return math.MaxInt32
	}
	return int(x)
}

// alone reports whether the item may travel, if need be in a package of its own.
func (r room) alone(it item) bool {
	return r.items >= 1 && r.cells >= it.cell && r.batteries >= it.battery && (r.roomy(it) || it.netMg <= r.single)
}

// roomy reports whether the item fits an ordinary package with others.
func (r room) roomy(it item) bool { return it.netMg <= r.net && it.grossMg <= r.gross }

// bin is one package while it is being filled.
type bin struct {
	net, gross       int64
	items            int
	cells, batteries int
	holds            []share
}

// share is how many items of one row lie in a bin.
type share struct{ row, count int }

// fits is how many more of an item the bin takes.
func (b *bin) fits(r room, it item) int {
	n := min((r.net-b.net)/it.netMg, (r.gross-b.gross)/it.grossMg)
	n = min(n, int64(r.items-b.items))
	if it.cell > 0 {
		n = min(n, int64(r.cells-b.cells))
	}
	if it.battery > 0 {
		n = min(n, int64(r.batteries-b.batteries))
	}
	return int(max(min(n, int64(it.count)), 0))
}

func (b *bin) put(it item, n int) {
	b.net += int64(n) * it.netMg
	b.gross += int64(n) * it.grossMg
	b.items += n
	b.cells += n * it.cell
	b.batteries += n * it.battery
	b.holds = append(b.holds, share{it.row, n})
}

// fill packs items by first-fit decreasing: the heaviest first, each into the
// first package that takes it. Items that no ordinary package takes get one of
// their own. Every item must pass room.alone.
//
// With one limit on mass and one on number, first-fit decreasing needs at most
// twice the fewest packages and one more (Krause, Shen and Schwetman, J. ACM 22
// (1975) 522, from memory); how far it is from the fewest in this very list is
// told by fewest.
func fill(r room, items []item) []bin {
	items = slices.Clone(items)
	slices.SortFunc(items, func(a, b item) int {
		return cmp.Or(cmp.Compare(b.grossMg, a.grossMg), cmp.Compare(a.row, b.row))
	})
	var bins []bin
	var open []int
	for i, it := range items {
		if !r.roomy(it) {
			for range it.count {
				b := bin{}
				b.put(it, 1)
				bins = append(bins, b)
			}
			continue
		}
		for _, at := range open {
			if n := bins[at].fits(r, it); n > 0 {
				bins[at].put(it, n)
				it.count -= n
			}
		}
		for it.count > 0 {
			b := bin{}
			n := b.fits(r, it)
			b.put(it, n)
			it.count -= n
			bins = append(bins, b)
			open = append(open, len(bins)-1)
		}
		smallest := items[len(items)-1]
		if i < len(items)-1 {
			open = slices.DeleteFunc(open, func(at int) bool { return bins[at].full(r, smallest) })
		}
	}
	return bins
}

// full reports that not even the lightest item of the list fits any more.
func (b *bin) full(r room, lightest item) bool {
	return r.gross-b.gross < lightest.grossMg || b.items >= r.items || b.cells >= r.cells && b.batteries >= r.batteries
}

// fewest is a number of packages that no plan under the same limits goes below.
func fewest(r room, items []item) int {
	var own, net, gross, number, onlyCells, onlyBatteries int64
	for _, it := range items {
		n := int64(it.count)
		if !r.roomy(it) {
			own += n
			continue
		}
		net += n * it.netMg
		gross += n * it.grossMg
		number += n
		onlyCells += n * int64(it.cell)
		onlyBatteries += n * int64(it.battery)
	}
	return int(own + max(over(net, r.net), over(gross, r.gross), over(number, int64(r.items)), over(onlyCells, int64(r.cells)), over(onlyBatteries, int64(r.batteries))))
}

// over is how many packages of a size a sum needs at least.
func over(sum, size int64) int64 {
	if size <= 0 {
		return 0
	}
	whole, rest := sum/size, sum%size
	if rest > 0 {
		whole++
	}
	return whole
}
