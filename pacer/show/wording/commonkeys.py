"""The keys that pages and sheets share, and how anything in front is left, by the same rule everywhere. No Kivy.

A page, a list, one entry of a list, a sheet or a notice is left by one word, `CLOSE`, always in the same corner: lower
left on a page, upper right on anything beside the running session. It goes one step back and loses nothing, as every
change is saved when it is made.

The on-screen keyboard is put away by `KEYS_AWAY`; Close leaves the page while it is up, too.

A question is answered by what the answer does: Rename, Save, Close the app. The answer that changes nothing is
`CANCEL`.
"""

from pacer.language import tr

CLOSE = tr("Close")  #: one step back
KEYBOARD = tr("Keyboard")
KEYS_AWAY = tr("Hide keyboard")  #: keeps what is written, to look at it
CANCEL = tr("Cancel")  #: the answer that changes nothing
SAVE, UNDO, DELETE = tr("Save"), tr("Undo"), tr("Delete")
