"""What a screen may send: exactly the protocol, and nothing else."""

from __future__ import annotations

import json
import random

import pytest

from pacer.screens.fromscreens import (
    Act,
    BadMessage,
    ClockAsked,
    Join,
    Pick,
    SignedAct,
    act_of,
    message_of,
)

GOOD = {
    "join": (
        {"v": 1, "device": "a" * 16, "session": "b" * 32, "code": "012345"},
        Join(1, "a" * 16, "b" * 32, "012345"),
    ),
    "pick": ({"lane": 2, "view": "pool"}, Pick(2, "pool")),
    "time": ({"t1_ms": 1.5, "bound_ms": None}, ClockAsked(1.5)),
    "act": ({"body": "{}", "mac": "c" * 64}, SignedAct("{}", "c" * 64)),
}
BAD = [
    "", "7", "[]", "null", '{"type": "pick"}', '{"type": ["pick"]}', '{"type": "joined"}', "{" * 5_000,
    '{"type": "pick", "lane": 1, "view": "lane", "more": 1}', '{"type": "pick", "lane": true, "view": "lane"}',
    '{"type": "pick", "lane": -1, "view": "lane"}', '{"type": "pick", "lane": 1.0, "view": "lane"}',
    '{"type": "pick", "lane": 1, "view": "Lane"}', '{"type": "time", "t1_ms": NaN}',
    '{"type": "time", "t1_ms": 1e400}', '{"type": "time", "t1_ms": "1"}', '{"type": "time", "t1_ms": 1e99}',
    '{"type": "join", "v": 1, "device": "A", "session": "b"}', '{"type": "act", "body": "", "mac": ""}',
    '{"type": "time", "t1_ms": 1%s}' % ("0" * 400), '{"type": "time", "t1_ms": -Infinity}',
    '{"type": "act", "body": "\\ud800", "mac": "%s"}' % ("c" * 64),
    json.dumps({"type": "act", "body": "x" * 5_000, "mac": "c" * 64}), '{"type": "pick", "lane": 1, "view": []}',
]  # fmt: skip
ACT = {"n": 3, "kind": "touch", "at_ms": 70_000, "bound_ms": 12, "lane": 1}
BAD_ACTS = [
    {"n": 0}, {"n": True}, {"kind": "end"}, {"at_ms": 1.5}, {"bound_ms": -1}, {"lane": None}, {"lane": 100},
    {"more": 1}, {"marks_ms": [1, 2]}, {"kind": "rate"}, {"kind": "rate", "marks_ms": [2, 1]},
    {"kind": "rate", "marks_ms": [1]}, {"kind": "rate", "marks_ms": [*range(65)]}, {"kind": "rate", "marks_ms": "12"},
    {"kind": "rate", "marks_ms": [1, 2], "cycles": 0},
]  # fmt: skip


@pytest.mark.parametrize("kind", GOOD)
def test_each_message_is_read(kind):
    told, wanted = GOOD[kind]
    assert message_of(json.dumps({"type": kind, **told})) == wanted


@pytest.mark.parametrize("text", BAD)
def test_nothing_else_is_a_message(text):
    with pytest.raises(BadMessage):
        message_of(text)


def test_bytes_are_no_message():
    with pytest.raises(BadMessage):
        message_of(b'{"type": "pick", "lane": 1, "view": "lane"}')


def test_acts_are_read():
    assert act_of(json.dumps(ACT)) == Act(3, "touch", 70_000, 12, 1)
    rate = {**ACT, "kind": "rate", "marks_ms": [1, 1_500], "cycles": 1}
    assert act_of(json.dumps(rate)) == Act(3, "rate", 70_000, 12, 1, (1, 1_500))
    assert act_of('{"n": 1, "kind": "stop all", "at_ms": 5, "bound_ms": 0}').lane is None


@pytest.mark.parametrize("change", BAD_ACTS, ids=str)
def test_nothing_else_is_an_act(change):
    told = {name: value for name, value in {**ACT, **change}.items() if value is not None}
    with pytest.raises(BadMessage):
        act_of(json.dumps(told))


def test_whatever_comes_is_read_or_refused():
    rng = random.Random(3)
    good = [json.dumps({"type": kind, **told}) for kind, (told, _) in GOOD.items()]
    refused = 0
    for _ in range(5_000):
        letters = list(rng.choice(good))
        for _ in range(rng.randint(1, 4)):
            letters[rng.randrange(len(letters))] = rng.choice('{}[]",:0a9 \\\u0000é')
        try:
            message_of("".join(letters))
        except BadMessage:
            refused += 1
    assert refused > 2_500
