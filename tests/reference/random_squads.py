"""Random squads as TOML and as values: 1 to 6 lanes of 1 to 6 swimmers, with everything a squad can have."""

from __future__ import annotations

import random

from pacer.plan.lanesaway import plan_for_lanes
from pacer.plan.model import Plan
from pacer.plan.planlabels import labels_of
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import Squad
from tests.reference.random_plans import GROUPS

FACTORS = (
    "swim", "kick", "pull", "drill", "scull", "back", "fly", "IM", "choice", "free", "easy", "steady", "threshold",
    "fast", "sprint", "build", "fins", "fins kick", "paddles", "snorkel", "kick back", "kick free",
    "drill back six-kick switch",
    "drill back", "drill six-kick switch", "drill fist", "scull front", "paddles pull", "fins drill",
)  # fmt: skip


def random_squad(rng: random.Random, *, labelled: bool = False) -> Squad:
    """See `random_squad_toml`."""
    return read_squad(random_squad_toml(rng, labelled=labelled))


def meeting(plan: Plan, squad: Squad) -> tuple[Plan, Squad]:
    """The squad, and the plan without lines for groups that the squad lacks, which would stop it."""
    borne = {lane.group for lane in squad.lanes}
    return plan_for_lanes(plan, range(len(squad.lanes)), set(labels_of(plan)) - borne), squad


def random_squad_toml(rng: random.Random, *, labelled: bool = False) -> str:
    """With `labelled` every lane is in a group, as labelled plans need; otherwise only some are."""
    rows = []
    if rng.random() < 0.3:
        rows.append('name = "Thursday squad"')
    if rng.random() < 0.3:
        rows.append(f'spacing = "0:{rng.choice(("03", "07", "10", "02.5"))}"')
    numbers = rng.sample(range(1, 10), 6) if rng.random() < 0.2 else None
    for place in range(rng.randint(1, 6)):
        rows += ["", "[[lane]]"]
        if numbers:
            rows.append(f"number = {numbers[place]}")
        if labelled or rng.random() < 0.5:
            rows.append(f'group = "{rng.choice(GROUPS)}"')
        if rng.random() < 0.2:
            rows.append(f'spacing = "{rng.choice(("0:10", "0:04", "0:01", "0:08.4"))}"')
        if rng.random() < 0.3:
            rows.append(f"rounds = {rng.randint(1, 4)}")
        swimmers = rng.choice((1, 1, 2, 2, 3, 4, 6))
        unit = rng.choice(("", "", "", "", " /100 yd", " /100 m"))
        own = rng.random() < 0.5
        if not own or rng.random() < 0.5:
            rows.append(f'base = "{pace(rng)}{unit}"')
        if not own and swimmers > 1:
            rows.append(f"swimmers = {swimmers}")
        if rng.random() < 0.2:
            rows += ["", "  [lane.factors]", *factors(rng)]
        for number in range(swimmers if own else 0):
            rows += ["", "  [[lane.swimmer]]"]
            if rng.random() < 0.2:
                rows.append(f'  name = "Swimmer {number}"')
            rows.append(f'  base = "{pace(rng)}{unit}"')
            if rng.random() < 0.3:
                rows += ["  [lane.swimmer.factors]", *factors(rng)]
    if rng.random() < 0.4:
        rows += ["", "[factors]", *factors(rng)]
    return "\n".join(rows) + "\n"


def pace(rng: random.Random) -> str:
    seconds = rng.randint(65, 150)
    tail = rng.choice(("", "", "", ".5", ".37"))
    return f"{seconds // 60}:{seconds % 60:02d}{tail}"


def factors(rng: random.Random) -> list[str]:
    return [f'"{name}" = {rng.randint(70, 190) / 100}' for name in rng.sample(FACTORS, rng.randint(1, 8))]
