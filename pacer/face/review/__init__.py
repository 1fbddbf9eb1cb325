"""The pages about what was swum: the coach's own, with names."""
