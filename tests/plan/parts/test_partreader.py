"""Lines in coaches' own words, read part by part; all from the trade's usage (common practice, no source)."""

from __future__ import annotations

import pytest

from pacer.plan.parts.lineinparts import better, in_parts, instead, rest_said, surely_swum
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
    "8x50 dr/sw by 25, IM order x2, 20s": "8 x 50 IM order as 25 dr / 25 sw, rest 0:20",
    "8 x 50 IM order twice on 1:05": "8 x 50 IM order, on 1:05",
    "4 x 50 IM order x2 on 1:05": "2 x (4 x 50 IM order, on 1:05)",  # that is four each time
    "6x25 sight twice a length": '6 x 25 sight "twice a length"',
    "10 x 50: C does 6, B does 8.  25 kick 25 swim, 10 sec": (
        "all but C, B: 10 x 50 as 25 kick / 25 swim, rest 0:10\nC: 6 x 50 as 25 kick / 25 swim, rest 0:10\n"
        "B: 8 x 50 as 25 kick / 25 swim, rest 0:10"
    ),
    "10 x 100 on 1:40, B does 8. Then 200 easy": (
        "all but B: 10 x 100, on 1:40\nB: 8 x 100, on 1:40\n200 easy"
    ),
    "5x100 f/c 25s, last 25 of each brs.  Cool 100.": '5 x 100 f/c, rest 0:25 "last 25 of each brs", 100 Cool',
    "Scull #1 4x25, scull #2 4x25, then 4x25 swim. 10s": (
        '4 x 25 Scull "#1", 4 x 25 scull "#2", 4 x 25 swim, rest 0:10'
    ),
    "10x50 pull + snork on :50": "10 x 50 pull, on 0:50, with snork",
    "2x25 brs arms + fly kick": '2 x 25 brs arms + fly kick',
    "75 front crawl and 25 backstroke. Do this four times with a 45 second rest each time.": (
        '4 x (75 front crawl + 25 backstroke "time" + rest 0:45)'
    ),
    "100 easy with 2 min to go": '100 easy "with 2 min to go"',
    "200 fr 200 rev IM 200 kick 200 pull": '200 fr, 200 IM "rev IM", 200 kick, 200 pull',
    "6x25 f/c drill: catch up x2, single arm x2, zip up x2": (
        '6 x 25 f/c drill repeats 1-2 catch up / 3-4 single arm / 5-6 zip up'
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
    "8 x 25: 8 kids, others 4 x 25": '8 x 25 "8 kids, others 4 x 25"',
    "16x25 @30  4 of each IMO": "16 x 25 repeats 1-4 fly / 5-8 back / 9-12 breast / 13-16 free, on 0:30",
    "mass start practise x3 (~50m each)": '3 x 50 "mass start practise"',
    "100 f/c, 75 b/c, 50 brs, 25 fly then back up": "100 f/c, 75 b/c, 50 brs, 25 fly, 50 brs, 75 b/c, 100 f/c",
    "100 fc, 50 bk then back up 50, 100": "100 fc, 50 bk, 50 bk, 100 fc",
    "50 100 150 and back down, 15s rest": "50 - 100 - 150 - 100 - 50, rest 0:15",
    "500/400/300/200  s/k/p/dr": "500 swim, 400 k, 300 p, 200 dr",
    "300/200/100 fr/bk/br on 5:00/3:30/2:00": "300 fr, on 5:00, 200 bk, on 3:30, 100 br, on 2:00",
    "6 lengths front crawl, 2 back": "150 front crawl, 50 back",
    "two laps easy": "100 easy",
    "kick 4x25 front 4x25 back": '4 x 25 kick "front", 4 x 25 kick back',
    "pull 4x100 on 1:45, 4x50 on 55": "4 x 100 pull, on 1:45, 4 x 50 pull, on 0:55",
    "8 x 200 FR 1-4 pull on 2:45, 5-8 swim on 2:40": "4 x 200 FR pull, on 2:45, 4 x 200 FR swim, on 2:40",
    "12 x 50 first 4 @ 60, next 4 @ 55, last 4 @ 50": "12 x 50, on 1:00 then 0:55 then 0:50",
    "8 x 50: 1 fly on 1:10, 3 free on 50": "2 x (1 x 50 fly, on 1:10 + 3 x 50 free, on 0:50)",
    "3 x 400 r30, first easy, second 5 sec/100 quicker": '3 x 400, rest 0:30 "first easy, second 5 sec/100 quicker"',
    "B/c kick - arms by sides x2, arms stretched x2, all 25s": (
        '4 x 25 B/c kick repeats 1-2 arms by sides / 3-4 arms stretched'
    ),
    "25s drill: fists x2, zip up x2, swim x2": "6 x 25 drill repeats 1-2 fists / 3-4 zip up / 5-6 swim",
    "3x200 rest 5 secs per 50": "3 x 200, rest 0:20",
    "300 - 200 - 100 rest 10 secs per 50": "300, rest 1:00, 200, rest 0:40, 100, rest 0:20",
    "five lengths of breast, stopping at each end for ten seconds": "5 x 25 breast, rest 0:10",
    "4x50 f/c kick, 30 secs rest. little ones 4 x 25": '4 x 50 f/c kick, rest 0:30 "little ones 4 x 25"',
    "4x25 butterflly, breath every 3": "4 x 25 butterfly breath every 3",
    "8 x 25 dolphin on back": '8 x 25 kick fly on back',
    "eight 50s on the minute": "8 x 50, on 1:00",
    "a couple of 25s sprint": "2 x 25 sprint",
    "race pace 25s x 8 @ 45": "8 x 25 fast, on 0:45",
    "4 x 50 single arm down / 6-1-6 back r15": "4 x 50 as 25 single arm / 25 drill 6-1-6, rest 0:15",
    "20x50 1-10 free on 40, 11-20 stroke on 50": "10 x 50 free, on 0:40, 10 x 50 choice, on 0:50",
    "kick: 3 rounds of 100 easy + 2x50 fast": "3 x (100 kick easy + 2 x 50 kick fast)",
    '4x25 from a dive, if you did it twice': '4 x 25 from a dive "if you did it twice"',
    "3 x (50 fly/bk, 50 br/fc) on 2:30": "3 x 100 as 25 fly / 25 bk / 25 br / 25 fc, on 2:30",
    "100 IM on 2:30 / 2x50 fc on 1:15": "100 IM, on 2:30, 2 x 50 fc, on 1:15",
    "100 swim 50 kick x 3": "3 x (100 swim + 50 kick)",
    "8 x 50, 1:00 each": "8 x 50, on 1:00",
    "A only 4x100 on 1:20": "A: 4 x 100, on 1:20",
    "Lane 1 only extra 100 f/c": "lanes 1: 100 f/c",
    '300 mainly back': '300 back "mainly back"',
    "6x50 EZ bk/fs alt": "6 x 50 EZ odd bk / even fs",
    "6 by 25 kick": "6 x 25 kick",
    "6 of 25 fly r20": "6 x 25 fly, rest 0:20",
    "Free: 6 by 50 on 1 minute": "6 x 50 Free, on 1:00",
    "100m F/C x 8 - 20 secs": "8 x 100 F/C, rest 0:20",
    "50 x 6 kick on 1:10": "6 x 50 kick, on 1:10",
    "50m x 6 (kick) 1:10": "6 x 50 kick, on 1:10",
    "6 kick 50s on 1:10": "6 x 50 kick, on 1:10",
    "x6 50m kick": "6 x 50 kick",
    "(6x) 50 kick": "6 x 50 kick",
    "25 sprint x 8 from the blocks, 1 min": "8 x 25 sprint from the blocks, rest 1:00",
    "8x50 fr (60)": "8 x 50 fr, on 1:00",
    "8x50 fr (40) fast/slow": "8 x 50 fr as 25 fast / 25 slow, on 0:40",
    "8x50 fr (15)": "8 x 50 fr, rest 0:15",
    "8x50 fr (400)": '8 x 50 fr "400"',
    "4x100 Fr o 1.30": "4 x 100 Fr, on 1:30",
    "8x100 Kk o 2.00   1 hard 1 easy": "8 x 100 kick in turn 1 hard / 1 easy, on 2:00",
    "4x50 Brstk rec 15": "4 x 50 breast, rest 0:15",
    "8x50 free, hold 40": '8 x 50 free "hold 40"',
    "8x50 free, best time minus 3 secs": '8 x 50 free "best time minus 3 secs"',
    "8x50 long arms 1:00": '8 x 50, on 1:00 "long arms"',
    "8x50 fc. L1 50secs, L2 55, L3 1.05": "8 x 50 fc, on 0:50 / 0:55 / 1:05",
    "10x100 pull o 1.35 (L5 o 1.45)": "all but lanes 5: 10 x 100 pull, on 1:35\nlanes 5: 10 x 100 pull, on 1:45",
    "20 secs rest: 8x50 fr": "8 x 50 fr, rest 0:20",
    "25 fast, 25 easy x 8 on 1:00": "8 x 50 as 25 fast / 25 easy, on 1:00",
    "3 x 300 breathing 3/5/7 by 100 r30": "3 x 300 breathing 3/5/7 by 100, rest 0:30",
    "4 x 50 free, R3 fast": '4 x 50 free "R3 fast"',
    "8 x 50 swm": "8 x 50 swim",
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


@pytest.mark.parametrize(
    ("offered", "made"),
    [
        ("  8 x 50 kick as 25 fast / 25 easy", ""),  # the same plan
        ("  8 x 50 race pace kick", "  8 x 50 kick as 25 fast / 25 easy"),  # it would be asked about again
    ],
)
def test_parts_replace_only_another_plan_with_nothing_more_in_notes(offered, made):
    lines = ["pool: 25 m", "  8 x 50 kick 25 fast 25 easy"]
    assert instead(lines, 1, LIVE, offered) == made
