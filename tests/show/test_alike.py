"""One thing is said in one way.

When a lane or the session ends, and which base a lane goes by, wherever the app shows it.
"""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from pacer.face.pages.squadtiles import base_known, lane_sheet_tiles, lane_tiles, pace_said
from pacer.face.tiles.column import Column
from pacer.face.tiles.totalsboard import lane_words
from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.standardform import write_line
from pacer.plan.times import text_from_ms
from pacer.show.drive.beforestart import ready
from pacer.show.view.instantview import finish_words
from pacer.show.wording.totalstext import summary
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import read_squad
from pacer.squad.register.roster import Roster
from pacer.squad.trials.baseorigin import origin
from pacer.timeline import pacebasistext
from pacer.timeline.checks.planchecks import findings
from pacer.timeline.pacebasistext import base_said
from pacer.timeline.summary.planned import planned
from pacer.timeline.summary.roundsreport import rounds_report
from pacer.timeline.summary.timelinetable import timeline_table
from pacer.timeline.summary.totals import totals_of
from tests.reference.random_plans import GROUPS
from tests.reference.random_squads import random_squad_toml

ASSETS = Path(__file__).parents[2] / "assets"
DEMOS = sorted((ASSETS / "plans").glob("*.txt"))
SQUADS = sorted((ASSETS / "squads").glob("*.toml"))

PLAN = """pool: 25 m
booking: 20 min

Main set, 1 to 3 rounds
{groups}  4 x 50 back, on base+0:10
  75 free
"""


def sessions():
    for path in DEMOS:
        for squad in SQUADS:
            yield path.stem + " " + squad.stem, path.read_text(encoding="utf-8"), squad.read_text(encoding="utf-8")
    for seed in range(30):
        squad = random_squad_toml(random.Random(seed), labelled=True)
        borne = [group for group in GROUPS if f'group = "{group}"' in squad]
        yield (
            f"random {seed}",
            PLAN.format(groups="".join(f"  {group}: 100 free, rest 0:20\n" for group in borne)),
            squad,
        )
    yield (
        "a slower swimmer",
        "pool: 25 m\n\nMain set\n  4 x 100, rest 0:10\n",
        '[[lane]]\nbase = "1:18.3"\n[[lane.swimmer]]\n[[lane.swimmer]]\nbase = "1:20.4"\n',
    )


def a_session(text: str, squad_text: str):
    squad = read_squad(squad_text)
    return planned(read_plan(text, squad.gear), squad)


@pytest.mark.parametrize(("text", "squad_text"), [pytest.param(*two, id=name) for name, *two in sessions()])
def test_an_end_is_the_same_everywhere(text, squad_text):
    timeline, fitted = a_session(text, squad_text)
    told = totals_of(timeline)
    ends = [
        text_from_ms(-(-track.end_ms // 1000) * 1000) for track in timeline.tracks
    ]  # the rule: up, so that nobody is promised out too early
    assert re.findall(r"^LANE .* in (\S+)$", timeline_table(timeline, write_line), re.M) == ends
    assert re.findall(r"^lane .*, in (\S+)$", rounds_report(fitted).text(), re.M) == ends
    assert [lane_words(lane)[2] for lane in told.lanes] == ends
    shown = ready(timeline, text, findings(timeline))
    assert [lane_words(lane)[2] for lane in shown.totals.lanes] == ends
    last = text_from_ms(-(-timeline.end_ms // 1000) * 1000)
    assert last in ends
    assert summary(told)[0].startswith(f"lasts {last}") and shown.out[0] == summary(told)[0]
    assert finish_words(None, timeline.end_ms, timeline.plan.booking_ms)[0] == f"lasts {last}"
    assert re.search(r"lasts (\S+?),", rounds_report(fitted).text())[1] == last
    for finding in findings(timeline):
        if finding.message.startswith("lasts "):
            assert finding.message.startswith(f"lasts {last}, ")


@pytest.mark.parametrize(("text", "squad_text"), [pytest.param(*two, id=name) for name, *two in sessions()])
def test_what_is_to_spare_is_the_same_everywhere(text, squad_text):
    timeline, fitted = a_session(text, squad_text)
    told = totals_of(timeline)
    if told.limit_ms is None:
        return
    report = rounds_report(fitted).text()
    if told.over_ms:
        over = re.search(r", (\S+) over$", summary(told)[0])[1]
        assert f", {over} more than " in report
        assert any(
            finding.message.startswith("lasts ") and f", {over} too long:" in finding.message
            for finding in findings(timeline)
        )
    else:
        spare = re.search(r", (\S+) spare$", summary(told)[0])[1]
        assert f", {spare} less than " in report
        if not timeline.plan.spare_ms:
            assert finish_words(None, timeline.end_ms, timeline.plan.booking_ms)[1] == (f"{spare} spare",)


@pytest.mark.parametrize(("text", "squad_text"), [pytest.param(*two, id=name) for name, *two in sessions()])
def test_the_rows_of_the_table_add_up(text, squad_text):
    """A single swimmer's last touch is the lane's end, and a touch is the send-off and the swim."""

    def seconds(time: str) -> int:
        return sum(int(part) * 60**place for place, part in enumerate(reversed(time.split(":"))))

    timeline, _ = a_session(text, squad_text)
    for lane, block in enumerate(re.split(r"^LANE ", timeline_table(timeline, write_line), flags=re.M)[1:]):
        rows = re.findall(r" at +(\S+)   touches +(\S+)   swims +(\S+)", block)
        if rows and len(timeline.lanes[lane].swimmers) == 1:
            assert rows[-1][1] == re.search(r" in (\d\S+)", block)[1]
        for left, touch, swum in rows:
            assert (
                0 <= seconds(left) + seconds(swum) - seconds(touch) <= 1
                or seconds(touch) - seconds(left) - seconds(swum) == 1
            )


@pytest.mark.parametrize(("text", "squad_text"), [pytest.param(*two, id=name) for name, *two in sessions()])
def test_a_lanes_base_is_the_same_everywhere(text, squad_text):
    timeline, _ = a_session(text, squad_text)
    roster, unit = Roster(timeline.squad), timeline.plan.pool.unit
    header = re.findall(r"^LANE .*?: (base \S+) per 100", timeline_table(timeline, write_line), re.M)
    shown = ready(timeline, text, findings(timeline)).paces
    for lane, told in enumerate(timeline.lanes):
        said = base_said(timeline, lane)
        assert header[lane] == said and pacebasistext.pace_said(timeline, lane).startswith(f"{said} per 100")
        base, known = said.removeprefix("base "), f"{said} {origin(told, unit, timeline.squad.assumed)[1]}"
        assert (
            f"lane {told.number} at {base}" in shown
            if len(timeline.lanes) > 1
            else shown.split(" (")[0] == f"Base: {base}"
        )
        assert base_known(roster, lane, unit) == known.capitalize()  # with where it is from
        if told.base.unit in (None, unit):
            assert pace_said(told.base)[-1] == base
        rows = (
            lane_tiles(roster, lane, range(len(told.swimmers)), None, Column(600, 12, 5, 5, 40), unit),
            lane_sheet_tiles(roster, lane, Column(600, 12, 5, 5, 40), unit),
        )
        texts = [[way for tile in tiles for one in tile.texts for way in one.ways] for tiles in rows]
        assert f"Base, {known.removeprefix(said).strip()}" in texts[0] and known.capitalize() in " ".join(texts[1])
        slower = any(swimmer.base.per_100(unit) > told.base.per_100(unit) for swimmer in told.swimmers)
        assert not (slower and "slowest" in pacebasistext.origin_said(timeline, lane))


def test_the_squad_that_stands_in():
    timeline, _ = planned(read_plan("pool: 25 m\n\nMain set\n  4 x 100, rest 0:10\n"), default_squad(()))
    assert (base_said(timeline, 0), pacebasistext.unusual(timeline, 0)) == ("base 1:40", "assumed")
