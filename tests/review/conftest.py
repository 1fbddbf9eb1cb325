"""A store with two sessions, as the log's own test makes it."""

from tests.review.test_sessionlog import store

__all__ = ["store"]
