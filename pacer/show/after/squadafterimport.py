"""Which squad is in use after an import, and how that is said to the coach. No Kivy."""

from __future__ import annotations

from collections.abc import Collection

from pacer.language import tr
from pacer.squad.register.squadfolder import SquadFolder, SquadsTrouble


def squad_after_import(squads: SquadFolder, before: Collection[str]) -> tuple[str, ...]:
    """What to say of the squad in use after squads came that were not there `before` (names); () if none came.

    An unchanged demo squad gives way to the one that came. If several came, the coach has to choose.
    """
    fresh = [card for card in squads.cards() if card.name not in before]
    if not fresh:
        return ()
    titles = {card.name: card.title for card in squads.cards()}
    was = squads.current
    demo = squads.as_it_came(was)
    if demo and len(fresh) == 1:
        try:
            squads.choose(fresh[0].name)
        except SquadsTrouble as trouble:
            return (str(trouble),)
        return (
            tr("Squad in use now: {title}, instead of the demo squad {was}.", title=fresh[0].title, was=titles[was]),
        )
    if demo:
        return (tr("Squad in use: still the demo squad {title}. Choose yours under Squad, Squads.", title=titles[was]),)
    return (tr("Squad in use: still {title}. You can choose another one under Squad, Squads.", title=titles[was]),)
