"""What the page makes of cards at an instant, in Python: looked up, and counted."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable

from pacer.show.wording.timereadings import clock_reading, count_down, count_up

Parts = dict[str, tuple[list[int], list[dict]]]


def parts_of(cards: Iterable[dict]) -> Parts:
    """The instants and the cards of each part, ascending."""
    parts: Parts = {}
    for card in cards:
        instants, of_part = parts.setdefault(card["part"], ([], []))
        instants.append(card["at_ms"])
        of_part.append(card)
    assert all(instants == sorted(instants) for instants, _ in parts.values())
    return parts


def unpacked(packed):
    """As `cards.js` does it."""
    made = []
    for shape, *row in packed["cards"]:
        keys = packed["shapes"][shape]
        made.append({key: v if key.endswith("_ms") else packed["texts"][v] for key, v in zip(keys, row, strict=True)})
    return made


def in_force(cards: Iterable[dict] | Parts, at_ms: int) -> dict[str, dict]:
    """The card of each part at an instant."""
    parts = cards if isinstance(cards, dict) else parts_of(cards)
    places = {part: bisect_right(instants, at_ms) - 1 for part, (instants, _) in parts.items()}
    return {part: parts[part][1][place] for part, place in places.items() if place >= 0}


def down(to_ms: int | None, at_ms: int) -> str:
    """A count-down to an instant; "" for none."""
    return "" if to_ms is None else count_down(-((at_ms - to_ms) // 1000))


def up(since_ms: int | None, at_ms: int) -> str:
    """A count-up from an instant; "" for none."""
    return "" if since_ms is None else count_up((at_ms - since_ms) // 1000)


def lane_words(card: dict, at_ms: int) -> dict:
    """Every word of a lane's own view."""
    hero = card["hero"]
    if card["hero_ms"] is not None:
        hero = down(card["hero_ms"], at_ms) if card["kind"] == "down" else up(card["hero_ms"], at_ms)
    label = card["hero_label"]
    if card["label_ms"] is not None:
        label = f"{label} {down(card['label_ms'], at_ms)}"
    words = {key: card[key] for key in ("lane", "state", "word", "shape", "kind", "inverted", "leave_label", "leave",
                                        "later", "in_all", "present", "doing", "lit", "cue", "tight", "foot",
                                        "after")}  # fmt: skip
    return words | {"hero": hero, "hero_label": label, "swum": up(card["sent_ms"], at_ms)}


def place(card: dict, at_ms: int) -> float:
    """Where a swimmer is."""
    since_ms = at_ms - (card["left_ms"] or 0)
    piece = ([piece for piece in card["way"] if piece[0] <= since_ms] or card["way"])[-1]
    return piece[1] if piece[1] < 0 else (piece[1] + (since_ms - piece[0]) * piece[2] / 1e6) % 2


def clock(card: dict, at_ms: int) -> str:
    """The pace clock's reading."""
    return clock_reading(at_ms, card["phase_ms"])
