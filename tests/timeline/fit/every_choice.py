"""The fit by brute force: for small random sessions, lay out every choice with the engine and pick the best.

The fit's tie rules are written again here, as one key to compare.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from itertools import product

from pacer.plan.model import Flexible, Plan
from pacer.plan.planlines import numbered_lines
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import Squad
from pacer.timeline.course import Course, TakeUp
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Counts, Track

Key = tuple[int, int | None]


def places(plan: Plan, squad: Squad) -> list[tuple[Key, int, Flexible]]:
    """Every count to choose: rounds first, and for each count its lanes."""
    rows = [
        ((at, None), lane, section.rounds)
        for at, section in enumerate(plan.sections)
        if isinstance(section.rounds, Flexible)
        for lane, told in enumerate(squad.lanes)
        if told.rounds is None
    ]
    return rows + [
        ((at, number), lane, line.count)
        for at, number, _, line in numbered_lines(plan)
        if isinstance(line.count, Flexible)
        for lane in range(len(squad.lanes))
    ]


def least_counts(plan: Plan, squad: Squad) -> dict[Key, tuple[int, ...]]:
    """The counts if nothing is chosen: the least, or the rounds that the squad fixes for a lane."""
    made = {}
    for at, section in enumerate(plan.sections):
        if isinstance(section.rounds, Flexible):
            least, most = section.rounds.least, section.rounds.most
            made[at, None] = tuple(
                least if lane.rounds is None else min(max(lane.rounds, least), most) for lane in squad.lanes
            )
    for at, number, _, line in numbered_lines(plan):
        if isinstance(line.count, Flexible):
            made[at, number] = (line.count.least,) * len(squad.lanes)
    return made


def best_of_all(
    course: Course,
    limit_ms: int,
    start: Mapping[int, TakeUp] | None = None,
    tracks: Sequence[Track] = (),
    frozen: frozenset[tuple[int, int]] = frozenset(),
) -> tuple[Counts, int, list[int]] | None:
    """The counts, end and each lane's distance of the best choice; None if nothing ends by `limit_ms`.

    `start` and `tracks` as for `fit_rest`; a choice must not change what has been swum already.
    """
    plan, squad = course.plan, course.squad
    lanes, rows = range(len(squad.lanes)), places(plan, squad)
    entries = dict.fromkeys(lanes, TakeUp(0, 0, 0)) if start is None else start
    present = dict(course.counts) if start is not None else least_counts(plan, squad)
    options = []
    for key, lane, count in rows:
        free = lane in entries and key[0] >= entries[lane].section
        held = key in frozen or (key[1] is None and any(at == key[0] for at, _ in frozen))
        options.append(
            [present[key][lane]] if not free else [count.least] if held else range(count.least, count.most + 1)
        )
    best, seen = None, set()
    for chosen in product(*options):  # ascending: of equal choices, the first has the least counts
        counts = {key: list(values) for key, values in present.items()}
        for (key, lane, _), count in zip(rows, chosen):
            counts[key][lane] = count
        counts = {key: tuple(values) for key, values in counts.items()}
        if any(entry.ordinal and not _goes_on(course, counts, lane, entry) for lane, entry in entries.items()):
            continue
        laid = tuple(Track() for _ in lanes)
        for lane, track in enumerate(tracks):
            laid[lane].end_ms = track.end_ms
        course.but(counts=counts).lay(laid, entries, {})
        end = max(laid[lane].end_ms for lane in entries)
        swims = tuple(
            tuple((p.section, p.round, p.laneline.number, p.skipped, p.count, p.start_ms) for p in track.passes)
            for track in laid
        )
        if end > limit_ms or swims in seen:
            continue
        seen.add(swims)
        timeline = Timeline(plan, squad, counts, laid, {})
        distances = [timeline.distance(lane) for lane in lanes]
        rounds = [count for (key, _, _), count in zip(rows, chosen) if key[1] is None]
        lines = [count for (key, _, _), count in zip(rows, chosen) if key[1] is not None]
        worth = (
            sum(
                distance * len(lane.swimmers) for distance, lane in zip(distances, squad.lanes)
            ),  # the greatest distance of all swimmers,
            -end,  # then the earliest end,
            distances,  # the greatest distance of the first lane, the second …
            [
                -laid[lane].end_ms if laid[lane].passes else 0 for lane in lanes
            ],  # the earliest last touch of the first lane …
            sum(rounds),
            rounds,  # the most rounds, of the earlier section
            lines,  # the most of the earlier line
        )
        if best is None or worth > best[0]:
            best = (worth, counts)
    return None if best is None else (best[1], -best[0][1], best[0][2])


def _goes_on(course: Course, counts: Counts, lane: int, entry: TakeUp) -> bool:
    """Whether these counts match what the lane has swum, including the counts of lines that it is past."""
    was, past = _first(course, lane, entry)
    now, _ = _first(course.but(counts=counts), lane, entry)
    section = entry.section
    return was == now and all(
        (section, line) not in counts or counts[section, line][lane] == course.counts[section, line][lane]
        for line in past
    )


def _first(course: Course, lane: int, entry: TakeUp) -> tuple[list[tuple[int, int, int]], set[int]]:
    """Round, line and repeat of the first repeats of a section, and the lines that end among them."""
    program = [item for item in course.program(entry.section, lane) if not isinstance(item, int)]
    rounds = entry.ordinal if course.plan.sections[entry.section].for_ms else course.rounds(entry.section, lane)
    swum = [
        (number, item.number, repeat, repeat == item.count - 1)
        for number in range(rounds)
        for item in program
        for repeat in range(item.count)
    ][: entry.ordinal]
    return [each[:3] for each in swum], {line for _, line, _, last in swum if last}


def random_page(rng: random.Random) -> str:
    """A small plan with everything that affects the fit, and few enough choices to try them all."""
    rows = [
        "pool: 25 m",
        f"starts: {rng.choice(('0:30', '1:00', '5:00', '0:45', '0:01', '2:00'))}",
        f"clock: {rng.choice(('0:05', '0:10', '0:07', '0:01'))}",
        f"changeover: {rng.choice(('0:00', '0:30', '1:00'))}",
    ]
    choices = iter([True] * rng.randint(2, 5) + [False] * 50)
    for name in ("Warm-up", "Skill set", "Main set", "Swim-down")[: rng.randint(1, 4)]:
        rows += ["", *_section(rng, name, choices)]
    return "\n".join(rows) + "\n"


def _section(rng: random.Random, name: str, choices: Iterator[bool]) -> list[str]:
    kind, head = rng.randrange(9), [name]
    if kind <= 3 and next(choices):
        least = rng.randint(0, 1)
        head.append(f"{least} to {least + rng.randint(1, 2)} rounds")
    elif kind == 4:
        head.append("if time")
    elif kind == 5:
        head.append(f"for {rng.choice(('2 min', '3 min', '90 s'))}")
    elif kind == 6:
        head.append(f"at most {rng.choice(('2 min', '3 min', '90 s'))}")
    if kind != 5 and rng.random() < 0.35:
        head.append("run on")
    rows = [", ".join(head)]
    for _ in range(rng.randint(1, 2)):
        group = rng.choice(("A: ", "B: ")) if rng.random() < 0.2 else ""
        least = rng.randint(0, 2)
        flexible = rng.random() < 0.4 and next(choices)
        count = f"{least} to {least + rng.randint(1, 2)}" if flexible else str(rng.randint(1, 3))
        line = (
            f"{count} x {rng.choice((25, 50, 50, 100))} "
            f"{rng.choice(('free', 'back', 'drill', 'easy'))}{rng.choice(_DETAILS)}"
        )
        if rng.random() < 0.12:
            rows.append(f"  {group}rest 0:30")
        elif rng.random() < 0.15:
            rows.append(f"  {group}{count} x 0:{rng.choice((20, 30))} kick vertical, rest 0:10")
        elif not group and rng.random() < 0.15:
            rows += ["  2 rounds", f"    {line}", "    25 choice, rest 0:05"]
        else:
            rows.append(f"  {group}{line}")
    return [*rows, "  25 free, rest 0:10"] if rng.random() < 0.3 or "rest 0:30" in rows[-1] else rows


def crowded_page(rng: random.Random) -> str:
    """A section in which many lines have a choice.

    They may be in groups, in a section with a time limit, or on intervals too tight; often another section follows.
    """
    rows = ["pool: 25 m", f"clock: {rng.choice(('0:05', '0:07'))}", ""]
    kinds = (
        "",
        "",
        f", for {rng.randint(2, 8)} min",
        f", at most {rng.randint(2, 8)} min",
        ", 1 to 2 rounds",
        ", 0 to 2 rounds",
    )
    rows.append("Main set" + rng.choice(kinds))
    deep = 0
    for _ in range(rng.randint(2, 4)):
        indent = "  " * (deep + 1)
        if deep < 2 and rng.random() < 0.5:
            rows.append(f"{indent}{rng.randint(2, 3)} rounds")
            deep += 1
            indent += "  "
        least = rng.randint(0, 1)
        rows.append(
            f"{indent}{least} to {least + rng.randint(1, 2)} x {rng.choice((25, 50))} "
            f"free{rng.choice(('', ', rest 0:05', ', on 0:10', ', on 1:00'))}"
        )
        if rng.random() < 0.3:
            rows.append(indent + rng.choice(("rest 0:30", "25 back", "2 x 25 kick, on 0:10")))
        if deep and rng.random() < 0.3:
            deep -= 1
    return (
        "\n".join([*rows, *(("", "Swim-down", "  0 to 2 x 50 easy, rest 0:10") if rng.random() < 0.5 else ())]) + "\n"
    )


_DETAILS = (
    "",
    ", rest 0:10",
    ", rest 0:15",
    ", on 1:00 / 1:05",
    ", on 1:30 / 2:00",
    ", on 0:45 / 1:05",
    ", on base+0:10",
)


def random_lanes(rng: random.Random, most: int = 2) -> Squad:
    """Up to `most` lanes, alternating between groups A and B."""
    rows = []
    for lane in range(rng.choice((1, most, most))):
        rows += [
            "[[lane]]",
            f'base = "1:{rng.randint(10, 59)}"',
            f"swimmers = {rng.randint(1, 3)}",
            f'group = "{"AB"[lane % 2]}"',
            f'spacing = "0:{rng.choice(("05", "10"))}"',
        ]
        if rng.random() < 0.1:
            rows.append(f"rounds = {rng.randint(1, 3)}")
    return read_squad("\n".join(rows))
