"""Test swims, what they say of a base pace, and lanes proposed by it."""
