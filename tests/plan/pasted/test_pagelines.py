"""Labels, totals, ditto marks, sentences and short forms on a coach's page."""

from __future__ import annotations

import pytest

from pacer.plan.pasted.bulletsandsigns import page_of
from pacer.plan.pasted.pagetotals import accounts_for_groups, take_total
from tests.plan.pasted.pagereading import read


@pytest.mark.parametrize(
    ("page", "plan"),
    [
        ("breastroke: 4x25 legs only, 4x50", '  4 x 25 kick breast\n  "legs only"\n  4 x 50 breast\n'),
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
