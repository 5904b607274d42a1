"""The job file: read as text with places, checked against one table, handed on frozen."""

from __future__ import annotations

from pathlib import Path

from packet.jobfile.check import check
from packet.jobfile.faults import JobFaults
from packet.jobfile.model import Given, Job, Unknown
from packet.jobfile.read import read

__all__ = ["Given", "Job", "JobFaults", "Unknown", "load_job"]


def load_job(path: Path | str) -> Job:
    """Read one job file.

    Parameters
    ----------
    path : path
        The job file, named in messages as it is named here.

    Returns
    -------
    Job
        Frozen; what was left out is None, what is not known is an `Unknown`.

    Raises
    ------
    JobFaults
        With every fault of the first phase that found one: the text as such, or its
        keys and values. Its text is the report for the reader.
    """
    return check(read(path))
