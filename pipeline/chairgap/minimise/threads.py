"""One thread for the native libraries: the matrices are small here, so that more only cost time, and sums
would depend on their number."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock

from threadpoolctl import threadpool_limits

_lock = Lock()
_limits: list[threadpool_limits] = []
_inside = 0


@contextmanager
def one_native_thread() -> Iterator[None]:
    """Holds for the whole process, and for the libraries that are there already. Where several threads of
    ours are inside, the last to leave gives back what was before the first came."""
    global _inside
    with _lock:
        _limits.append(threadpool_limits(1))
        _inside += 1
    try:
        yield
    finally:
        with _lock:
            _inside -= 1
            while _limits and not _inside:
                _limits.pop().restore_original_limits()
