"""`pacer read`: turns a page as coaches keep it into a plan, and shows how each line was understood."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from pacer.cli.inputoutput import FINE, STOPPED, bytes_of, print_json, read_named, said_name, squad_of
from pacer.language import tr
from pacer.plan.filetext import text_from_bytes
from pacer.plan.notation.planreader import pool_from_text
from pacer.plan.pasted.understood import Line, Understood, understand
from pacer.plan.words.ownwords import NO_WORDS


def read(options: argparse.Namespace) -> int:
    """Print the plan that a page makes, and the open questions; returns 1 while there are any."""
    gear = squad_of(options.squad).words if options.squad else NO_WORDS
    pool = str(read_named(lambda: pool_from_text(options.pool), "--pool")) if options.pool else ""
    page = read_named(
        lambda: understand(text_from_bytes(bytes_of(options.page), "page"), gear, pool), said_name(options.page)
    )
    if pool and page.lines[0].number == 0:
        page = page.answered(0, 0)  # how long is the pool?
    if options.json:
        print_json({"format": "pacer-read/1", "plan": page.text, "lines": [_line(line) for line in page.lines]})
    else:
        sys.stdout.write(page.text)
        _tell(page, options.page)
    return STOPPED if page.questions else FINE


def _tell(page: Understood, file: str) -> None:
    """Print to standard error what is asked, and where the page's own totals differ from the plan."""
    for at, line in enumerate(page.lines):
        place = f"{file}:{line.number}: " if line.number else f"{file}: "
        if line.told:
            print(f"{place}{line.written}\n    {line.told}", file=sys.stderr)
        if line.question:
            print(f"{place}{line.written}\n    {line.question.text}", file=sys.stderr)
            if first := next((like for like in page.like(at) if like < at), None):
                print("    " + tr("same answer as line {number}", number=page.lines[first].number), file=sys.stderr)
                continue
            for answer in line.question.answers:
                print(f"      - {answer.label}", file=sys.stderr)


def _line(line: Line) -> dict[str, Any]:
    asked = line.question
    return {
        "line": line.number,
        "written": line.written,
        "kind": str(line.kind),
        "understood": [text.strip() for text in line.understood],
        "told": line.told,
        "question": asked and {"text": asked.text, "answers": [answer.label for answer in asked.answers]},
    }
