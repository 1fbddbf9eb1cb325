"""Flexible counts chosen so that the session fits its booking.

Counts are chosen for each written section or line and lane, the same in every round, by the timeline's own rules, so
that the session ends within booking less spare. Without a booking: the least counts. If even those overrun, they are
run, and the report says by how much and which sections cost most. Nothing is added to a line that is flagged as a
hazard.

**What is best**, in this order: the greatest distance summed over swimmers; the earliest end of the session (the last
touch of all lanes); the lanes' distances in the squad's order; the earlier last touch of the first lane, of the second
and so on; more rounds in all, then more of earlier sections and in them of earlier lanes; more of earlier lines and in
them of earlier lanes. Counts that make no difference to what is swum stay at their least.

**Decided**

- It is exact, by dynamic programming over the common starts of sections, not greedy: the last section is not rounded
  to a start, which a scheme of slots gets wrong.
- `fit_rest` is the live refit: the same search from wherever each lane stands; what is behind, rounds begun and lines
  passed keep their counts. It reads no clock: it takes where and when each lane goes on, and an end in session time.
  Lines put in or left out on deck are swum as they are; a line put in has no count to choose.
- It counts its work, not the time (`pacer.timeline.searchbudget`), so that two tablets agree. What would take too long
  is answered with the best found and a bound on what is missed (`mostswum`), and every place that shows it says so.
"""
