"""A draft compared with a plain string and a cursor; undo and redo; the effect of keys on indentation."""

from __future__ import annotations

import random

import pytest

from pacer.plan.text.textbuffer import Spot, TextBuffer


def at(text: str) -> TextBuffer:
    """A draft of `text` with the cursor at its |; with two of them, the text in between is selected."""
    pieces = text.split("|")
    draft = TextBuffer("".join(pieces))
    spots = []
    for count in range(1, len(pieces)):
        before = "".join(pieces[:count]).split("\n")
        spots.append(Spot(len(before) - 1, len(before[-1])))
    draft.go(spots[0])
    if len(spots) > 1:
        draft.go(spots[1], choosing=True)
    return draft


def said(draft: TextBuffer) -> str:
    """A draft's text with | for its cursor."""
    line, column = draft.cursor
    lines = [*draft.lines]
    lines[line] = lines[line][:column] + "|" + lines[line][column:]
    return "\n".join(lines)


@pytest.mark.parametrize(
    ("before", "do", "after"),
    [
        ("4 x|", lambda d: d.write(" 50"), "4 x 50|"),
        ("4 |x 50| free", lambda d: d.write("y"), "4 y| free"),
        ("a|b", lambda d: d.write("1\n2"), "a1\n2|b"),
        ("a|b", lambda d: d.write("\r\n"), "a\n|b"),
        ("|", lambda d: d.write("\tx"), "  x|"),
        ("a\n|b", lambda d: d.erase(), "a|b"),
        ("ab|\nc", lambda d: d.erase(1), "ab|c"),
        ("|", lambda d: d.erase(), "|"),
        ("a|", lambda d: d.erase(1), "a|"),
        ("  |4 x 50", lambda d: d.erase(), "|4 x 50"),
        ("    |4 x 50", lambda d: d.erase(), "  |4 x 50"),
        (" |4", lambda d: d.erase(), "|4"),
        ("four kicks|", lambda d: d.erase(-1, word=True), "four |"),
        ("|four kicks", lambda d: d.erase(1, word=True), "| kicks"),
        ("a|bc\nd|e", lambda d: d.erase(), "a|e"),
        ("Main set|", lambda d: d.enter(), "Main set\n  |"),
        ("Main set, 1 to 3 rounds|", lambda d: d.enter(), "Main set, 1 to 3 rounds\n  |"),
        ('Main set, for 10:00, run on "long"|', lambda d: d.enter(), 'Main set, for 10:00, run on "long"\n  |'),
        ("title: Roll|", lambda d: d.enter(), "title: Roll\n|"),
        ("  4 x 50|", lambda d: d.enter(), "  4 x 50\n  |"),
        ("  4 x 50| free", lambda d: d.enter(), "  4 x 50\n  |free"),
        ("  3 rounds|", lambda d: d.enter(), "  3 rounds\n    |"),
        ("  rounds A 3 / B 2|", lambda d: d.enter(), "  rounds A 3 / B 2\n    |"),
        ("Main set\n  |", lambda d: d.enter(), "Main set\n\n|"),
        ("|a\nb|\nc", lambda d: d.indent(), "  a\n  b|\nc"),
        ("  |a\n b\nc|", lambda d: d.indent(-1), "a\nb\nc|"),
        ("  4 x| 50", lambda d: d.toggle_comment(), "  # 4 x| 50"),
        ("  # 4 x| 50", lambda d: d.toggle_comment(), "  4 x| 50"),
        ("|a\n# b\n|c", lambda d: d.toggle_comment(), "# a\n# # b\n|c"),
        ("  4 x 50 fre|", lambda d: d.replace(0, 9, 12, "free"), "  4 x 50 free|"),
        ("a|", lambda d: d.replace(0, 0, 0, "pool: 25 m\n"), "pool: 25 m\n|a"),
    ],
)
def test_effects_of_keys(before, do, after):
    draft = at(before)
    do(draft)
    draft.check()
    assert said(draft) == after
    if draft.edits:
        assert draft.undo() and draft.text == before.replace("|", "")
        assert draft.redo() and said(draft) == after


def test_words_are_undone_one_by_one():
    draft = TextBuffer()
    for char in "4 x 50 free":
        draft.write(char)
    states = []
    while draft.undo():
        states.append(draft.text)
    assert states == ["4 x 50 ", "4 x ", "4 ", ""]
    while draft.redo():
        pass
    assert draft.text == "4 x 50 free" and not draft.can_redo


def test_erasing_in_a_row_is_one_undo_until_the_cursor_moves():
    draft = at("abcdef|")
    for _ in range(3):
        draft.erase()
    draft.undo()
    assert draft.text == "abcdef"
    draft.write("g")
    draft.go(Spot(0, 0))
    draft.write("h")
    draft.undo()
    assert draft.text == "abcdefg"


def test_settling_ends_an_undo_step():
    draft = TextBuffer()
    draft.write("a")
    draft.settle()
    draft.write("b")
    draft.undo()
    assert draft.text == "a"


def test_a_new_change_ends_redo():
    draft = at("a|")
    draft.write("b")
    draft.undo()
    draft.write("c")
    assert not draft.redo() and draft.text == "ac"


@pytest.mark.parametrize(
    ("text", "spot", "chosen"),
    [
        ("4 x 50 six-kick", Spot(0, 8), "six"),
        ("4 x 50 six-kick", Spot(0, 6), "50"),
        ("on 1:40", Spot(0, 7), "40"),
        ("", Spot(0, 0), ""),
        ("  x", Spot(0, 0), "x"),
    ],
)
def test_the_word_below_a_finger(text, spot, chosen):
    draft = TextBuffer(text)
    draft.choose_word(spot)
    assert draft.chosen_text == chosen


def test_spots_outside_become_the_nearest_inside():
    draft = TextBuffer("ab\nc")
    draft.go(Spot(9, 9))
    assert draft.cursor == draft.end == Spot(1, 1)
    draft.go(Spot(-1, -5))
    assert draft.cursor == Spot(0, 0)
    assert draft.beside(-1) == Spot(0, 0)


class Plain:
    """A string, a cursor and an anchor: a simple model of a draft."""

    def __init__(self, text):
        self.text, self.cursor, self.anchor, self.past = text, 0, None, []

    def span(self):
        return sorted((self.cursor, self.cursor if self.anchor is None else self.anchor))

    def write(self, text):
        start, end = self.span()
        self.text = self.text[:start] + text + self.text[end:]
        self.cursor, self.anchor = start + len(text), None

    def erase(self, step):
        start, end = self.span()
        if start == end:
            start, end = (max(0, start - 1), end) if step < 0 else (start, min(len(self.text), end + 1))
        self.text = self.text[:start] + self.text[end:]
        self.cursor, self.anchor = start, None


def offset(draft, spot):
    return sum(len(line) + 1 for line in draft.lines[: spot.line]) + spot.column


@pytest.mark.parametrize("seed", range(20))
def test_against_a_plain_string(seed):
    rng = random.Random(seed)
    draft, plain = TextBuffer("ab\ncd"), Plain("ab\ncd")
    seen = [draft.text]
    for _ in range(300):
        what = rng.randrange(8)
        if what < 3:
            text = rng.choice(["a", "b c", "\n", "x\ny", ":"])
            draft.write(text)
            plain.write(text)
        elif what == 3:
            # A draft erases two spaces of indentation at once; here the cursor never has two spaces before it.
            step = rng.choice([-1, 1])
            draft.erase(step)
            plain.erase(step)
        elif what < 6:
            spot = Spot(rng.randrange(len(draft.lines)), rng.randrange(12))
            choosing = rng.random() < 0.4
            anchor = plain.cursor if choosing and plain.anchor is None else plain.anchor if choosing else None
            draft.go(spot, choosing)
            plain.cursor, plain.anchor = offset(draft, draft.cursor), anchor
        elif what == 6 and draft.undo() or what == 7 and draft.redo():
            plain.text, plain.cursor, plain.anchor = draft.text, offset(draft, draft.cursor), None
            assert draft.text in seen
        draft.check()
        assert draft.text == plain.text
        assert offset(draft, draft.cursor) == plain.cursor
        assert draft.chosen_text == plain.text[slice(*plain.span())]
        seen.append(draft.text)
    last = draft.text
    while draft.undo():
        pass
    assert draft.text == "ab\ncd"
    while draft.redo():
        pass
    assert draft.text in seen and (draft.text == last or not draft.can_redo)


@pytest.mark.parametrize(
    "name", ["Main set", "Swim-down, easy", "WU", "Main set 3 rounds", "Kick set", "Kick", "Drills"]
)
def test_a_sections_usual_name_moves_to_the_edge_at_enter(name):
    draft = TextBuffer("Warm-up\n  200")
    draft.go(draft.end)
    draft.enter()
    draft.write(name)
    draft.enter()
    draft.write("4 x 50")
    assert draft.lines == ["Warm-up", "  200", name, "  4 x 50"]
    draft.undo()
    draft.undo()
    assert draft.lines == ["Warm-up", "  200", f"  {name}"]


@pytest.mark.parametrize("line", ["4 x 50 kick", "kick on side", "main thing is the roll", "pull set of four"])
def test_other_lines_stay_where_they_are(line):
    draft = TextBuffer(f"Warm-up\n  {line}")
    draft.go(draft.end)
    draft.enter()
    assert draft.lines == ["Warm-up", f"  {line}", "  "]


def test_several_lines_become_others_in_one_change():
    draft = TextBuffer("a\nb\nc\nd")
    draft.go(Spot(3, 1))
    draft.rewrite(["a", "b, run on", "c", "d, run on"])
    assert draft.lines == ["a", "b, run on", "c", "d, run on"] and draft.cursor == Spot(3, 1)
    draft.check()
    draft.undo()
    assert draft.lines == ["a", "b", "c", "d"] and not draft.can_undo
    draft.rewrite(["a", "b", "c", "d"])
    draft.check()
