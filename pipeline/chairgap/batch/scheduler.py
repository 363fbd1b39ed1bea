"""What is known of a Dask scheduler, asked in a thread of its own: whether it answers, and its workers.

No call of the library is waited for without a bound: a server that is silent, or none of Dask's, would hold
some of them for ever.
"""

import asyncio
import logging
import re
import threading
import time
from collections.abc import Callable
from typing import Any, TypeVar

from chairgap.errors import EngineError, InputError, Place
from chairgap.text import excerpt, one_line

OPTION = Place(file="command line", field="--cluster")
_ANSWERS_WITHIN_S = 10.0
_ASKED_EVERY_S = 2.0
# Ends are said within half a minute: so long may a scheduler be silent, or have no worker.
_PATIENCE_S = 25.0
_LOOK_EVERY_S = 0.2
_ADDRESS = re.compile(r"((tcp|tls|wss?)://)?[^\s/]+:[0-9]{1,5}")
_LOGGERS = ("distributed", "distributed.client", "distributed.gc", "tornado.application", "asyncio")
KEPT = "What was computed before is kept: see to the cluster, then run the same command again."

Value = TypeVar("Value")


class Scheduler:
    """A scheduler by its address. Raises InputError when nothing of that kind with workers is there."""

    def __init__(self, address: str):
        if not _ADDRESS.fullmatch(address):
            message = (
                "This is no address of a Dask scheduler. Give one such as tcp://10.0.0.1:8786, or tls:// "
                "where it uses TLS."
            )
            raise InputError(f"'{excerpt(address)}': {message}", place=OPTION)
        for name in _LOGGERS:  # what they say is said here in our words
            logging.getLogger(name).setLevel(logging.CRITICAL + 1)
        self.address = address
        self.threads = 0
        self._began = self._answered = self._had_workers = time.monotonic()
        self._known, self._why = False, ""
        self._closing = threading.Event()
        asking = self._ask(address)
        threading.Thread(target=asyncio.run, args=(asking,), daemon=True).start()
        try:
            self._wait_for_workers()
        except BaseException:
            self._closing.set()
            raise

    def close(self) -> None:
        self._closing.set()

    def check(self) -> None:
        """Raises EngineError when the scheduler no longer answers, or has had no worker for too long."""
        now = time.monotonic()
        if now - self._answered > _PATIENCE_S:
            raise EngineError(f"The scheduler at '{self.address}' has not answered for half a minute. {KEPT}")
        if now - self._had_workers > _PATIENCE_S:
            raise EngineError(
                f"The scheduler at '{self.address}' has had no worker for half a minute. {KEPT}"
            )

    def _wait_for_workers(self) -> None:
        while not self.threads:
            waited_s = time.monotonic() - self._began
            if self._why and not self._known:
                raise InputError(self._why, place=OPTION)
            if not self._known and waited_s > _ANSWERS_WITHIN_S + _ASKED_EVERY_S:
                raise InputError(_silent(self.address), place=OPTION)
            if waited_s > _PATIENCE_S:
                message = (
                    f"The scheduler at '{self.address}' has no workers; they were waited for "
                    f"{_PATIENCE_S:.0f} s. Start some, and run the same command again."
                )
                raise InputError(message, place=OPTION)
            time.sleep(_LOOK_EVERY_S)

    async def _ask(self, address: str) -> None:
        """Ask for its identity now and then, each time with a bound."""
        while not self._closing.is_set():
            asked = asyncio.ensure_future(_identity(address))
            await asyncio.wait({asked}, timeout=_ANSWERS_WITHIN_S)
            if asked.done():
                self._note(asked)
            else:
                asked.cancel()
                self._why = self._why or _silent(self.address)
            await asyncio.sleep(_ASKED_EVERY_S)

    def _note(self, asked: asyncio.Future[dict[str, Any]]) -> None:
        error, now = asked.exception(), time.monotonic()
        if error is not None:
            self._why = self._why or _no_scheduler(self.address, error)
            return
        threads = int(asked.result()["total_threads"])
        self._answered, self._had_workers = now, now if threads else self._had_workers
        self._known, self.threads = True, threads


async def _identity(address: str) -> dict[str, Any]:
    from distributed import Security
    from distributed.core import rpc

    options = Security().get_connection_args("client")
    async with rpc(address, timeout=_ANSWERS_WITHIN_S / 2, connection_args=options) as scheduler:
        found = await scheduler.identity(n_workers=0)
    if not isinstance(found, dict) or found.get("type") != "Scheduler":
        raise TypeError("what answers is a part of a Dask cluster, but not its scheduler")
    return found


def _silent(address: str) -> str:
    return (
        f"What listens at '{address}' says nothing that a Dask scheduler would say, or nothing at all; it "
        f"was waited for {_ANSWERS_WITHIN_S:.0f} s. See that the address is the scheduler's, such as "
        "tcp://10.0.0.1:8786, or tls:// where it uses TLS."
    )


def _no_scheduler(address: str, error: BaseException) -> str:
    cause = error.__cause__ or error
    if "ssl" in repr((error, cause)).lower():
        return (
            f"The scheduler at '{address}' cannot be spoken to with TLS ({_words(cause)}). See to the "
            "certificates in Dask's settings (distributed.comm.tls), and to the address: tls:// where the "
            "scheduler uses TLS, tcp:// where it does not."
        )
    if type(error) is OSError:
        return (
            f"Nothing answers at '{address}' ({_words(cause)}). Start a Dask scheduler with its workers, and "
            "give its address, such as tcp://10.0.0.1:8786."
        )
    why = f" ({_words(error)})" if isinstance(error, ValueError) else ""
    return (
        f"What answers at '{address}' is no Dask scheduler{why}. Give the address of the scheduler, such as "
        "tcp://10.0.0.1:8786; the port of its dashboard, often 8787, is another one, and where it uses TLS "
        "the address begins with tls://."
    )


def _words(error: BaseException) -> str:
    text = excerpt(one_line(str(error)))
    return f"{type(error).__name__}: {text}" if text else type(error).__name__


def in_time(what: Callable[[], Value], seconds: float) -> Value:
    """What a function gives, in a thread of its own. Raises TimeoutError when it takes longer, and what it
    raises."""
    found: list[Value] = []
    raised: list[BaseException] = []

    def run() -> None:
        try:
            found.append(what())
        except BaseException as error:
            raised.append(error)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    thread.join(seconds)
    if raised:
        raise raised[0]
    if not found:
        raise TimeoutError
    return found[0]
