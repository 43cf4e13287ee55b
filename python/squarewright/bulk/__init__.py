"""Many pictures planned in one go, with a journal to go on from."""

from squarewright.bulk.executors import Adapted
from squarewright.bulk.job import Outcome
from squarewright.bulk.run import plan_many
from squarewright.bulk.summary import Summary

__all__ = ["Adapted", "Outcome", "Summary", "plan_many"]
