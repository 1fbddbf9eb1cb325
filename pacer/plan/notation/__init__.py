"""Turns a page's lines into the values that they mean, or into their mistakes.

What the notation means where common usage leaves more than one reading; the engine, its tests and every independent
model of it follow these. What becomes of it in the water is in `pacer.timeline` (T1 to T19).

- R1. A line's own work is the default for its segments and parts: `4 x 100 back easy as 50 drill / 50 swim` is drill
  back easy, swim back easy. A segment that names a stroke, an effort or an activity overrides that one alone. After
  that: no activity is swim; swim without a stroke is free. An effort that the line names counts as the segment's own.
- R2. `odd A / even B` is `in turn 1 A / 1 B`; a pattern's parts may be one piece of work or a bracket of segments that
  fill the repeat: `odd (25 drill / 25 free) / even free`. `in turn 3 easy / 1 fast` means three repeats, then one,
  again and again.
- R3. `4 x (...+...)` is `4 rounds` with the members as lines below it. Group rounds are a number or by lane, never
  flexible.
- R4. A timed repeat (`6 x 0:30 kick vertical`) is one stretch or a pattern of stretches; it has no segments, `hold`,
  `per` or `base+`.
- R5. `then` needs repeats that split evenly for every lane (a flexible count cannot), else it is an error.
- R6. The cue of an event is its segment's; failing that its line's; failing that its section's; else "".
- R7. `changeover` and `spare` may be 0:00. `starts` and `clock` are whole seconds from 0:01. A spacing is at least
  0:01.
- R8. `booking`, `for`, `at most`: a time of the form M:SS below 10:00 is asked about (an hour or a minute?).

**Decided**

- One grammar, read line by line, so that all bad lines are reported at once. Plain code reads the structure (sections,
  indentation, comments), and Lark's LALR parser reads each line, from one grammar file. The parser's tables are saved
  beside it: the first plan of a process is then read 60 ms sooner, and a test fails when they are stale. Refused: one
  grammar for the page with error recovery (one slip hides the rest).
- Mistakes are data: `tests/plan/mistakes.toml` holds each with the place, message and hint it must get.
- All mistakes of a line are reported at once (`mistakesafterfirst`): if the line as a whole cannot be read, each of its
  terms is read by itself, and a mistake that may be caused by another one is left out. Refused: reading on with guessed
  terms (a false second mistake is worse than a late one).
"""
