"""Plans in one folder, and what a new one begins as.

**Decided**

- On the shelf stands first what was written, changed or swum last; demos that nobody has touched stand last, in the
  order of their series.
"""
