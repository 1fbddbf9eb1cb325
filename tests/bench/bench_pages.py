"""How much of a coach's page is understood: at once, with one touch, or only after it is written again.

`python tests/bench/bench_pages.py`, over `tests/plan/fresh`: twenty pages written by authors who did not look at the
notation, each in the style of another coach. `~ line` in a page's file marks a line that, with the first answer to each
question, does not become what its author meant. Then the pages of `tests/plan/meant`, whose meaning is data.
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.plan.meantpages import COLLECTIONS, wrong_lines
from tests.plan.test_pages import FRESH, case_of, settled


def main() -> None:
    """Count, page by page."""
    lines = asked = again = 0
    for path in FRESH:
        case = case_of(path)
        written = sum(1 for line in case.page.split("\n") if line.strip())
        marked = {line for line in case.said if line.startswith("~")}
        questions = {line.partition(":")[0] for line in settled(case.page)[1]} - {"? 0"}
        lines, asked, again = lines + written, asked + len(questions), again + len(marked)
        print(f"{path.stem:14} {written:3} lines, {len(questions):2} asked about, {len(marked):2} to write again")
    print(
        f"{lines} lines: {asked} asked about ({100 * asked / lines:.1f} %), {again} again ({100 * again / lines:.1f} %)"
    )
    for path in COLLECTIONS:
        count, wrong = wrong_lines(path)
        unasked = sum(not line.asked for line in wrong)
        print(f"{path.stem}: {count} lines, {len(wrong)} again ({100 * len(wrong) / count:.1f} %), {unasked} unasked")


if __name__ == "__main__":
    main()
