"""Choose flexible counts so that the session fits its booking.

Counts are chosen for each written section or line and lane, the same in every round, by the timeline's own rules, so
that the session ends within booking less spare. Without a booking, every count is the least. If even the least overrun,
the session has those, and the report says by how much it overruns and which sections cost most. Nothing is added to a
line that is flagged as a hazard.

**The best choice** has, in this order: the greatest distance summed over swimmers; the earliest end of the session (the
last touch of all lanes); the greatest distances of the lanes in the squad's order; the earliest last touch of the first
lane, of the second and so on; the most rounds in all, then the most of earlier sections and in them of earlier lanes;
the most repeats of earlier lines and in them of earlier lanes. Counts that do not change what is swum stay at their
least.

**Decided**

- It is exact, by dynamic programming over the common starts of sections, not greedy: the end of the last section is not
  rounded to a start, which a scheme of slots gets wrong.
- `fit_rest` is the live refit: the same search from wherever each lane is. What has been swum, rounds that have begun
  and lines that are past keep their counts. It reads no clock: its input is where and when each lane resumes, and an
  end in session time. Lines added or skipped on deck stay so; an added line has no count to choose.
- It counts its work, not time (`pacer.timeline.stepcounter`), so that two tablets agree. If the exact answer would
  take too long, the result is the best found, with a bound on what it misses (`mostdistance`), and every place that
  shows it says so.
"""
