"""The words of the app in the reader's language: `tr("Start")`, `tr("lane {number}", number=3)`.

The English text is the key. Translations are gettext catalogues, in `assets/languages/LANGUAGE/LC_MESSAGES/`; which
of them is used, the environment says (LANGUAGE, LC_ALL, LC_MESSAGES, LANG). It is chosen once, when this module is
imported, because many texts are constants that are translated when their module is imported.

What a plan says is not translated: the notation has one language.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from gettext import GNUTranslations, NullTranslations, translation

from pacer.shippedfiles import LANGUAGES

DOMAIN = "pacer"


def catalogue(folder: str) -> NullTranslations:
    """The catalogue in `folder` that the environment asks for; an empty one if there is none, or it can't be read."""
    try:
        return translation(DOMAIN, folder, fallback=True)
    except (OSError, ValueError, struct.error):
        return NullTranslations()


_catalogue = catalogue(str(LANGUAGES))
#: Of the catalogue, as browsers name languages; its texts are in English where it has none.
LANGUAGE = (_catalogue.info().get("language") or "en").replace("_", "-")
_is_english = not isinstance(_catalogue, GNUTranslations)


def tr(text: str, /, **values: object) -> str:
    """`text` in the reader's language, its fields filled in.

    >>> tr("Start"), tr("lane {number} leaves in {time}", number=3, time="0:12")
    ('Start', 'lane 3 leaves in 0:12')
    """
    if _is_english:
        return text.format(**values) if values else text
    return _filled(_catalogue.gettext(text), text, values)


def tr_n(one: str, many: str, n: int, /, **values: object) -> str:
    """What is said of one, or of many: `n` is a field too.

    >>> tr_n("{n} lane", "{n} lanes", 1), tr_n("{n:,} lane", "{n:,} lanes", 2_400)
    ('1 lane', '2,400 lanes')
    """
    return _filled(_catalogue.ngettext(one, many, n), one if n == 1 else many, {"n": n, **values})


def _filled(found: str, english: str, values: dict[str, object]) -> str:
    """A translation with its fields filled in; the English text if a field of the translation is wrong."""
    if not values:
        return found
    try:
        return found.format(**values)
    except (LookupError, ValueError, AttributeError):
        return english.format(**values)


def listed(parts: Sequence[str]) -> str:
    """Parts that all count.

    >>> listed(["Kit"]), listed(["Kit", "Rowan", "Ash"]), listed([])
    ('Kit', 'Kit, Rowan and Ash', '')
    """
    return tr("{these} and {last}", these=", ".join(parts[:-1]), last=parts[-1]) if len(parts) > 1 else "".join(parts)


def either(parts: Sequence[str]) -> str:
    """Parts of which one counts.

    >>> either(["on 1:40"]), either(["on 1:40", "rest 0:15"])
    ('on 1:40', 'on 1:40 or rest 0:15')
    """
    return tr("{these} or {last}", these=", ".join(parts[:-1]), last=parts[-1]) if len(parts) > 1 else "".join(parts)
