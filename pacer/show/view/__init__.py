"""What a view shows at an instant, as values.

**Decided**

- A band gives up what it says in one order (`pacer/show/view/bandpriority.py`): the drill's name last, because that is
  what swimmers ask for. Words and swimmers have places of their own; a time or what can be undone is beside
  the words, not on them, in the lane that it is about; while anybody of the lane is due, a touch there is a time
  anyway. Where a press would lead is said by `destinationtext.py`, once where it is the same for all lanes. Swim
  with no stroke is said as the page says it (`Work.as_swim`, which equality and the written form leave out).
- What glides is drawn four times a second (`GLIDE_MS`), everything else when it changes. Kivy draws when its canvas
  asks; the dial's hand asked for every frame.
- Who is out in the pool when a session is ended swims on to the home wall and is told to stop there, as after any other
  press; the lane is done when the last is home. Nobody jumps.
- Who is taken back to a lane while they swim in another is not drawn until the lane leaves next.
"""
