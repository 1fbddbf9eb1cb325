"""Plans in one folder, and the text that a new plan starts with.

**Decided**

- The shelf shows plans with the most recently written, changed or swum first. Demos that nobody has changed come last,
  in the order of their series.
"""
