"""The shelf of plans, one plan of it, and the first start.

**Decided**

- The shelf stands as a coach looks for plans (`show/editing/shelfgroups.py`): this week's, each series in its order,
  the rest; demos that nobody has touched are not this week's. A letter that is typed begins a search.
- The first start asks for the coach's own lanes (`firstpage.py`): a few answers make a squad, then the first plan is
  written; the demo session is one touch away. Refused: beginning with the demo, from which one's own was far.
"""
