"""Processes to print in: each begins with the renderer loaded, and keeps nothing of a job."""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import threading
from concurrent.futures import ProcessPoolExecutor
from multiprocessing.connection import wait

PRELOADED = ("packet.printing", "packet.render", "packet.sheets.sets")


def cores() -> int:
    """Return how many processes can run at the same time."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # macOS
        return os.cpu_count() or 1


def pool(workers: int) -> ProcessPoolExecutor:
    """Return an executor of `workers` processes.

    They are forked from one server that has loaded the renderer and runs no thread.
    """
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(list(PRELOADED))
    return ProcessPoolExecutor(workers, context, initializer=_begin)


def _begin() -> None:
    """Make a new process ready: it leaves when the one that asked for it is gone."""
    gc.freeze()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever asked for it is stopped, and tells it
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_leave_after, args=(parent.sentinel,), daemon=True).start()


def _leave_after(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)
