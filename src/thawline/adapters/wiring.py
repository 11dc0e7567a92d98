"""
Puts a site together: its ledger, rules, names, PINs, clock and ids. The only place that does.

Names are read only when somebody asks for one, so that a question about a vial opens neither
keys nor `identity.db`.
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property, partial
from pathlib import Path
from shutil import rmtree
from typing import TYPE_CHECKING, Any
from uuid import UUID

from thawline.account.fold import ACCOUNT
from thawline.adapters import sites
from thawline.adapters.db import schema
from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.kept_rules import KeptRules
from thawline.adapters.keys import identity_key, make_keys, site_key
from thawline.adapters.pins import FilePins
from thawline.adapters.randomness import mint_with
from thawline.adapters.rehearsal import RehearsalClock
from thawline.adapters.time import now as machine_now
from thawline.app.asked_on import AskedPeople
from thawline.app.ports import Mint, Now, People, ReadingStore, Site
from thawline.base.instants import zone_named
from thawline.ledger.entries import Fold
from thawline.ledger.site import SITE
from thawline.observe.card_fold import CARD
from thawline.observe.kit_fold import KIT
from thawline.observe.reaction_fold import NOTE
from thawline.observe.stay_fold import STAY
from thawline.person.away import AWAY
from thawline.person.desk import DESK
from thawline.person.fold import PERSON
from thawline.person.follow_up import FOLLOW_UP
from thawline.person.standby import STANDBY
from thawline.store.alert_fold import ALERT, NIGHT
from thawline.store.fold import LOGGER_FILE, UNIT
from thawline.thaw.signed import SIGNED_PLAN
from thawline.vial.carries import CARRY
from thawline.vial.folds import CARTON, LOT, VIAL
from thawline.vial.syringes import SYRINGE

if TYPE_CHECKING:
    from thawline.store.readings import Readings

FOLDS: Sequence[Fold[Any]] = (
    *(SITE, CARTON, LOT, VIAL, SYRINGE, UNIT, LOGGER_FILE, PERSON, ACCOUNT, ALERT, NIGHT),
    *(STANDBY, STAY, CARD, KIT, NOTE, DESK, FOLLOW_UP, AWAY, CARRY, SIGNED_PLAN),
)
"""Every kind of thing that the ledger keeps a state of."""


class LatePeople(AskedPeople):
    """The names of a site, opened when the first one is asked for."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    @cached_property
    def _people(self) -> People:
        from thawline.adapters.db.identity import DbPeople  # noqa: PLC0415  opened when needed

        return DbPeople(self._folder, identity_key(self._folder / sites.KEYS))


class LateReadings:
    """The readings of a site, opened when somebody asks; NumPy comes with them."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    @cached_property
    def _readings(self) -> ReadingStore:
        from thawline.adapters.db.readings import DbReadings  # noqa: PLC0415  when needed

        return DbReadings(self._folder)

    def keep(self, found: "Readings", file_sha256: str, file: Iterable[bytes]) -> str:
        """Keep readings and the file they came from; return their digest."""
        return self._readings.keep(found, file_sha256, file)

    def get(self, digest: str) -> "Readings":
        """Return the readings of that digest."""
        return self._readings.get(digest)

    def faults(self, digest: str, file_sha256: str) -> Iterator[str]:
        """Yield what is wrong with the readings and the file that an entry vouches for."""
        return self._readings.faults(digest, file_sha256)


def open_site(
    home: Path, name: str | None = None, *, now: Now | None = None, mint: Mint | None = None
) -> Site:
    """
    Return a site of a home folder, or the only one there is.

    Without `now` its present is the machine's, or that of its rehearsal.

    Raises:
        NotFoundError: There is no such site.
        RecordError: Its folder is not what it should be.
    """
    folder = sites.folder_of(home, name)
    settings = sites.read_settings(folder)
    now = now or (RehearsalClock(folder).now if settings.demo else machine_now)
    return Site(
        name=settings.name,
        zone=zone_named(settings.zone),
        ledger=DbLedger(folder, FOLDS, signer=partial(sign, folder / sites.KEYS)),
        rules=KeptRules(folder / sites.PROTOCOLS),
        people=LatePeople(folder),
        pins=FilePins(folder / sites.KEYS),
        readings=LateReadings(folder),
        now=now,
        mint=mint or mint_with(now),
        demo=settings.demo,
        units=settings.units,
        calls=settings.calls,
        night=settings.night,
        refuses_without=settings.refuses_without,
        second_places=settings.second_places,
    )


def sign(keys: Path, message: bytes) -> bytes:
    """Sign with the site's key, which is read only when a head is due."""
    return site_key(keys).sign(message)


def make_site(home: Path, settings: sites.Settings, site_id: UUID) -> Path:
    """Make a new site: its folder, keys, an empty ledger and an empty list of names."""
    from thawline.adapters.db import identity  # noqa: PLC0415  only here

    folder = sites.make_folder(home, settings)
    try:
        make_keys(folder / sites.KEYS)
        schema.create(folder, site_id)
        identity.create(folder)
    except BaseException:
        rmtree(folder, ignore_errors=True)  # half a site is no site
        raise
    return folder
