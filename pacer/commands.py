"""The command line: a thin layer of text over the functions that do the work.

Exit codes: 0 fine, 1 the plan has findings that stop it from running, 2 it cannot be read.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import sys
from collections.abc import Callable
from dataclasses import asdict
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from pathlib import Path

from pacer.plan import Unreadable, labels_of, plan_from_bytes, pool_from_text, read_line, write_line, write_plan
from pacer.plan.model import Plan
from pacer.plan.pages import text_from_bytes
from pacer.plan.times import BadTime, ms_from_text
from pacer.review.log import list_json, list_text, session_json, session_text
from pacer.session.clock import now
from pacer.session.openings import Opened, open_again, open_new
from pacer.session.store import Store, StoreTrouble
from pacer.squad.endurance import DEFAULT_EXPONENT
from pacer.squad.lanes import propose_lanes
from pacer.squad.model import Squad
from pacer.squad.reading import default_squad, squad_from_bytes
from pacer.squad.refused import Refused
from pacer.squad.swimmers import swimmers_from_bytes, swimmers_from_csv, swimmers_from_toml
from pacer.squad.testswims import Trust, base_from_tests
from pacer.squad.trials import Trial, trial_from_text
from pacer.squad.writing import write_squad
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.fit import Fit
from pacer.timeline.fitreport import fit_json, fit_report
from pacer.timeline.model import Timeline
from pacer.timeline.otherpool import Alteration, for_pool
from pacer.timeline.paces import tenths
from pacer.timeline.planned import all_findings, planned
from pacer.timeline.shape import half_up
from pacer.timeline.suggest import suggest
from pacer.timeline.telling import timeline_json, timeline_table

FINE, STOPPED, UNREADABLE = 0, 1, 2

#: How long an entry may take to disk before the coach is told that it is not there yet.
TEXT_PATIENCE_S = 2.0

_SEVERITY_SAID = {
    Severity.STOPS: "cannot run",
    Severity.HAZARD: "danger",
    Severity.WRONG: "will not work out",
    Severity.CARE: "take care",
    Severity.REMARK: "remark",
}


def main(arguments: list[str] | None = None) -> int:
    """Run one command; the exit code. Never ends in a traceback for what a user typed."""
    options = _parser().parse_args(arguments)
    try:
        return options.command(options)
    except _Told as told:
        print(told, file=sys.stderr)
        return told.code
    except BrokenPipeError:
        # The reader of our output has gone: nothing more to say, and nobody to say it to.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FINE


class _Told(Exception):
    """Ends a command with a message and an exit code."""

    def __init__(self, message: str, code: int):
        self.code = code
        super().__init__(message)


# -- commands --------------------------------------------------------------------------------------


def _check(options: argparse.Namespace) -> int:
    plan, squad = _plan_and_squad(options)
    found = all_findings(_timeline(plan, squad))
    _say_assumed(squad)
    if options.json:
        _print_json({"format": "pacer-check/1", "findings": [
            {"severity": _SEVERITY_SAID[f.severity], "line": f.line, "lanes": list(f.lanes), "message": f.message, "hint": f.hint}
            for f in found]})
        return FINE
    for finding in found:
        print(finding_text(finding, options.plan))
    if not found:
        print(f"{options.plan}: nothing to say against it")
    return FINE


def _tidy(options: argparse.Namespace) -> int:
    plan = _plan(options.plan, _squad(options.squad).gear if options.squad else ())
    alterations: tuple[Alteration, ...] = ()
    if options.pool:
        plan, alterations = for_pool(plan, _read(lambda: pool_from_text(options.pool), "--pool"))
    text = write_plan(plan)
    if options.json:
        _print_json({"format": "pacer-tidy/1", "plan": text, "alterations": [asdict(each) for each in alterations]})
        return FINE
    _write_out(text, options)
    for each in alterations:
        place = f"line {each.line}" if each.line else "header"
        print(f"{place}: {each.was}  ->  {each.now}  ({each.why})", file=sys.stderr)
    return FINE


def _write_out(text: str, options: argparse.Namespace) -> None:
    """The plan's text to its own file with `--write`, else to standard output."""
    if not options.write or options.plan == "-":
        sys.stdout.write(text)
        return
    try:
        Path(options.plan).write_text(text, encoding="utf-8")
    except OSError as error:
        raise _Told(f"{options.plan}: cannot be written: {error.strerror or error}", UNREADABLE) from None


def _fit(options: argparse.Namespace) -> int:
    plan, squad = _plan_and_squad(options)
    _say_assumed(squad)
    report = fit_report(_planned(plan, squad)[1])
    if options.json:
        _print_json(fit_json(report))
    else:
        print(report.text())
    return FINE


def _suggest(options: argparse.Namespace) -> int:
    plan, squad = _plan_and_squad(options)
    rest_ms = None if options.rest is None else _read_time(options.rest, "--rest")
    suggested = suggest(plan, squad, rest_ms=rest_ms, ratio=_ratio(options.ratio), every=options.every)
    text = write_plan(suggested.plan)
    if options.json:
        _print_json({"format": "pacer-suggest/1", "plan": text, "suggestions": [asdict(each) for each in suggested.suggestions],
                     "left": [asdict(each) for each in suggested.left]})
        return FINE
    _write_out(text, options)
    _say_assumed(squad)
    print(suggested.text(), file=sys.stderr)
    return FINE


def _ratio(text: str | None) -> Fraction | None:
    """`1:8` and `1 to 8`: rest to swimming."""
    if text is None:
        return None
    found = re.fullmatch(r"\s*(\d{1,3})\s*(?::|to|/)\s*(\d{1,3})\s*", text)
    if not found or not int(found[2]):
        raise _Told(f"--ratio: “{text}” is no ratio of rest to swimming: write 1:8", UNREADABLE)
    return Fraction(int(found[1]), int(found[2]))


def _read_time(text: str, name: str) -> int:
    try:
        return ms_from_text(text)
    except BadTime as error:
        raise _Told(f"{name}: {error.message}" + (f"\nhint: {error.hint}" if error.hint else ""), UNREADABLE) from None


def _show_timeline(options: argparse.Namespace) -> int:
    plan, squad = _plan_and_squad(options)
    timeline = _timeline(plan, squad)
    if options.json:
        _print_json(timeline_json(timeline))
    else:
        _say_assumed(squad)
        print(timeline_table(timeline, write_line))
    return FINE


def _run(options: argparse.Namespace) -> int:
    if options.line:
        squad = _squad(options.squad) if options.squad else None
        pool = _read(lambda: pool_from_text(options.pool), "--pool")
        plan = _read(lambda: read_line(options.line, pool, squad.gear if squad else ()), "--line")
        squad = squad or default_squad(labels_of(plan))
    elif options.plan:
        plan, squad = _plan_and_squad(options)
    else:
        raise _Told("pacer run: name a plan, or a line: pacer run --line \"10 x 100 free on 1:40\"", UNREADABLE)
    timeline = _timeline(plan, squad)
    _say_assumed(squad)
    found = all_findings(timeline)
    for finding in found:
        if finding.severity <= Severity.WRONG:
            print(finding_text(finding, options.plan or "--line"), file=sys.stderr)
    written = None if options.line or options.plan == "-" else text_from_bytes(_bytes(options.plan))
    return _open(timeline, found, options.text, written)


def _open(timeline: Timeline, found: tuple[Finding, ...], text: bool, written: str | None) -> int:
    """Open the app on a session, or its text form where that is asked for or there is no screen."""
    from pacer.face.screen import NO_SCREEN, has_screen

    if not text and not has_screen():
        print(NO_SCREEN)
        text = True
    if text:
        return _run_in_text(open_new(Store(), timeline, written))
    return _run_on_glass(_unfinished(Store()) or open_new(Store(), timeline, written), found)


def _unfinished(store: Store) -> Opened | None:
    """The session that this tablet was running when it went off; None where there is none or it is long past."""
    from pacer.face.starting import broken_off

    try:
        found = broken_off(store, now())
        return None if found is None or found[1].over else open_again(store, found[0])
    except (StoreTrouble, Unreadable, CannotRun):
        return None     # a new session can be run all the same, and says what is wrong with the store


def _run_on_glass(opened: Opened, found: tuple[Finding, ...]) -> int:
    from pacer.face.app import run_app
    from pacer.face.ondisk import OnDisk

    plan, told = opened.timeline.plan, opened.told
    if opened.recovery is not None:
        said = (f"{plan.title or 'A session'} was running and goes on at the second where it would be. "
                "To begin another session, end this one first.")
        told, found = (said, *told), ()
    try:
        run_app(plan, opened.timeline.squad, findings=found, timeline=opened.timeline, store=OnDisk(opened.keeper),
                journal=opened.journal, told=told)
    finally:
        opened.keeper.close()
    return FINE


def _run_in_text(opened: Opened) -> int:
    """Run a session in the terminal, its journal kept; what is pressed is on disk before it is said."""
    from pacer.face.driver import Driver
    from pacer.face.ondisk import OnDisk
    from pacer.face.textform import run_in_text

    for told in opened.told:
        print(told, file=sys.stderr)
    try:
        run_in_text(Driver(opened.timeline, store=OnDisk(opened.keeper, TEXT_PATIENCE_S, wait=True), journal=opened.journal))
    except KeyboardInterrupt:
        print("left running; pacer resume carries on")
    finally:
        if not opened.keeper.close():
            print(f"not everything was written down: {opened.keeper.trouble}", file=sys.stderr)
    return FINE


def _resume(_options: argparse.Namespace) -> int:
    try:
        opened = open_again(Store())
    except (StoreTrouble, Unreadable, CannotRun) as trouble:
        raise _Told(f"pacer resume: {trouble}", STOPPED) from None
    return _run_in_text(opened)


def _log(options: argparse.Namespace) -> int:
    store = Store()
    try:
        for told in store.open():
            print(told, file=sys.stderr)
        if options.session is None:
            sessions = store.sessions()
            _print_json(list_json(sessions)) if options.json else print(list_text(sessions))
        else:
            kept = store.session(options.session)
            _print_json(session_json(kept, names=options.names)) if options.json else print(session_text(kept))
    except StoreTrouble as trouble:
        raise _Told(f"pacer log: {trouble}", STOPPED) from None
    return FINE


def _pace(options: argparse.Namespace) -> int:
    pool = _read(lambda: pool_from_text(options.pool), "--pool")
    try:
        trials = [_trial(written) for written in options.swims]
        found = base_from_tests(trials, pool.unit, Decimal(options.endurance))
    except Refused as error:
        raise _Told(f"pacer pace: {error.message}" + (f"\nhint: {error.hint}" if error.hint else ""), UNREADABLE) from None
    except InvalidOperation:
        raise _Told(f"pacer pace: --endurance is a number such as 1.06, not “{options.endurance}”", UNREADABLE) from None
    base_ms = half_up(found.pace.per_100(pool.unit))
    if options.json:
        _print_json({"format": "pacer-pace/1", "base_ms": base_ms, "unit": str(pool.unit), "method": str(found.method),
                     "trust": str(found.trust), "advice": list(found.advice), "error_ms": found.error_ms,
                     "r_squared": _number(found.r_squared), "anaerobic_distance": _number(found.anaerobic_distance)})
        return FINE
    print(f"base {tenths(base_ms)} per 100 {pool.unit}, from {', '.join(map(str, found.trials))}: {found.method}")
    if found.error_ms is not None:
        print(f"give or take {tenths(found.error_ms)} (standard error)")
    if found.anaerobic_distance is not None:
        print(f"anaerobic distance {float(found.anaerobic_distance):.1f} {pool.unit}")
    print(f"trust: {found.trust}")
    for advice in found.advice:
        print(f"  {advice}")
    return FINE


def _trial(written: str) -> Trial:
    swum, equals, result = written.partition("=")
    if not equals:
        raise Refused(f"“{written}” is not a test swim", "write distance=time, for example 400=5:40")
    return trial_from_text(swum.strip(), result.strip())


def _lanes(options: argparse.Namespace) -> int:
    pool = _read(lambda: pool_from_text(options.pool), "--pool")
    as_csv = options.swimmers.lower().endswith(".csv")
    read = swimmers_from_csv if as_csv else swimmers_from_toml
    listed = _read(lambda: swimmers_from_bytes(_bytes(options.swimmers), read), options.swimmers)
    try:
        squad = propose_lanes(listed.swimmers, options.lanes, pool, least=options.least, most=options.most)
    except Refused as error:
        raise _Told(f"pacer lanes: {error.message}" + (f"\nhint: {error.hint}" if error.hint else ""), STOPPED) from None
    for swimmer, found in zip(listed.swimmers, listed.found):
        if found is not None and found.trust is Trust.ROUGH:
            print(f"{swimmer.name or 'a swimmer'}: {'; '.join(found.advice)}", file=sys.stderr)
    if options.json:
        unit = pool.unit
        _print_json({"format": "pacer-lanes/1", "pool": str(pool), "lanes": [
            {"lane": lane.number, "base_ms": half_up(lane.base.per_100(unit)), "spacing_ms": lane.spacing_ms,
             "swimmers": [{"name": one.name, "base_ms": half_up(one.base.per_100(unit))} for one in lane.swimmers]}
            for lane in squad.lanes]})
    else:
        sys.stdout.write(write_squad(squad))
    return FINE


def _number(value) -> float | None:
    return None if value is None else float(value)


def _print_json(told: dict) -> None:
    json.dump(told, sys.stdout, ensure_ascii=False, indent=1)
    print()


# -- reading what the user named ----------------------------------------------------------------------


def _read(read: Callable, name: str):
    try:
        return read()
    except Unreadable as error:
        raise _Told(error.text(name), UNREADABLE) from None
    except OSError as error:
        raise _Told(f"{name}: cannot be opened: {error.strerror or error}", UNREADABLE) from None


def _bytes(name: str) -> bytes:
    return sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()


def _plan(name: str, gear: tuple[str, ...]) -> Plan:
    return _read(lambda: plan_from_bytes(_bytes(name), gear), "standard input" if name == "-" else name)


def _squad(name: str) -> Squad:
    return _read(lambda: squad_from_bytes(_bytes(name)), "standard input" if name == "-" else name)


def _plan_and_squad(options: argparse.Namespace) -> tuple[Plan, Squad]:
    squad = _squad(options.squad) if options.squad else None
    plan = _plan(options.plan, squad.gear if squad else ())
    return plan, squad or default_squad(labels_of(plan))


def _timeline(plan: Plan, squad: Squad) -> Timeline:
    return _planned(plan, squad)[0]


def _planned(plan: Plan, squad: Squad) -> tuple[Timeline, Fit]:
    try:
        return planned(plan, squad)
    except CannotRun as error:
        raise _Told("\n".join(finding_text(finding, "") for finding in error.findings), STOPPED) from None


def _say_assumed(squad: Squad) -> None:
    if squad.assumed:
        group = f", group {squad.lanes[0].group}" if squad.lanes[0].group else ""
        print(f"no squad given: one lane, one swimmer, base 1:40{group}", file=sys.stderr)


def finding_text(finding: Finding, file: str) -> str:
    """A finding as `check` prints it: place, how bad, lanes, what, and what would help."""
    place = ":".join(str(part) for part in (file, finding.line) if part)
    lanes = ""
    if finding.lanes:
        lanes = ("lane " if len(finding.lanes) == 1 else "lanes ") + ", ".join(map(str, finding.lanes)) + ": "
    rows = [f"{place}: {_SEVERITY_SAID[finding.severity]}: {lanes}{finding.message}".removeprefix(": ")]
    if finding.hint:
        rows.append(f"    {finding.hint}")
    return "\n".join(rows)


def _at_least_one(text: str) -> int:
    number = int(text)
    if number < 1:
        raise argparse.ArgumentTypeError("1 or more")
    return number


# -- the words of the command line -----------------------------------------------------------------


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="pacer", description="A poolside pace clock and interval timer.")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    def command(name: str, run: Callable, told: str, *, plan: str | None = "PLAN", squad: bool = True) -> argparse.ArgumentParser:
        made = commands.add_parser(name, help=told, description=told)
        made.set_defaults(command=run)
        if plan:
            made.add_argument("plan", metavar=plan, help="the plan's text file, - for standard input")
        if squad:
            made.add_argument("--squad", metavar="SQUAD", help="the squad's TOML file; without it one lane at 1:40")
        return made

    check = command("check", _check, "say what will not work out, before anyone is wet")
    check.add_argument("--json", action="store_true", help="as one JSON object")
    tidy = command("tidy", _tidy, "write the plan in its one canonical form")
    tidy.add_argument("--pool", metavar="POOL", help="for another pool, with a list of what that changes")
    tidy.add_argument("--write", action="store_true", help="into the file itself")
    tidy.add_argument("--json", action="store_true", help="as one JSON object")
    fit = command("fit", _fit, "the rounds and repeats of each lane that fit the booking, and what more time would buy")
    fit.add_argument("--json", action="store_true", help="as one JSON object")
    suggested = command("suggest", _suggest, "write the plan with intervals for the lines that have none")
    suggested.add_argument("--rest", metavar="TIME", help="the rest that the interval leaves")
    suggested.add_argument("--ratio", metavar="REST:SWIM", help="rest to swimming, for example 1:8")
    suggested.add_argument("--every", metavar="N", type=_at_least_one,
                           help="one interval for all lanes, so that every N-th send-off falls on the top")
    suggested.add_argument("--write", action="store_true", help="into the file itself")
    suggested.add_argument("--json", action="store_true", help="as one JSON object")
    timeline = command("timeline", _show_timeline, "every lane's send-offs, to read aloud")
    timeline.add_argument("--json", action="store_true", help="as one JSON object")
    run = command("run", _run, "run the session on the glass", plan=None)
    run.add_argument("plan", metavar="PLAN", nargs="?", help="the plan's text file, - for standard input")
    run.add_argument("--line", metavar="LINE", help="a line that was just thought up, instead of a plan")
    run.add_argument("--pool", metavar="POOL", default="25 m", help="the pool for --line (25 m)")
    run.add_argument("--text", action="store_true", help="in the terminal, one block a second")
    pace = command("pace", _pace, "the base pace that test swims come to", plan=None, squad=False)
    pace.add_argument("swims", metavar="DISTANCE=TIME", nargs="+", help="200=2:40 400=5:40; a timed swim: '30 min=2400 m'")
    pace.add_argument("--pool", metavar="POOL", default="25 m", help="the pool whose unit the pace is for (25 m)")
    pace.add_argument("--endurance", metavar="EXPONENT", default=str(DEFAULT_EXPONENT),
                      help="how time grows with distance, for a single race (%(default)s)")
    pace.add_argument("--json", action="store_true", help="as one JSON object")
    log = command("log", _log, "the sessions that were swum, or one of them", plan=None, squad=False)
    log.add_argument("session", metavar="N", nargs="?", type=int, help="the number of a session")
    log.add_argument("--json", action="store_true", help="everything, as one JSON object")
    log.add_argument("--names", action="store_true", help="with swimmers' names, which are personal data")
    command("resume", _resume, "carry on, in the terminal, with the session that was broken off", plan=None, squad=False)
    lanes = command("lanes", _lanes, "propose the lanes for swimmers, as a squad file", plan=None, squad=False)
    lanes.add_argument("swimmers", metavar="SWIMMERS", help="a TOML or CSV file of swimmers with bases or test swims")
    lanes.add_argument("--lanes", metavar="N", type=int, required=True, help="how many lanes there are")
    lanes.add_argument("--pool", metavar="POOL", default="25 m", help="the pool (25 m)")
    lanes.add_argument("--least", metavar="N", type=int, default=1, help="swimmers in a lane at least (1)")
    lanes.add_argument("--most", metavar="N", type=int, default=80, help="swimmers in a lane at most")
    lanes.add_argument("--json", action="store_true", help="as one JSON object")
    return parser
