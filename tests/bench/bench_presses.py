"""Random presses: compare the engine with a session run second by second, and print the sequences that differ.

    python tests/bench/bench_presses.py [SEQUENCES [FIRST SEED]]

The presses are those of `tests/session/running/test_statemachine.py`, drawn at random: 8, 15 or 25 at a time, half of
the waits under ten seconds. A sequence that differs is shortened as far as possible, and printed as a case for it.
"""

from __future__ import annotations

import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.session.running.test_statemachine import ARGUMENTS, PUT_IN, Deck

LINES = ((0, 1), (0, 2), (1, 1), (1, 2), (1, 3), (2, 1), (2, 2))
KINDS = (
    "time_passes",
    "time_passes",
    "pause",
    "stop_all",
    "resume",
    "resume_all",
    "late",
    "miss",
    "put_in",
    "leave_out",
    "take_back",
    "undo",
    "undo",
)
Press = tuple


def press(rng: random.Random) -> Press:
    """One press, or a wait."""
    kind, lanes = rng.choice(KINDS), sorted(rng.sample(range(3), rng.randint(1, 3)))
    given = {
        "time_passes": (rng.randint(1, 9) if rng.random() < 0.5 else rng.randint(1, 150),),
        "pause": (lanes,),
        "resume": (lanes, rng.choice((0, 0, 5, 30))),
        "late": (lanes[0],),
        "miss": (lanes[0],),
        "put_in": (lanes, rng.choice(sorted(PUT_IN))),
        "leave_out": (lanes, rng.choice(LINES)),
    }
    return (kind, *given.get(kind, ()))


def differs(presses: list[Press]) -> str:
    """Where the two first differ; "" if they agree to the end."""
    deck = Deck()
    deck.begin()
    try:
        for name, *given in presses:
            getattr(deck, name)(**dict(zip(ARGUMENTS.get(name, ()), given, strict=True)))
            deck.the_same_send_offs()
            deck.nobody_leaves_while_paused()
            deck.lanes_rejoin_together()
        deck.teardown()
    except Exception as error:  # noqa: BLE001 - any exception is a difference
        return f"{type(error).__name__}: {error}".splitlines()[0]
    return ""


def shortest(presses: list[Press]) -> list[Press]:
    """A shorter sequence with the same difference: leave out presses, lanes and seconds as long as it stays."""
    going = True
    while going:
        going = False
        for at in reversed(range(len(presses))):
            for each in _lesser(presses[at]):
                tried = [*presses[:at], *each, *presses[at + 1 :]]
                if differs(tried):
                    presses, going = tried, True
                    break
    return presses


def _lesser(press: Press) -> list[list[Press]]:
    """Simpler presses to try in place of a press."""
    name, *given = press
    made: list[list[Press]] = [[]]
    if name == "time_passes" and given[0] > 1:
        made += [[(name, seconds)] for seconds in sorted({1, given[0] // 2, given[0] - 1})]
    if given and isinstance(given[0], list) and len(given[0]) > 1:
        made += [[(name, [each for each in given[0] if each != lane], *given[1:])] for lane in given[0]]
    return made


def main() -> None:
    """Search and print."""
    given = [int(each) for each in sys.argv[1:]]
    count, first = given[0] if given else 1000, given[1] if len(given) > 1 else 0
    begun, found = time.monotonic(), 0
    for seed in range(first, first + count):
        rng = random.Random(seed)
        presses = [press(rng) for _ in range(rng.choice((8, 15, 25)))]
        if differs(presses):
            found += 1
            presses = shortest(presses)
            print(f"{seed}: {differs(presses)}", *(f"        {each!r}," for each in presses), sep="\n", flush=True)
    print(f"{count} sequences, {found} with a difference, {time.monotonic() - begun:.0f} s")


if __name__ == "__main__":
    main()
