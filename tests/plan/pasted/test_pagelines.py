"""Labels, totals, ditto marks, sentences and short forms on a coach's page."""

from __future__ import annotations

import pytest

from pacer.plan.layout.bulletsandsigns import page_of
from pacer.plan.layout.pagetotals import accounts_for_groups, take_total
from tests.plan.pasted.pagereading import read
from tests.plan.test_pages import settled


@pytest.mark.parametrize(
    ("page", "plan"),
    [
        ("breastroke: 4x25 legs only, 4x50", "  4 x 25 kick breast\n  4 x 50 breast\n"),
        ("Breast str - 4x25, 2x50", "  4 x 25 breast\n  2 x 50 breast\n"),
        ('pull 300\n  "  200\n  "  100\n50 fly', "  300 pull\n  200 pull\n  100 pull\n  50 fly\n"),
        (
            "100 free\nif you miss it sit one out. then 400 pull with snorkel",
            '  100 free\n  "if you miss it sit one out."\n  400 pull, with snorkel\n',
        ),
        ("Everyone swims two lengths of backstroke", '  50 back\n  "Everyone"\n'),
        ("400 Frt o 5.20\n4 x 50 Kk", "  400 free, on 5:20\n  4 x 50 kick\n"),
        (
            "MAIN   lanes 1+2 x3,  lanes 3+4 x2\n   200 free\n   50 kick\n4 x 100 pull",
            "MAIN\n  rounds 3 / 3 / 2 / 2\n    200 free\n    50 kick\n  4 x 100 pull\n",
        ),
        (
            "100 free\nSD 200\n1300  (short, starts last 10 mins)",
            "  100 free\n\nSD\n  200 free\n# 1300  (short, starts last 10 mins)\n",
        ),
        (
            "Warm-up (700): 400 swim, 200 kick, 100 drill",
            "Warm-up\n  400 free\n  200 kick\n  100 drill\n",
        ),
        (
            "Main set 1600m: 8 x 100 on 1:40, 4 x 200 pull rest 20",
            "Main set\n  8 x 100 free, on 1:40\n  4 x 200 pull, rest 0:20\n",
        ),
        ("Kick (300m): 6 x 50 on 1:10", "  6 x 50 kick, on 1:10\n"),
        ("Kick set: 6 x 50 with board", "Kick set\n  6 x 50 kick, with board\n"),
        ("pull set - 3 x 200 on 3:00\n400 free", "pull set\n  3 x 200 pull, on 3:00\n  400 free\n"),
        ("Arms: 4 x 50\nArms\n4 x 100", "  4 x 50 pull\n\nPull\n  4 x 100 pull\n"),
        ("     MAIN 8 x 50\n     SD   200", "MAIN\n  8 x 50 free\n\nSD\n  200 free\n"),
        ("W-U 300\nMain\n4 x 50\nS-D 100", "W-U\n  300 free\n\nMain\n  4 x 50 free\n\nS-D\n  100 free\n"),
        ("4 x 50\nW/D 200\n60 x 25", "  4 x 50 free\n\nW/D\n  200 free\n  60 x 25 free\n"),
        ("WU 700\n400 fr\n300 kick\nCD 200\n4 x 50", "WU\n  400 free\n  300 kick\n\nCD\n  200 free\n  4 x 50 free\n"),
        ("Warm up (400): easy choice", "Warm up\n  400 choice easy\n"),
        (
            "300 easy\n10 x 200\n10 x 100\n3.3 km. Coffee after as usual.",
            "  300 free easy\n  10 x 200 free\n  10 x 100 free\n# 3.3 km. Coffee after as usual.\n",
        ),
        (
            "300 easy\n10 x 200\n10 x 100\n1500 straight",
            '  300 free easy\n  10 x 200 free\n  10 x 100 free\n  1500 free\n  "straight"\n',
        ),
        ("Full stroke: 6 x 25\nChallenge: 100 free", "  6 x 25 free\n\nChallenge\n  100 free\n"),
        ("Sharks: 8 x 100\nDolphins: 6 x 100", "  Sharks: 8 x 100 free\n  Dolphins: 6 x 100 free\n"),
        ("200m easy back to the slipway", '  200 free easy\n  "back to the slipway"\n'),
        ("2 laps of the 750m course, steady", '  2 x 750 free steady\n  "course"\n'),
        (
            "kick with float - 2 lengths on front, 2 on back",
            '  50 kick, with board\n  "on front"\n  50 kick back, with board\n  "on back"\n',
        ),
        ("3 lengths kick, 3 full", '  75 kick\n  75 free\n  "full"\n'),
        ("10 lengths, 5 easy, 5 hard", "  125 free easy\n  125 free fast\n"),
        ("6 lengths kick, 3 on front, 3 on back", '  75 kick\n  "on front"\n  75 kick back\n  "on back"\n'),
        ("4 lengths kick then 4 swim", "  100 kick\n  100 free\n"),
        ("pull with paddles: 200, 2 x 100", "  200 pull, with paddles\n  2 x 100 pull, with paddles\n"),
        ("back kick: 4 x 50", "  4 x 50 kick back\n"),
        ("lanes: 6\n4 x 100", "  # lanes: 6\n  4 x 100 free\n"),
        (
            "Kick\n6 x 50 off 1:15\n4 x 25 back\n100 easy\n\n200",
            "Kick\n  6 x 50 kick, on 1:15\n  4 x 25 kick back\n  100 free easy\n  200 free\n",
        ),
        ("Drills\n4 x 50 catch up\n2 x 25 swim", "Drills\n  4 x 50 drill catch up\n  2 x 25 free\n"),
        ("Sprints\n8 x 25\n4 x 50 ez", "Sprints\n  8 x 25 free sprint\n  4 x 50 free easy\n"),
        ("KICK:\nA: 8 x 50\nB: 6 x 50", "KICK\n  A: 8 x 50 kick\n  B: 6 x 50 kick\n"),
        ("Kick with fins\n8 x 50 on 50", "Kick with fins\n  8 x 50 kick, on 0:50, with fins\n"),
        ("50 FC 50 BK 50 BR", "  50 free\n  50 back\n  50 breast\n"),
        ("10 mins warm up, nothing daft (call it 400)", '  400 free easy\n  "10 min, nothing daft"\n'),
        ("6 x 50 - swim down, kick back, rest 10", "  6 x 50 as 25 free / 25 kick, rest 0:10\n"),
        ("4 x 25 scull 20sr", "  4 x 25 scull, rest 0:20\n"),
        ("600 as (200 FC 100 BK) x2", "  2 rounds\n    200 free\n    100 back\n"),
        (
            "600 as 200 FC, 200 choice not FC, 200 IM drill/swim by 25",
            '  200 free\n  200 choice\n  "not FC"\n  200 as 25 drill IM / 25 IM\n',
        ),
        ("8x50 fr 2 easy 2 build x2 on 1.15", "  8 x 50 in turn 2 free easy / 2 free build, on 1:15\n"),
        (
            "12x50 3 of each IM order 25dr/25sw on 1.05",
            '  12 x 50 repeats 1-3 fly / 4-6 back / 7-9 breast / 10-12 free, on 1:05\n  "25dr/25sw"\n',
        ),
        (
            "3 goes of: 100 crawl, 50 back\n   (30 secs between each bit)",
            "  3 rounds\n    100 free, rest 0:30\n    50 back, rest 0:30\n",
        ),
        (
            "3 rds { 2x75 on 1:15\n      { 150 on 2:20\n6 x 50",
            "  3 rounds\n    2 x 75 free, on 1:15\n    150 free, on 2:20\n  6 x 50 free\n",
        ),
        (
            "Main bit, all front crawl, go thru it 3 times:\n- 150 steady\n- 100\n\n4 x 100",
            'Main bit\n  3 rounds\n    150 free steady\n    "all front crawl"\n    100 free\n  4 x 100 free\n',
        ),
        (
            "5m    W/U 4 x 25\n5m    4 x 50 kick\n10m   8 x 50",
            "# 5 min\nW/U\n  4 x 25 free\n  # 5 min\n  4 x 50 kick\n  # 10 min\n  8 x 50 free\n",
        ),
        (
            "9 lengths, last 3 on back\n2 lengths kick\n4 lengths\n3 down",
            '  225 as 150 free / 75 back "on back"\n  50 kick\n  100 free\n  75 free easy\n',
        ),
        ("BR legs 2 x 25, then 1 length whole stroke", "  2 x 25 kick breast\n  25 breast\n"),
        (  # groups with names of several words, on line after line
            "Main\nNew kids: 2x300\nOld hands - 3x300\nTop squad 4 x 300\n2nds: 2 x [100, 50]",
            "Main\n  New-kids: 2 x 300 free\n  Old-hands: 3 x 300 free\n  Top-squad: 4 x 300 free\n"
            "  Group-2nds: 2 rounds\n    100 free\n    50 free\n",
        ),
        (
            "Main\nSprinters (lanes 1-2): 8x50\nThe B's: 4 x 200\nThe C's: 3 x 200",
            'Main\n  lanes 1-2: 8 x 50 free\n  "Sprinters"\n  B: 4 x 200 free\n  C: 3 x 200 free\n',
        ),
        (  # sections with a number
            "Pre set 1  4 x 50\nMain 1    3 x { 2 x 50; 100 easy }\nMain 2 - 8 x 25",
            "Pre set 1\n  4 x 50 free\n\nMain 1\n  3 rounds\n    2 x 50 free\n    100 free easy\n\n"
            "Main 2\n  8 x 25 free\n",
        ),
        (  # a distance and what it comes to
            "800 w/u = 2 x (200 fs 100 bk) + 4x50 kick\n600 easy (6x100) on 1:50\n8x50 = 400 kick",
            '  2 rounds\n    200 free\n    100 back\n  4 x 50 kick\n  "w/u"\n  6 x 100 free easy, on 1:50\n'
            "  8 x 50 kick\n",
        ),
        (  # a line for each of the groups that are side by side
            "Main A (sprint) 4x50 on 1:30   B (dist) 4 x 200 on 3:00",
            'Main\n  A: 4 x 50 free, on 1:30\n  "sprint"\n  B: 4 x 200 free, on 3:00\n  "dist"\n',
        ),
        (
            "20x100 fs\n   1-5 1.40   6-10 1.35   11-15 1.30   16-20 1.25",
            "  20 x 100 free, on 1:40 then 1:35 then 1:30 then 1:25\n",
        ),
        ("five lengths of breaststroke, stopping at each end for ten seconds", "  5 x 25 breast, rest 0:10\n"),
        (
            "2x50 main str on 1:05\n4x50 best str 15s",
            '  2 x 50 choice, on 1:05\n  "main str"\n  4 x 50 choice, rest 0:15\n  "best str"\n',
        ),
        ("6 lengths   2 fr  2 bk  2 br", "  50 free\n  50 back\n  50 breast\n"),
        (
            "8x50 2 of each stroke dr/sw 10 sec",
            "  8 x 50 repeats 1-2 (25 drill fly / 25 fly) / 3-4 (25 drill back / 25 back)"
            " / 5-6 (25 drill breast / 25 breast) / 7-8 (25 drill free / 25 free), rest 0:10\n",
        ),
        (
            "5x200 PBP 15 sec\n200 K w KB",
            "  5 x 200 pull, rest 0:15, with buoy and paddles\n  200 kick, with board\n",
        ),
        ("6 x 50 br/s on 1:15\n4 x 50 bk/s 20s", "  6 x 50 breast, on 1:15\n  4 x 50 back, rest 0:20\n"),
        ("200 back\nrelay starts w/ 15 min left", '  200 back\n  "relay starts w/ 15 min left"\n'),
        ("Kick 1  8 x 50\nKick 2  4 x 100", "Kick 1\n  8 x 50 kick\n\nKick 2\n  4 x 100 kick\n"),
        (
            "12x100 in 3 blocks of 4, 10s in block, 1 min between blocks",
            "  3 rounds\n    4 x 100 free, rest 0:10\n    rest 1:00\n",
        ),
        ("12 x 100 (3 blocks of 4) on 1:40", "  3 rounds\n    4 x 100 free, on 1:40\n"),
        ("4 x 200 odd on 3:20 even on 3:10", "  4 x 200 free, on 3:20 then 3:10 then 3:20 then 3:10\n"),
        ("6 x 75 25k 25d 25s 15r", "  6 x 75 as 25 kick / 25 drill / 25 free, rest 0:15\n"),
        ("600 (200s 200k 200p)", "  600 as 200 free / 200 kick / 200 pull\n"),
        (
            "4 x 200 each one 2 secs faster than the last, 30 rest",
            '  4 x 200 free, rest 0:30\n  "each one 2 secs faster than the last"\n',
        ),
        ("5x200 1.30/100 pace 30r", '  5 x 200 free, rest 0:30\n  "1.30/100 pace"\n'),
        ("8 x 15m sprint, easy back", '  8 x 15 free sprint\n  "easy back"\n'),
        ("sw dn 200", "sw dn\n  200 free\n"),
        ("Main set: 3 rounds, 1 min rest between\n  4 x 50", "Main set, 3 rounds\n  4 x 50 free\n  rest 1:00\n"),
        ("100 free\njumps in x3\n50 back", '  100 free\n  "jumps in x3"\n  50 back\n'),
        (
            "1 x 200, 2 x 150, 4 x 50 all on 20s",
            "  200 free, rest 0:20\n  2 x 150 free, rest 0:20\n  4 x 50 free, rest 0:20\n",
        ),
        ("8 x 25 on 30s", "  8 x 25 free, on 0:30\n"),
        ("16 x 25 as (3 easy 1 fast) x4 on 35", "  16 x 25 in turn 3 free easy / 1 free fast, on 0:35\n"),
        ("16 lengths as 4 each stroke", "  100 fly\n  100 back\n  100 breast\n  100 free\n"),
        ("12x50 in sets of 3: easy, medium, hard", "  12 x 50 in turn 1 free easy / 1 free steady / 1 free fast\n"),
        ("4 x 50 catch-up drill with 15 sec rest", "  4 x 50 drill catch-up, rest 0:15\n"),
        ("swim 100, kick 50, pull 100, x 2", "  2 rounds\n    100 free\n    50 kick\n    100 pull\n"),
        ("5x50 off 1", "  5 x 50 free, on 1:00\n"),
        ("12 x 25 IM order x3", "  12 x 25 IM order\n"),
        ("FINS ON 8x50 on 50", "  8 x 50 free, on 0:50, with fins\n"),
    ],
)
def test_a_page_is_read(page, plan):
    assert read(page) == plan


@pytest.mark.parametrize(
    ("written", "text", "total"),
    [
        ("200 down.     A 2850  B 2350  C 1850", "200 down.", 2850),
        ("s/d 200    (A 2.2k, B 2k)", "s/d 200", 2200),
        ("2 lengths easy, hoops.    900 ish for L1", "2 lengths easy, hoops.", 900),
        ("100 down.  900", "100 down.  900", None),
        ("A 500 B 400", "A 500 B 400", None),
    ],
)
def test_totals_are_taken_off_a_set(written, text, total):
    (line,) = page_of(written)
    take_total(line)
    assert (line.text, line.total and line.total.distance) == (text, total)


def test_totals_of_groups_may_be_in_thousands():
    assert accounts_for_groups("A=3.8k B=4.2k")
    assert not accounts_for_groups("Swim 200 Kick 100")


def test_a_note_below_what_some_lanes_swim_otherwise_stays_beside_its_own_line():
    found, _ = settled("Tuesday\n25m pool\n8 x 25\n100 swim down, fast lane 200\nno hanging on lane ropes")
    assert [line.understood[:1] for line in found.lines[-2:]] == [("  all but fast lanes: 100 free easy",), ()]
    assert "no hanging" in found.text
