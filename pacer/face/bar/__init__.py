"""The bar of keys below a running session: STOP ALL, the session's keys, what a press will do, the splash lock."""
