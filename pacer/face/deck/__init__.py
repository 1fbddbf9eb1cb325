"""On deck: what a coach does in the middle of a session, beside the view that goes on.

A leaf (`leaf.Leaf`) is what stands on the sheet (`sheet.Sheet`): the changes that can be made, a number pad,
the times that were taken. Leaves know no Kivy and no rule of the session: they offer journal entries.
"""
