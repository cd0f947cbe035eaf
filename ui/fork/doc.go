// Package fork draws the fork: the chart of two futures.
//
// Net amount weighed in runs across. Up run superheat and, in a second panel,
// subcooling. What was measured stands as points. The target band is shaded
// between its limits. From the newest point two fans open, one for each device
// that may be inside, ending at the amount the next increment leads to, each
// with its range and its words at the end:
//
//	superheat °F
//	40 ┤○
//	   │
//	30 ┤     ○
//	   │
//	20 ┤           ●⠤⠤⣀⣀   ┬
//	   │            ⠑⢄⡀ ⠉⠉⠒┤ if a valve    16 to 21
//	10 ┤░░░░░░░░░░░░░░░⠈⠒⢄⡀┬
//	   │░░░░░░░░░░░░░░░░░░⠈┤ if an orifice  6 to 11
//	 0 ┼──────────┬──────────┬
//	   0          8        16 +4 oz
//
// The next settled reading lands on one of them. Nobody has to take a
// percentage on trust: the chart said beforehand what each device would do.
// Land says in words on which one it landed.
//
// # How it is drawn
//
// On a grid of cells, in this order, later over earlier: band, axes, fans,
// earlier points, newest point, words. Fans are lines of braille dots, two by
// four to a cell, so that a slope reads even in ten columns; the words carry
// the meaning and a plain-character drawing stands by for fonts without
// braille. Where the increment is too small to see at the scale of the axis,
// the fan keeps a least width and its end is labelled with the amount.
//
// Scales come from a coarse ladder and only ever grow (Data.Scale), so the
// picture keeps still while a session goes on. Below 44 columns or 8 lines the
// chart becomes Trace: two lines of text a quantity.
//
// All numbers are in the units shown; the package knows no sessions. Numbers
// that are not finite are left out, any size is safe.
package fork
