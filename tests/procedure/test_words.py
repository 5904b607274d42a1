"""The language of the steps, panels and gates, held over the whole library.

Sources: one action a step, imperative first, at most 20 words, condition before action:
ASD-STE100 Simplified Technical English, rules 5.1 to 5.5. Words without a measure are
banned: NUREG-0899 (1982). Signal words: definitions of ANSI Z535.4. Reading grade:
J. P. Kincaid and others, Derivation of New Readability Formulas, Naval Technical Training
Command, Research Branch Report 8-75 (1975).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import product
from typing import Any

import pytest

from packet.codebook import Book
from packet.procedure.writer import split_verb
from packet.rules.readings import Outlet, readings
from packet.words import glossary
from tests_procedure_names import AWAITED, PARTS  # type: ignore[import-not-found]

VERBS = frozenset(
    """Ask Bend Break_out Bring Call Cement Clear Clip Close Coat Coil Compare Count Cover Cut
    Dig Drill Drive End Fasten Fill Fit Fold Give Hang Hold Join Label Lay Leave Lock Look Mark
    Measure Mount Open Post Press Pull Push Put_on Read Remove Route Run Seal Secure Set Show
    Slide Spread Start Strip Subtract Take_off Tape Tell Test Tighten Torque Turn_off Turn_on
    Unplug Wrap Write""".replace("_", " ").split()
)
