"""`packet schema`: what a job file may say, for an editor."""

from __future__ import annotations

import argparse
import json

from packet.commands import DONE

HELP = "print what a job file may say as a JSON Schema, for an editor that completes and explains"


def add(parser: argparse.ArgumentParser) -> None:
    """Add no arguments."""


def run(options: argparse.Namespace) -> int:  # noqa: ARG001 - it has none
    """Run the command and return its exit status."""
    from packet.jobfile.json_schema import json_schema

    print(json.dumps(json_schema(), indent=2, ensure_ascii=False))
    return DONE
