"""Rows of inspection and the QuerySets that read them; one concept a file, no rules."""

from inspection.models.inspections import Finding, Inspection, Method, Reading
from inspection.models.inspectors import Inspector
from inspection.models.jobs import Job, JobPiece
from inspection.models.mappings import RememberedReport
from inspection.models.policies import Follows, IntervalRule, Policy
from inspection.models.reports import AcceptedReport

__all__ = [
    "AcceptedReport",
    "Finding",
    "Follows",
    "Inspection",
    "Inspector",
    "IntervalRule",
    "Job",
    "JobPiece",
    "Method",
    "Policy",
    "Reading",
    "RememberedReport",
]
