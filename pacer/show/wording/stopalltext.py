"""STOP ALL in words, wherever it can be pressed. No Kivy."""

from pacer.language import tr

STOP_ALL = tr("STOP ALL")
STOP_ALL_ROWS = tr("STOP\nALL")  #: on the session's bar
#: What is said if it was not pressed long enough, the longest way first.
HOW_TO_STOP_ALL = (
    tr("In an emergency: hold down STOP ALL for half a second"),
    tr("hold down STOP ALL for half a second"),
    tr("hold down STOP ALL"),
)
