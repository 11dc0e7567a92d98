"""
One thread writes for all: acts that wait are put on the disk together, with one sync.

Each is answered only when it is there. An act that goes wrong takes no other with it; an error
of the disk takes all that were written with it, and then nothing more is written.
"""

from collections.abc import Iterator
from concurrent.futures import Future
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from queue import Empty, Full, Queue
from threading import Thread

from thawline.adapters.db.ledger import DbLedger, ask_again
from thawline.adapters.db.turn import Outcome
from thawline.adapters.db.view import DbView
from thawline.base.errors import BusyError, IndeterminateError
from thawline.ledger.entries import Act, Decide, Receipt

WAITING_AT_MOST = 512
TOGETHER_AT_MOST = 64


@dataclass(frozen=True, slots=True)
class _Asked:
    act: Act
    decide: Decide
    outcome: "Future[Outcome]" = field(default_factory=Future)


class GroupWriter:
    """A ledger whose acts are written in groups; a port like the ledger itself."""

    def __init__(self, ledger: DbLedger, waiting_at_most: int = WAITING_AT_MOST) -> None:
        self._ledger = ledger
        self._asked: Queue[_Asked | None] = Queue(waiting_at_most)
        self._thread = Thread(target=self._write, name="ledger writer", daemon=True)
        self._thread.start()

    def view(self) -> AbstractContextManager[DbView]:
        """Return a consistent view; it sees nothing written later."""
        return self._ledger.view()

    def record(self, act: Act, decide: Decide) -> Receipt:
        """Decide and write; raises as the ledger does, and BusyError when too many wait."""
        if not self._thread.is_alive():
            raise BusyError("the writer has ended; nothing was recorded")
        asked = _Asked(act, decide)
        try:
            self._asked.put_nowait(asked)
        except Full as error:
            raise BusyError(
                f"{self._asked.maxsize} acts wait to be written; nothing was recorded",
                advice="repeat the command in a moment",
            ) from error
        outcome = asked.outcome.result()
        if isinstance(outcome, IndeterminateError):
            raise IndeterminateError(outcome.says, advice=ask_again(act)) from outcome
        if isinstance(outcome, Exception):
            raise outcome
        return outcome

    def close(self) -> None:
        """Write what still waits, then end."""
        self._asked.put(None)
        self._thread.join()

    def _write(self) -> None:
        while group := self._group():
            for asked, outcome in zip(group, self._outcomes(group), strict=True):
                asked.outcome.set_result(outcome)

    def _outcomes(self, group: list[_Asked]) -> list[Outcome]:
        try:
            return self._ledger.record_all([(asked.act, asked.decide) for asked in group])
        except Exception as error:  # noqa: BLE001 - raised again to each who asked
            return [error] * len(group)

    def _group(self) -> list[_Asked]:
        """Return what waits, at least one act; nothing once the writer is to end."""
        first = self._asked.get()
        return [] if first is None else [first, *self._more()]

    def _more(self) -> Iterator[_Asked]:
        for _ in range(TOGETHER_AT_MOST - 1):
            try:
                asked = self._asked.get_nowait()
            except Empty:
                return
            if asked is None:
                self._asked.put(None)
                return
            yield asked
