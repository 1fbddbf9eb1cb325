"""The pages of what was swum: the coach's own, with names."""
