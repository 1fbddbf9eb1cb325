"""The written page: its values, reading and writing."""

from pacer.plan.limits import labels_of
from pacer.plan.notation.reader import plan_from_bytes, pool_from_text, read_line, read_plan
from pacer.plan.problem import Problem, Unreadable
from pacer.plan.text.canonical import write_line, write_plan

__all__ = [
    "Problem",
    "Unreadable",
    "labels_of",
    "plan_from_bytes",
    "pool_from_text",
    "read_line",
    "read_plan",
    "write_line",
    "write_plan",
]
