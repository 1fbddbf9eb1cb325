"""Every plan that the tests have: demos, golden cases, whole pages as coaches keep them, and lines of the corpus."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.plan.notation.planreader import read_plan
from pacer.plan.planlabels import labels_of
from pacer.shippedfiles import PLANS, SQUADS
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import Squad
from tests.plan.test_pages import PAGES, case_of
from tests.plan.whiteboard import lines, readable, squad_for
from tests.test_cases import CASES, read_case


def pages() -> Iterator[tuple[str, str, Squad]]:
    """Name, text and squad of every page."""
    demo = read_squad((SQUADS / "thursday.toml").read_text(encoding="utf-8"))
    for path in sorted(PLANS.glob("*.txt")):
        yield path.stem, path.read_text(encoding="utf-8"), demo
    for path in CASES:
        parts: dict[str, list[str]] = {}
        rows: list[str] = []
        for row in path.read_text(encoding="utf-8").splitlines():
            if row.startswith("---"):
                rows = parts.setdefault(row.strip("- "), [])
            else:
                rows.append(row)
        yield path.stem, "\n".join(parts["plan"]), read_case(path)[1]
    for path in PAGES:
        text = case_of(path).plan
        yield path.stem, text, default_squad(labels_of(read_plan(text)))
    for line in lines():
        if readable(line.page) is not None:
            yield line.name, line.page, squad_for(line)
