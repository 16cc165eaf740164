"""What a reader's child process may use. Imported in the child alone."""

from __future__ import annotations

import contextlib


def limit_memory(most_bytes: int, *, most_written_bytes: int) -> None:
    """Bounds on memory and on what is written; no core is dumped."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (most_bytes, most_bytes))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_FSIZE, (most_written_bytes, most_written_bytes))


def limit_time(seconds: float) -> None:
    """So that a process whose parent is gone does not spin for ever."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        used = resource.getrusage(resource.RUSAGE_SELF)
        soft = int(used.ru_utime + used.ru_stime + 2.0 * seconds) + 2
        resource.setrlimit(resource.RLIMIT_CPU, (soft, resource.RLIM_INFINITY))
