"""Commands about base paces: what test swims say, and swimmers sorted into lanes."""

from __future__ import annotations

import argparse
import sys
from decimal import Decimal, InvalidOperation

from pacer.cli.columnoptions import read_asking
from pacer.cli.inputoutput import FINE, STOPPED, UNREADABLE, CommandEnded, bytes_of, print_json, read_named
from pacer.language import tr
from pacer.plan.decimals import decimals, half_up
from pacer.plan.notation.planreader import pool_from_text
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.files.swimmerlist import SWIMMERS, swimmers_from_bytes, swimmers_from_csv, swimmers_from_toml
from pacer.squad.refusal import Refused
from pacer.squad.squad import Trial
from pacer.squad.trials.basefromtrials import Trust, base_from_tests
from pacer.squad.trials.baseorigin import tenths
from pacer.squad.trials.laneproposal import propose_lanes
from pacer.squad.trials.trial import trial_from_text


def pace(options: argparse.Namespace) -> int:
    """The base pace that test swims give, and how far to trust it."""
    pool = read_named(lambda: pool_from_text(options.pool), "--pool")
    try:
        trials = [_trial(written) for written in options.swims]
        found = base_from_tests(trials, pool.unit, Decimal(options.endurance))
    except Refused as error:
        raise CommandEnded(
            tr("pacer pace: {message}", message=error.message)
            + (tr("\nhint: {hint}", hint=error.hint) if error.hint else ""),
            UNREADABLE,
        ) from None
    except InvalidOperation:
        raise CommandEnded(
            tr("pacer pace: --endurance needs a number such as 1.06, not “{endurance}”", endurance=options.endurance),
            UNREADABLE,
        ) from None
    base_ms = half_up(found.pace.per_100(pool.unit))
    if options.json:
        print_json(
            {
                "format": "pacer-pace/1",
                "base_ms": base_ms,
                "unit": str(pool.unit),
                "method": str(found.method),
                "trust": str(found.trust),
                "advice": list(found.advice),
                "error_ms": found.error_ms,
                "r_squared": _number(found.r_squared),
                "anaerobic_distance": _number(found.anaerobic_distance),
            }
        )
        return FINE
    print(
        tr(
            "base {base} per 100 {unit}, from {trials}: {method}",
            base=tenths(base_ms),
            unit=pool.unit,
            trials=", ".join(map(str, found.trials)),
            method=found.method.said,
        )
    )
    if found.error_ms is not None:
        print(tr("give or take {error} s", error=tenths(found.error_ms)))
    if found.anaerobic_distance is not None:
        print(
            tr(
                "distance in hand above base pace: {anaerobic_distance} {unit} "
                "(rough: it changes a lot from test to test)",
                anaerobic_distance=decimals(found.anaerobic_distance),
                unit=pool.unit,
            )
        )
    print(tr("confidence: {trust}", trust=found.trust.said))
    for advice in found.advice:
        print(f"  {advice}")
    return FINE


def _trial(written: str) -> Trial:
    swum, equals, result = written.partition("=")
    if not equals:
        raise Refused(
            tr("“{written}” is not a test swim", written=written), tr("write distance=time, for example 400=5:40")
        )
    return trial_from_text(swum.strip(), result.strip())


def lanes(options: argparse.Namespace) -> int:
    """Swimmers sorted into lanes, as a squad file."""
    pool = read_named(lambda: pool_from_text(options.pool), "--pool")
    data = read_named(lambda: bytes_of(options.swimmers), options.swimmers)
    if options.swimmers.lower().endswith(".csv"):
        listed = read_asking(
            options,
            SWIMMERS,
            options.swimmers,
            lambda known: swimmers_from_bytes(data, lambda text: swimmers_from_csv(text, known=known)),
        )
    else:
        listed = read_named(lambda: swimmers_from_bytes(data, swimmers_from_toml), options.swimmers)
    try:
        squad = propose_lanes(listed.swimmers, options.lanes, pool, least=options.least, most=options.most)
    except Refused as error:
        raise CommandEnded(
            tr("pacer lanes: {message}", message=error.message)
            + (tr("\nhint: {hint}", hint=error.hint) if error.hint else ""),
            STOPPED,
        ) from None
    if listed.untimed:
        print(listed.untimed_said, file=sys.stderr)
    for swimmer, found in zip(listed.swimmers, listed.found):
        if found is not None and found.trust is Trust.ROUGH:
            print(f"{swimmer.name or tr('a swimmer')}: {'; '.join(found.advice)}", file=sys.stderr)
    if options.json:
        unit = pool.unit
        print_json(
            {
                "format": "pacer-lanes/1",
                "pool": str(pool),
                "lanes": [
                    {
                        "lane": lane.number,
                        "base_ms": half_up(lane.base.per_100(unit)),
                        "spacing_ms": lane.spacing_ms,
                        "swimmers": [
                            {"name": one.name, "base_ms": half_up(one.base.per_100(unit))} for one in lane.swimmers
                        ],
                    }
                    for lane in squad.lanes
                ],
            }
        )
    else:
        sys.stdout.write(write_squad(squad))
    return FINE


def _number(value) -> float | None:
    return None if value is None else float(value)
