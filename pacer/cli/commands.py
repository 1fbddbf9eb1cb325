"""The command line: a thin layer of text over the functions that do the work.

Exit codes: 0 fine, 1 the plan has findings that stop it from running, 2 it cannot be read.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable

from pacer.cli.checkcommand import check
from pacer.cli.columnoptions import add_columns
from pacer.cli.drillcommand import add_drills
from pacer.cli.entercommand import add_enter
from pacer.cli.exportcommand import add_export
from pacer.cli.importcommand import add_import
from pacer.cli.inputoutput import (
    FINE,
    STOPPED,
    CommandEnded,
    finding_text,
    json_option,
)
from pacer.cli.nextcommand import add_next
from pacer.cli.pacecommands import lanes as sorted_lanes
from pacer.cli.pacecommands import pace as base_pace
from pacer.cli.plancommands import rounds, show_timeline, suggest, tidy
from pacer.cli.readcommand import read
from pacer.cli.reviewcommand import review
from pacer.cli.seasoncommand import add_season
from pacer.cli.seriescommand import add_series
from pacer.cli.sessioncommands import log, resume, run
from pacer.cli.sheetcommand import add_sheet
from pacer.language import tr
from pacer.plan.sentence import sentence
from pacer.squad.files.swimmerlist import SWIMMERS
from pacer.squad.squad import MAX_SWIMMERS
from pacer.squad.trials.endurance import DEFAULT_EXPONENT
from pacer.timeline.findings import CannotRun


def main(arguments: list[str] | None = None) -> int:
    """Run one command; returns the exit code. Whatever a user typed, there is no traceback."""
    options = _parser().parse_args(arguments)
    try:
        return options.command(options)
    except CommandEnded as told:
        print(told, file=sys.stderr)
        return told.code
    except CannotRun as error:
        print("\n".join([finding_text(finding, "") for finding in error.findings]), file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        # Nobody reads our output any more: there is nothing more to say.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FINE


def _at_least_one(text: str) -> int:
    number = int(text)
    if number < 1:
        raise argparse.ArgumentTypeError(tr("1 or more"))
    return number


# -- the words of the command line -----------------------------------------------------------------


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="pacer",
        description=tr("A poolside pace clock and interval timer. Without a COMMAND it opens the coach's app."),
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    def command(
        name: str, do: Callable, told: str, *, plan: str | None = "PLAN", squad: bool = True
    ) -> argparse.ArgumentParser:
        made = commands.add_parser(name, help=told, description=sentence(told))
        made.set_defaults(command=do)
        if plan:
            made.add_argument("plan", metavar=plan, help=tr("the plan's text file, - for standard input"))
        if squad:
            made.add_argument("--squad", metavar="SQUAD", help=tr("the squad's TOML file; without it one lane at 1:40"))
        return made

    checked = command("check", check, tr("say what is wrong, too tight or dangerous, before anyone gets in"))
    json_option(checked)
    reads = command(
        "read", read, tr("turn your own session notes into a plan, and ask about what is unclear"), plan=None
    )
    reads.add_argument("page", metavar="PAGE", help=tr("the page as a text file, - for standard input"))
    reads.add_argument("--pool", metavar="POOL", help=tr("how long the pool is, if the text does not say"))
    reads.add_argument("--json", action="store_true", help=tr("print one JSON object, line by line"))
    tidies = command("tidy", tidy, tr("write the plan in its standard form"))
    tidies.add_argument("--pool", metavar="POOL", help=tr("rewrite it for another pool, and list the changes"))
    tidies.add_argument("--write", action="store_true", help=tr("overwrite the file"))
    json_option(tidies)
    fit = command(
        "rounds",
        rounds,
        tr("work out how many rounds and repeats each lane has time for, and what more time would add"),
    )
    json_option(fit)
    suggested = command("suggest", suggest, tr("suggest intervals for the sets that have none"))
    suggested.add_argument("--rest", metavar="TIME", help=tr("how much rest the interval should leave"))
    suggested.add_argument(
        "--ratio", metavar="REST:SWIM", help=tr("the same as a ratio of rest to swimming, for example 1:8")
    )
    suggested.add_argument(
        "--every",
        metavar="N",
        type=_at_least_one,
        help=tr("one interval for all lanes, with every Nth send-off on :00"),
    )
    suggested.add_argument(
        "--line",
        metavar="N",
        type=int,
        action="append",
        help=tr("for the set on line N, even if it has an interval; may be repeated"),
    )
    suggested.add_argument("--write", action="store_true", help=tr("overwrite the file"))
    json_option(suggested)
    timeline = command("timeline", show_timeline, tr("print every lane's send-offs, to read aloud"))
    json_option(timeline)
    runs = command("run", run, tr("run the session on the screen"), plan=None)
    runs.add_argument("plan", metavar="PLAN", nargs="?", help=tr("the plan's text file, - for standard input"))
    runs.add_argument("--line", metavar="LINE", help=tr("a quick set instead of a plan"))
    runs.add_argument("--pool", metavar="POOL", default="25 m", help=tr("the pool for --line (25 m)"))
    runs.add_argument("--text", action="store_true", help=tr("run it in the terminal: print the lanes once a second"))
    runs.add_argument("--screens", action="store_true", help=tr("serve lane screens to browsers on this network"))
    runs.add_argument("--new", action="store_true", help=tr("end the running session and start this one"))
    pace = command("pace", base_pace, tr("work out a base pace from test swims"), plan=None, squad=False)
    pace.add_argument(
        "swims", metavar="DISTANCE=TIME", nargs="+", help=tr("200=2:40 400=5:40; a timed swim: '30 min=2400 m'")
    )
    pace.add_argument("--pool", metavar="POOL", default="25 m", help=tr("the pool whose unit the pace is for (25 m)"))
    pace.add_argument(
        "--endurance",
        metavar="EXPONENT",
        default=str(DEFAULT_EXPONENT),
        help=tr("how time grows with distance, if there is only one test swim (%(default)s)"),
    )
    json_option(pace)
    logs = command("log", log, tr("list the sessions, or show one of them"), plan=None, squad=False)
    logs.add_argument("session", metavar="N", nargs="?", type=int, help=tr("the number of a session"))
    logs.add_argument("--json", action="store_true", help=tr("print everything, as one JSON object"))
    logs.add_argument("--names", action="store_true", help=tr("include names and notes, which are personal data"))
    logs.add_argument("--hidden", action="store_true", help=tr("list the hidden sessions"))
    logs.add_argument(
        "--hide", action="store_true", help=tr("hide session N: it is left out of all totals, but not deleted")
    )
    logs.add_argument("--show", action="store_true", help=tr("show session N again"))
    logs.add_argument("--delete", action="store_true", help=tr("delete the hidden session N for good, names and all"))
    reviews = command("review", review, tr("review a session: the worst news first, then suggestions"), plan=None)
    reviews.add_argument("session", metavar="N", nargs="?", type=int, help=tr("the number of a session (the last one)"))
    reviews.add_argument("--next", metavar="PLAN", help=tr("say what each suggestion changes in this plan"))
    json_option(reviews)
    reviews.add_argument("--names", action="store_true", help=tr("include names and notes, which are personal data"))
    for add in (add_sheet, add_drills, add_series, add_season, add_next, add_export, add_import, add_enter):
        add(command)
    command(
        "resume",
        resume,
        tr("resume a session in the terminal: one that was interrupted, or that you ended less than ten minutes ago"),
        plan=None,
        squad=False,
    )
    lanes = command(
        "lanes", sorted_lanes, tr("sort swimmers into lanes, and print a squad file"), plan=None, squad=False
    )
    lanes.add_argument(
        "swimmers", metavar="SWIMMERS", help=tr("a TOML or CSV file of swimmers with bases or test swims")
    )
    lanes.add_argument("--lanes", metavar="N", type=int, required=True, help=tr("how many lanes there are"))
    lanes.add_argument("--pool", metavar="POOL", default="25 m", help=tr("the pool's length (25 m)"))
    lanes.add_argument("--least", metavar="N", type=int, default=1, help=tr("fewest swimmers in a lane (1)"))
    lanes.add_argument("--most", metavar="N", type=int, default=MAX_SWIMMERS, help=tr("most swimmers in a lane"))
    json_option(lanes)
    add_columns(lanes, SWIMMERS)
    return parser
