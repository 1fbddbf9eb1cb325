"""Lines in coaches' own words, read part by part; all from the trade's usage (common practice, no source)."""

from __future__ import annotations

import pytest

from pacer.plan.parts.lineinparts import better, in_parts, rest_said, surely_swum
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.standardform import write_plan

LIVE = LivePage()

LINES = {
    "400 s 300 k 200 p 100 IM": "400 swim, 300 k, 200 p, 100 IM",
    "8 x 25 scull / swim alternate lengths, take yr time": '8 x 25 odd scull / even swim "take yr time"',
    "50,100,150,100,50 all freestyle w 20 sec rest after each": (
        '50 - 100 - 150 - 100 - 50 freestyle, rest 0:20 "all freestyle"'
    ),
    "A 500 B 400 C 300, every 4th length not front crawl": 'A 500 / B 400 / C 300 "every 4th length not front crawl"',
    "8 lgths fc/bc alt": "200 as 25 fc / 25 bc",
    "4x25 fast on :30, lns 4 5 on :40": "all but lanes 4, 5: 4 x 25 fast, on 0:30\nlanes 4, 5: 4 x 25 fast, on 0:40",
    "400/300/200/100  fc, ch, k, p   r20": "400 fc, rest 0:20, 300 ch, rest 0:20, 200 k, rest 0:20, 100 p, rest 0:20",
    "WU 400 as 100 swim 100 pull x2": "400 WU as 100 swim / 100 pull",
    "4 x 25 @ :40 - #1 fly #2 bk #3 br #4 fr, all 95%": '4 x 25 repeats 1 fly / 2 bk / 3 br / 4 fr, on 0:40 "all 95%"',
    "200 fr 200 rev IM 200 kick 200 pull": '200 fr, 200 IM "rev IM", 200 kick, 200 pull',
    "6x25 f/c drill: catch up x2, single arm x2, zip up x2": (
        '6 x 25 f/c drill repeats 1-2 catch up / 3-4 single arm / 5-6 drill "zip up"'
    ),
    "L1-3: 8x50 brs 25 kick/25 swim on 1.15.  L4-6 FC pull 8x50 on 55": (
        "lanes 1-3: 8 x 50 brs as 25 kick / 25 swim, on 1:15\nlanes 4-6: 8 x 50 FC pull, on 0:55"
    ),
    "100s fc : 3 on 1:40, 2 on 1:30": "3 x 100 fc, on 1:40, 2 x 100 fc, on 1:30",
    "4 x { 25 fly + 25 back + 50 easy free } on 2:00": "4 x 100 as 25 fly / 25 back / 50 easy free, on 2:00",
    "200, 150, 100, 50 free with 20 secs between, take a minute then do it all again": (
        '2 x (200 - 150 - 100 - 50 free, rest 0:20 + rest 1:00)'
    ),
    "four lots of 100 metres front crawl, setting off every two and a half minutes": "4 x 100 front crawl, on 2:30",
    "8 x 50 golf, 20s, then 2 min": '8 x 50, rest 0:20 "golf" + rest 2:00',
    "200 easy, no fly": '200 easy "no fly"',
    "walk back 4 x 25 sprint": '4 x 25 sprint "walk back"',
    "8 x 25: 8 kids, others 4 x 25": "",
}  # fmt: skip


@pytest.mark.parametrize("line", LINES)
def test_a_line_is_read_part_by_part(line):
    assert in_parts(line, "pool: 25 m", LIVE) == LINES[line]


def test_lengths_are_those_of_the_pool():
    assert in_parts("six easy lengths of back", "pool: 20 m", LIVE) == "120 easy back"


@pytest.mark.parametrize(
    "words", ["hold your 200 pace", "3 x 100 if you miss it", "next week 4 x 100", "600/500: 10 mins"]
)
def test_words_about_a_set_are_no_set(words):
    assert not surely_swum(words)


def test_a_time_to_rest_is_a_rest():
    assert rest_said("Have a drink, take a minute and a half").startswith("rest 1:30 ")
    assert rest_said("4 x 25 rest 1 min") == rest_said("be there at 6:45") == ""


def test_a_reading_that_tears_a_phrase_apart_is_not_better():
    line = "4 x 50 strokes on the 3rd 25"
    assert not better('4 x 50, on 0:25 "strokes, the"', '4 x 50 "strokes on the 3rd 25"', line)


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("Kick: 100 ez, 4x50 hard on 1:00, 100", ["100 kick easy", "4 x 50 kick fast, on 1:00", "100 kick"]),
        ("Back: 75 kick, 75 swim, 25 scull", ["75 kick back", "75 back", "25 scull back"]),
        ("8 x 50 catch up as 25 drill / 25 swim", ["8 x 50 as 25 drill catch up / 25 free"]),
    ],
)
def test_what_is_said_for_all_is_dropped_from_none(line, meant):
    reading = LIVE.would(["pool: 25 m", "", "Main", f"  {line}"])
    assert write_plan(reading.plan).splitlines()[3:] == [f"  {each}" for each in meant]


def test_a_drill_that_no_part_swims_is_asked_about():
    (problem,) = LIVE.would(["pool: 25 m", "", "Main", "  8 x 50 catch up as 25 kick / 25 swim"]).problems
    assert problem.message.startswith("which part is “catch")


def test_a_number_of_nothing_is_no_crash():
    assert LIVE.would(["pool: 25 m", "", "Main", "  50 easy every 0 s"]).problems
