"""How what is in front is left, everywhere by the same rule. No Kivy.

What is in front (a page, a list, one thing of a list, a sheet, a notice) is left by one word, `CLOSE`, always in the
same corner: a page's lower left, of what stands beside the running session the upper right. It goes one step back and
loses nothing, as every change is kept when it is made.

The keys to write with are no place: they are put away by `KEYS_AWAY`, and Close leaves the page meanwhile too.

A question is answered by what the answer does: Rename, Take it, Close the app. The answer after which all is as it was
is `UNCHANGED`, or says what goes on: Stay, Go on.
"""

CLOSE = "Close"  #: one step back
KEYS_AWAY = "Hide keys"  #: what is written stands, and is looked at
UNCHANGED = "Cancel"  #: a question's answer after which all is as it was
