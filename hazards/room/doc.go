// Package room reckons what a vapour or gas does in the air of a room: how much
// is in it after so many minutes, how near it comes to a breathing limit or to
// the lower flammable limit, and how long airing takes.
//
// The room is one well-mixed volume (a box). No real room is: air beside the
// work holds more, and the guidance on airing rooms counts with a mixing factor
// of up to 10. So every answer is low / middle / high, and the figure to act on
// near the work is the high one of NearWork.
//
// Volumes are m3, vapour is litres at room conditions, times are minutes, air
// changes are per hour, concentrations are ppm by volume.
//
// Sources: CDC, Guidelines for preventing the transmission of tuberculosis,
// MMWR 43 (RR-13), 1994, supplement 3 and table S3-1 (form, purge times, mixing
// factor); NFPA 30 as quoted in an OSHA letter of 1991-12-02 (25 % of the lower
// flammable limit).
package room
