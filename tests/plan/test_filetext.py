"""Files in every form: byte order marks, line ends, encodings, and files that are not plans at all."""

from __future__ import annotations

import time

import pytest

from pacer.plan.filetext import MAX_BYTES, MAX_CHARACTERS, MAX_COLUMNS, MAX_LINES
from pacer.plan.notation.planreader import plan_from_bytes, read_plan
from pacer.plan.problem import Unreadable

PAGE = "title: Thursday, “long” axis\npool: 25 m\n\nMain set\n\t4 x 100 free on 1:40\n"


def problem_of(data: bytes):
    with pytest.raises(Unreadable) as caught:
        plan_from_bytes(data)
    assert len(caught.value.problems) == 1
    assert caught.value.text("plan.txt").isprintable() or "\n" in caught.value.text("plan.txt")
    return caught.value.problems[0]


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(b"\xef\xbb\xbf" + PAGE.encode(), id="byte order mark"),
        pytest.param(PAGE.replace("\n", "\r\n").encode(), id="CRLF"),
        pytest.param(PAGE.replace("\n", "\r").encode(), id="CR"),
        pytest.param(PAGE.strip().encode(), id="no line end at the end"),
        pytest.param(
            PAGE.replace("\t4 x 100 free", "\u00a0\u20094\u00a0x 100\u202ffree").encode(), id="spaces that do not break"
        ),
        pytest.param(PAGE.replace("\n", "   \t \n").encode(), id="blanks at line ends"),
    ],
)
def test_a_file_is_read_however_it_was_saved(data):
    assert plan_from_bytes(data) == read_plan(PAGE)


@pytest.mark.parametrize(
    ("data", "where", "message", "hint"),
    [
        pytest.param(b"", (1, 1), "this plan is empty", "pool: 25 m", id="empty"),
        pytest.param(b"\xef\xbb\xbf", (1, 1), "this plan is empty", "pool: 25 m", id="a mark and nothing"),
        pytest.param(
            b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR",
            (1, 1),
            "this is a picture (PNG), not a plan",
            "plain text",
            id="PNG",
        ),
        pytest.param(
            b"\xff\xd8\xff\xe0\x00\x10JFIF", (1, 1), "this is a picture (JPEG), not a plan", "plain text", id="JPEG"
        ),
        pytest.param(
            b"PK\x03\x04\x14\x00\x06\x00",
            (1, 1),
            "this is a zip file, perhaps a word processor's, not a plan",
            "plain text",
            id="packed",
        ),
        pytest.param(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", (1, 1), "this is a PDF, not a plan", "plain text", id="PDF"),
        pytest.param(b"MZ\x90\x00\x03\xff", (1, 1), "this is a program, not a plan", "plain text", id="a program"),
        pytest.param(b"\x00\x01\xff\xfe" * 99, (1, 1), "this is not a text file", "UTF-8", id="any bytes"),
        pytest.param(PAGE.encode("utf-16"), (1, 1), "this file is in UTF-16", "UTF-8", id="UTF-16"),
        pytest.param(PAGE.encode("cp1252"), (1, 18), "this character is not UTF-8", "UTF-8", id="Windows-1252"),
        pytest.param(
            b'pool: 25 m\r\n4 x 100 "\xe9paules"',
            (2, 10),
            "this character is not UTF-8",
            "UTF-8",
            id="Latin-1 in line 2",
        ),
        pytest.param(b"pool: 25 m\n" + b"4 x 100 free\n" * 400_000, (1, 1), "5,200,011 bytes", "right file", id="5 MB"),
        pytest.param(b"pool: 25 m\n\x00", (2, 1), "invisible", "delete", id="a zero byte"),
    ],
)
def test_a_file_that_is_not_a_plan_is_refused(data, where, message, hint):
    problem = problem_of(data)
    assert (problem.line, problem.column) == where
    assert message in problem.message
    assert hint in problem.hint


def test_files_that_are_too_large():
    line = "  4 x 100 free\n"
    assert problem_of(b"#" * (MAX_BYTES + 1)).message.startswith("this file has 1,000,001 bytes")
    assert (
        problem_of((PAGE + line * MAX_LINES).encode()).message
        == f"this text has {MAX_LINES + 4:,} lines; a plan can have up to {MAX_LINES:,}"
    )
    assert problem_of((PAGE + f"# {'long ' * 150}\n" * 150).encode()).message.endswith(
        f"characters; a plan can have up to {MAX_CHARACTERS:,}"
    )
    wide = problem_of((PAGE + "  4 x 100 " + "free " * 400).encode())
    assert (wide.line, wide.column) == (6, MAX_COLUMNS + 1)
    with pytest.raises(Unreadable):
        read_plan("a" * (MAX_BYTES + 1))


def test_blank_lines_and_spaces_do_not_count():
    assert read_plan(PAGE + "\n" * 500_000 + " " * 400_000) == read_plan(PAGE)


def test_a_bad_file_cannot_write_to_the_terminal():
    problem = problem_of(b"pool: 25 m\n4 x 100 \x1b]0;title\x07\xff")
    assert "\x1b" not in problem.text("plan.txt")


BELOW = "pool: 25 m\nMain set\n"
HARD = {
    "brackets": "(" * 900_000, "digits": "1" * 900_000, "quotes": '"' * 900_000,
    "one line": BELOW + "  4 x 100" + " free" * 170_000,
    "deep indentation": "\n".join(" " * n + "3 rounds" for n in range(1200)),
    "steps": BELOW + "\n".join(" " * n + "3 rounds" for n in range(420)),
    "bad lines": BELOW + "  4x200 0n 4:00\n" * 60_000, "bad lines that fit": BELOW + "  4x200 free 5 on 1:00\n" * 1990,
    "blank lines": "\n" * 900_000, "returns": "\r" * 900_000, "comments": BELOW + "#\n" * 400_000,
    "segments": BELOW + ("  100 as " + " / ".join(["1"] * 240) + "\n") * 100,
    "lanes": BELOW + ("  " + " / ".join(["9"] * 59) + " x 100\n") * 400,
    "labels": BELOW + "".join("  " + " / ".join(f"G{n}x{m} 9" for m in range(40)) + " x 100\n" for n in range(250)),
    "names": BELOW + ("  100 drill " + "odd with " * 100 + "\n") * 100, "dashes": BELOW + ("1-" * 490 + "\n") * 100,
    "brackets in brackets": BELOW + ("  " + "2 x (" * 160 + "50" + ")" * 160 + "\n") * 100,
    "open quotes": BELOW + ("\"' “" * 240 + "\n") * 100,
    "words": BELOW + ("a b " * 240 + ":\n") * 100, "commas": BELOW + ("A, " * 320 + "\n") * 100,
    "primes": BELOW + ("  1' 2'' " * 100 + "\n") * 100,
}  # fmt: skip


@pytest.mark.parametrize("page", HARD.values(), ids=HARD)
def test_no_page_takes_long(page):
    started = time.process_time()
    try:
        read_plan(page)
    except Unreadable as unreadable:
        assert 1 <= len(unreadable.problems) <= 51
        assert len(unreadable.text("plan.txt")) < 200_000
    assert time.process_time() - started < 1
