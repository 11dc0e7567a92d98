"""Ledger, people and readings in memory, for use cases; they pass the ports' own suites."""

# ruff: noqa: D102 - the ports say what each method does

from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from uuid import UUID

from thawline.adapters.db.identity import plain_letters, searchable
from thawline.app.booking_rows import identity_of
from thawline.app.ports import Name
from thawline.base.errors import RecordError
from thawline.ledger.chain import NOTHING
from thawline.ledger.corrections import Correction, check_correction, counted, marked, standing
from thawline.ledger.events import Corrected
from thawline.ledger.folding import fold_all, take_in
from thawline.ledger.receipts import (
    answer_of,
    decided,
    fingerprint,
    given,
    receipt_bytes,
    same_act,
    timed,
)
from thawline.ledger.stored import entry_of, header_of, next_row
from thawline.person.likeness import may_be
from thawline.store.pieces import digest_of, packed, unpacked

SITE = UUID("01890a5d-ac96-774b-bcce-b302099a8057")


class FakeLedger:
    """A ledger in memory; entries go through the same bytes as on disk."""

    def __init__(self, folds=(), site=SITE):
        self.folds = tuple(folds)
        self.site = site
        self.rows = []
        self.kept = {}
        self.folded = fold_all(self.folds, (), {})

    @contextmanager
    def view(self):
        yield FakeView(self, len(self.rows))

    def record(self, act, decide):
        if act.id in self.kept:
            return self._again(act)
        asked = fingerprint(act)
        act, decision = decided(act, decide, FakeView(self, len(self.rows)))
        view = FakeView(self, len(self.rows))
        if isinstance(decision.event, Corrected):
            target = UUID(decision.event.target)
            check_correction(view.entry(target), decision.event)
        act, decision = timed(act, decision, view.last and view.last.recorded_at)
        row = next_row(self.site, view.head, act, decision, asked)
        self.rows.append(row)
        self.kept[act.id] = (asked, receipt_bytes(row, header_of(row)), row.seq)
        self._fold(entry_of(row))
        return self._answered(act.id, again=False)

    def _fold(self, entry):
        if isinstance(entry.event, Corrected):
            view = FakeView(self, len(self.rows))
            self.folded = fold_all(self.folds, self.rows, view.standing)
        for fold in self.folds:
            take_in(fold, self.folded[fold.name], entry, entry)

    def _again(self, act):
        same_act(act, self.kept[act.id][0])
        return self._answered(act.id, again=True)

    def _answered(self, entry_id, *, again):
        _, kept, seq = self.kept[entry_id]
        return given(answer_of(kept, entry_of(self.rows[seq - 1]).event, again=again))


class FakeView:
    """What `FakeLedger` held at one moment."""

    def __init__(self, ledger, upto):
        self._ledger = ledger
        self._rows = ledger.rows[:upto]
        states = {name: dict(folded.states) for name, folded in ledger.folded.items()}
        self._states = states

    @property
    def head(self):
        return self._rows[-1].head if self._rows else NOTHING

    @property
    def last(self):
        return entry_of(self._rows[-1]) if self._rows else None

    @property
    def standing(self):
        entries = [entry_of(row) for row in self._rows]
        numbers = {str(entry.id): entry.seq for entry in entries}
        made = [Correction(e.seq, e.event) for e in entries if isinstance(e.event, Corrected)]
        return standing(made, numbers.get)

    def one(self, fold, key):
        return self._states[fold.name].get(key)

    def all(self, fold) -> Iterator:
        yield from sorted(self._states[fold.name].items())

    def entry(self, entry_id):
        found = [row for row in self._rows if row.id == entry_id.bytes]
        return marked(entry_of(found[0]), self.standing) if found else None

    def history(self, fold, key):
        standing_now = self.standing
        written = [marked(entry_of(row), standing_now) for row in self._rows]
        return [entry for entry in written if self._touches(fold, key, entry, standing_now)]

    def entries(self, *, since=0, most=None):
        after = self._rows[since:] if most is None else self._rows[since : since + most]
        standing_now = self.standing
        yield from (marked(entry_of(row), standing_now) for row in after)

    def counting(self):
        standing_now = self.standing
        every = (counted(entry_of(row), standing_now) for row in self._rows)
        yield from (entry for entry in every if entry is not None)

    def _touches(self, fold, key, written, standing_now):
        counts_as = counted(written, standing_now)
        keys = fold.keys(written.event) if not isinstance(written.event, Corrected) else ()
        return key in keys or (counts_as is not None and key in fold.keys(counts_as.event))


class FakeReadings:
    """Readings in memory, and the files they came from."""

    def __init__(self):
        self.pieces: dict[str, bytes] = {}
        self.files: dict[str, bytes] = {}

    def keep(self, found, file_sha256, file):
        held = b"".join(file)
        if sha256(held).hexdigest() != file_sha256:
            raise RecordError("the file changed while it was read; nothing was recorded")
        digest = digest_of(packed(found))
        self.pieces[digest], self.files[file_sha256] = packed(found), held
        return digest

    def get(self, digest):
        if digest not in self.pieces:
            raise RecordError(f"the readings {digest[:16]} are not there")
        return unpacked(self.pieces[digest])

    def faults(self, digest, file_sha256):
        if digest not in self.pieces:
            yield f"the readings {digest[:16]} are not there"
        if file_sha256 not in self.files:
            yield f"the file {file_sha256[:16]} as it came is not there"


class FakePeople:
    """Names in memory."""

    def __init__(self):
        self.names: dict[str, Name] = {}
        self.cards: dict[str, dict[str, str]] = {}

    def put(self, person, name):
        self.names[person] = name

    def change(self, person, changed):
        if person in self.names:
            self.names[person] = changed(self.names[person])

    def add_all(self, names):
        taken = {person: self.names[person] for person in names if person in self.names}
        if not taken:
            self.names.update(names)
        return taken

    def get(self, person):
        return self.names.get(person)

    def find(self, text, most=20):
        sought = searchable(text)
        everybody = sorted(self.names.items())
        return [(p, n) for p, n in everybody if sought in plain_letters(n.called)][:most]

    def may_be(self, said):
        everybody = sorted(self.names.items())
        return [(p, n) for p, n in everybody if may_be(said, identity_of(n))]

    def erase(self, person):
        return self.names.pop(person, None) is not None

    def keep_exposure(self, code, card):
        self.cards.setdefault(code, dict(card))

    def exposures(self):
        return [self.cards[code] for code in sorted(self.cards)]
