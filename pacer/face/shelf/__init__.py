"""The shelf of plans, one plan of it, and the first start.

**Decided**

- The shelf is sorted as a coach looks for plans (`plan/library/shelforder.py`): this week's, each series in its
  order, the rest; untouched demos are not this week's. Typing a letter begins a search.
- The first start asks for the coach's own lanes (`firstpage.py`): a few answers make a squad, then the first plan is
  written; the demo session is one tap away. Rejected: beginning with the demo, which left coaches far from a plan of
  their own.
"""
