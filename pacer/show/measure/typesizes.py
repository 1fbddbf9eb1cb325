"""The sizes of type on the pages around a session, in character heights of the page (its text has 1). No Kivy."""

from __future__ import annotations

SMALL = 0.8  #: beside a figure
TITLE = 1.3  #: what a page, or a part of it, is about
FIGURE = 1.9  #: a number that is being typed
