"""Lanes, swimmers, base paces, time factors."""
