"""The four sizes of type on the pages around a session, in character heights of the page. No Kivy."""

from __future__ import annotations

SMALL = 0.8  #: beside a figure
BODY = 1.0
TITLE = 1.3  #: what a page, or a part of it, is about
FIGURE = 1.9  #: a number that is being typed
