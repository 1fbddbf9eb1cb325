"""The commands that take a plan and print one, or what becomes of it: `tidy`, `rounds`, `suggest`, `timeline`."""

from __future__ import annotations

import argparse
import re
import sys
from dataclasses import asdict
from fractions import Fraction
from pathlib import Path

from pacer.cli.inputoutput import (
    FINE,
    UNREADABLE,
    CommandEnded,
    plan_and_squad,
    plan_of,
    print_json,
    read_named,
    read_rest,
    say_squad,
    squad_of,
    timeline_for,
)
from pacer.disk import reason_of, write_whole
from pacer.language import tr
from pacer.plan.model import Plan
from pacer.plan.notation.planreader import pool_from_text
from pacer.plan.planlines import numbered_lines
from pacer.plan.text.standardform import write_line, write_plan
from pacer.plan.words.ownwords import NO_WORDS
from pacer.timeline.rewrite.intervals import suggest as with_intervals
from pacer.timeline.rewrite.otherpool import Alteration, for_pool
from pacer.timeline.summary.planned import planned
from pacer.timeline.summary.roundsreport import rounds_json, rounds_report
from pacer.timeline.summary.timelinetable import timeline_json, timeline_table


def tidy(options: argparse.Namespace) -> int:
    """The plan in its standard form, for another pool if one is named."""
    plan = plan_of(options.plan, squad_of(options.squad).words if options.squad else NO_WORDS)
    alterations: tuple[Alteration, ...] = ()
    if options.pool:
        plan, alterations = for_pool(plan, read_named(lambda: pool_from_text(options.pool), "--pool"))
    text = write_plan(plan)
    if options.json:
        print_json({"format": "pacer-tidy/1", "plan": text, "alterations": [asdict(each) for each in alterations]})
        return FINE
    _write_out(text, options)
    for each in alterations:
        place = tr("line {line}", line=each.line) if each.line else tr("header")
        print(f"{place}: {each.was}  ->  {each.now}  ({each.why})", file=sys.stderr)
    return FINE


def _write_out(text: str, options: argparse.Namespace) -> None:
    """Write the plan's text to its own file with `--write`, else to standard output."""
    if not options.write or options.plan == "-":
        sys.stdout.write(text)
        return
    try:
        write_whole(Path(options.plan), text.encode())
    except OSError as error:
        raise CommandEnded(
            tr(
                "{plan} could not be written: {reason}. The file is unchanged.",
                plan=options.plan,
                reason=reason_of(error),
            ),
            UNREADABLE,
        ) from None


def rounds(options: argparse.Namespace) -> int:
    """The rounds of each lane that fit the booking."""
    plan, squad = plan_and_squad(options)
    say_squad(squad)
    report = rounds_report(planned(plan, squad)[1])
    if options.json:
        print_json(rounds_json(report))
    else:
        print(report.text())
    return FINE


def suggest(options: argparse.Namespace) -> int:
    """The plan with intervals for its sets that have none."""
    plan, squad = plan_and_squad(options)
    rest_ms = None if options.rest is None else read_rest(options.rest)
    suggested = with_intervals(
        plan, squad, rest_ms=rest_ms, ratio=_ratio(options.ratio), every=options.every, lines=_lines(plan, options.line)
    )
    text = write_plan(suggested.plan)
    if options.json:
        print_json(
            {
                "format": "pacer-suggest/1",
                "plan": text,
                "suggestions": [asdict(each) for each in suggested.suggestions],
                "left": [asdict(each) for each in suggested.left],
            }
        )
        return FINE
    _write_out(text, options)
    say_squad(squad)
    print(
        suggested.text()
        or tr("every set of two or more repeats already has an interval or a rest: choose one with --line N"),
        file=sys.stderr,
    )
    return FINE


def _lines(plan: Plan, asked: list[int] | None) -> set[tuple[int, int]] | None:
    """The set lines at these lines of the page; None if no lines were named."""
    if not asked:
        return None
    at = {line.span.line: (section, number) for section, number, _, line in numbered_lines(plan) if line.span}
    for line in asked:
        if line not in at:
            raise CommandEnded(
                tr(
                    "--line {line}: there is no set on line {line} of the plan; sets are on lines {at}",
                    line=line,
                    at=", ".join(map(str, at)),
                ),
                UNREADABLE,
            )
    return {at[line] for line in asked}


def _ratio(text: str | None) -> Fraction | None:
    """`1:8` and `1 to 8`: rest to swimming."""
    if text is None:
        return None
    found = re.fullmatch(r"\s*(\d{1,3})\s*(?::|to|/)\s*(\d{1,3})\s*", text)
    if not found or not int(found[2]):
        raise CommandEnded(
            tr("--ratio: “{text}” is not a ratio of rest to swimming: write it like 1:8", text=text), UNREADABLE
        )
    return Fraction(int(found[1]), int(found[2]))


def show_timeline(options: argparse.Namespace) -> int:
    """Every lane's send-offs, to read aloud."""
    plan, squad = plan_and_squad(options)
    timeline = timeline_for(plan, squad)
    if options.json:
        print_json(timeline_json(timeline))
    else:
        say_squad(squad)
        print(timeline_table(timeline, write_line))
    return FINE
