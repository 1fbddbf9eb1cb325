"""All the mistakes of a line are reported at once, and no false ones."""

from __future__ import annotations

import re

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pacer.plan.notation.planreader import read_plan
from pacer.plan.problem import Unreadable

#: A line with `‹›` around each thing that is wrong, in order.
LINES = [
    "8 x 50 ‹brest›, rest ‹0:75›",
    "4 x 100 ‹brest› ‹esay› on ‹1:75›",
    "8 x 50 rest ‹1:75›, with ‹finns›",
    "8 x 50 back on ‹1;30› with ‹finns› apart ‹0:1›",
    "8 x ‹free›, with ‹finns›",
    "200 as 50 ‹dril› / 50 ‹bakc›, rest ‹1;15›",
    "200 (50 ‹dril› / 50 ‹bakc›), rest ‹1;15›",
    "8 x 50 odd ‹dril› / even ‹fre› on ‹1;30›",
    "4 x (3 x 100 ‹brest› on 1:30 + 100 ‹esay› on 2:30)",
    "4 x 50 drill hands on hips on ‹1:75›, with ‹finns›",
    '8 x 50 ‹bak› "same roll, with rocket", with ‹rocket›',
    "8 x 50 free, rest ‹0:75›, rate ‹0›",
]
#: Lines whose second mistake is not reported before the first is corrected, because it may not be one.
DOUBTFUL = [
    "8 x 50 free ‹@ 1:40›, rest 0:10",  # with hold it would be right
    "4 x 100 ‹gloriously› happy, on 1:40",  # a note of two words is one mistake
    "4 x ‹1oo› breast easy",  # the distance is there
    "8 x 50 ‹xyz› six-kick",  # may be the name of a drill
    '4 x 100 ‹"open, rest 1:75, with finns›',  # all of it is in the cue
    "4 x 50 ‹dril› six-kick switch, on 1:30",
    "8 x 50 free ‹1:40›, rest 0:10",
    "8 x 50 ‹pill› six-kick switch, on 1:30",
    "8 x 50 ‹dull› hands on hips",
    "4 x (100 free on ‹on› 1:30 + 50 back)",
]
SECTIONS = [
    "Main set, 3 ‹rouns›, ‹eazy›",
    "Main set, 1-3 rounds, ‹esay›",
    "Warm-up, ‹esay›, at most 10 min",
    "Main set, for ‹15:75›, ‹run›",
]


def told(line: str, section: bool = False) -> list[str]:
    """The underlined parts of a line, in order."""
    page = f"pool: 25 m\n{line}\n  100\n" if section else f"pool: 25 m\nMain set\n  {line}\n"
    try:
        read_plan(page)
    except Unreadable as error:
        return [problem.source[problem.column - 1 : problem.end_column - 1] for problem in error.problems]
    return []


def marked(line: str) -> tuple[str, list[str]]:
    return line.replace("‹", "").replace("›", ""), [part.split("›")[0] for part in line.split("‹")[1:]]


@pytest.mark.parametrize("line", LINES + DOUBTFUL)
def test_what_is_wrong_in_a_line_is_told_at_once(line):
    text, wrong = marked(line)
    assert told(text) == wrong


@pytest.mark.parametrize("line", SECTIONS)
def test_what_is_wrong_behind_a_sections_name_is_told_at_once(line):
    text, wrong = marked(line)
    assert told(text, section=True) == wrong


# -- no mistake has a second one behind it ---------------------------------------------------------------

WORK = [
    "free",
    "back easy",
    "drill six-kick switch",
    "drill kick on side",
    "kick",
    "pull steady",
    "fly build",
    "IM",
    "drill hands on hips",
    "scull",
]
LEADS = st.one_of(
    st.builds(
        "{} x {} {}".format,
        st.sampled_from(["8", "4 to 8", "10 / 9 / 8"]),
        st.sampled_from(["50", "100"]),
        st.sampled_from(WORK),
    ),
    st.builds("200 as 50 {} / 50 {}".format, st.sampled_from(WORK), st.sampled_from(WORK)),
    st.builds("200 (50 {} / 50 {})".format, st.sampled_from(WORK), st.sampled_from(WORK)),
    st.builds('8 x 50 odd {} / even {} "long, with ease"'.format, st.sampled_from(WORK), st.sampled_from(WORK)),
    st.builds("50 - 100 - 50 {}".format, st.sampled_from(WORK)),
    st.builds("8 x 100 {} / {} by 50".format, st.sampled_from(WORK), st.sampled_from(WORK)),
    st.builds("12 x 50 repeats 1-4 {} / 5-12 {}".format, st.sampled_from(WORK), st.sampled_from(WORK)),
    st.builds("16 x 50 in turn 3 {} / 1 {}".format, st.sampled_from(WORK), st.sampled_from(WORK)),
)
LEAVES = [
    "on 1:40",
    "on 4:00 / 4:20 / 4:45",
    "on base+0:15",
    "on 1:40 per 100",
    "rest 0:15",
    "rest A 0:15 / B 0:20",
    "on A 1:40 / B 1:50",
]
OTHER = [
    "with fins",
    "with snorkel and ankle band",
    "rate 32-40",
    "apart 0:10",
    "hold 1:22",
    "hold base+0:03",
    "descend 1-4",
]


@st.composite
def lines(draw) -> list[str]:
    """A set line that can be read, cut into its words."""
    details = [
        draw(st.sampled_from(LEAVES)),
        *draw(st.lists(st.sampled_from(OTHER), max_size=2, unique_by=lambda detail: detail.split()[0])),
    ]
    line = draw(LEADS)
    for detail in draw(st.permutations(details)):
        line += draw(st.sampled_from([", ", " "])) + detail
    return line.split(" ")


def spoilt(draw, word: str) -> str:
    """A word with a typing mistake.

    The mistake never turns a number into a time, as in `5h`, because that says something else.
    """
    place = draw(st.integers(0, len(word) - 1))
    slips = [
        word[:place] + word[place + 1 :],
        word[:place] + word[place] + word[place:],
        word[:place] + word[place : place + 2][::-1] + word[place + 2 :],
        word[:place] + draw(st.sampled_from("abdegiklnoprtuw7;")) + word[place + 1 :],
    ]
    if ":" in word:
        slips += [word.replace(":", "."), word[:-2] + "7" + word[-1:], word[:-1]]
    return draw(st.sampled_from(slips))


@settings(max_examples=1_500, deadline=None)
@given(st.data())
def test_a_line_has_no_more_mistakes_than_spoilt_words_and_those_beside_them(data):
    """A spoilt `x`, `by` or label can leave the word beside it without its sense: that is a mistake too."""
    words = data.draw(lines())
    assert told(" ".join(words)) == []
    places = [place for place, word in enumerate(words) if word.strip(',"()/')]
    chosen = data.draw(st.lists(st.sampled_from(places), min_size=1, max_size=2, unique=True))
    for place in chosen:
        words[place] = spoilt(data.draw, words[place]) or "q"
        assume(not re.search(r"(?:^|\d)r(?:\d|$)|^;$", words[place]))  # `12 r 50`, `12 ; 50`: another mistake beside it
    wrong = told(" ".join(words))
    assert len(wrong) <= 2 * len(chosen), (" ".join(words), wrong)
