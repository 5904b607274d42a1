"""What a job file holds, asked in the order in which one walks through a house.

The questions are in ``templates/questions.yaml``; what each key takes, and under which other
answers it has a meaning, is in the table of keys of the job file.
"""

from __future__ import annotations

from packet.asking.answers import Answers
from packet.asking.dialog import Dialog
from packet.asking.questions import Group, Question, Station, are_numbered, stations
from packet.asking.walk import Asked, walk
from packet.asking.writing import job_text

__all__ = [
    "Answers",
    "Asked",
    "Dialog",
    "Group",
    "Question",
    "Station",
    "are_numbered",
    "job_text",
    "stations",
    "walk",
]
