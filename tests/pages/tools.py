"""Programs that look at finished pages from outside; `bash .ci/setup --dev` installs them."""

from __future__ import annotations

import os
import shutil
import subprocess

import pytest


def run(tool: str, *arguments: str) -> str:
    """Return what a program prints; skip the test where it is missing, fail it in CI."""
    if shutil.which(tool) is None:
        missing = f"{tool} is not installed; run: bash .ci/setup --dev"
        if os.environ.get("CI"):
            pytest.fail(missing)
        pytest.skip(missing)
    done = subprocess.run([tool, *arguments], check=True, capture_output=True)  # noqa: S603
    return done.stdout.decode("utf-8")
