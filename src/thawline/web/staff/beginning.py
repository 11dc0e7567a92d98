"""How a tablet becomes the site's, and how a person makes their own PIN and passphrase."""

from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from django.db import IntegrityError, transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.views.decorators.http import require_GET, require_http_methods

from thawline.adapters import sites
from thawline.adapters.authority import authority_pem, fingerprint_of
from thawline.adapters.pins import FilePins
from thawline.app.acts import Doing
from thawline.app.remarks import remark
from thawline.base.errors import NotFoundError, RecordError, ThawlineError
from thawline.base.instants import exactly
from thawline.base.roles import Role
from thawline.web.here import folder, here, title
from thawline.web.languages.chosen import rendered
from thawline.web.staff import codes, locks, misses, passphrases, tablets
from thawline.web.staff.models import Staff
from thawline.web.staff.sign_offs import employed, sign_off, today
from thawline.web.who import who

_FIRST_LASTS = timedelta(days=90)
_FIRST_BY = "the first start"
_NO_CODE = "That code opens nothing. Each is good once, for ten minutes: ask for another."
_DENIED, _ODD = 403, 422


@require_http_methods(["GET", "POST"])
def enrol(request: HttpRequest) -> HttpResponse:
    """Make this tablet the site's own, by a code that is good once."""
    if request.method == "GET":
        return _page(request, "enrol.html", "")
    place = request.META.get("REMOTE_ADDR", "")
    if says := misses.refused_try(misses.CODE, "", place):
        return _page(request, "enrol.html", says, _DENIED)
    opened = codes.use_up(request.POST.get("code", ""), codes.TABLET)
    if opened is None:
        return _page(request, "enrol.html", _NO_CODE, _DENIED)
    misses.fitted(misses.CODE, "", place)
    try:
        secret = tablets.enrol(opened)
        _note(opened.by, f"{opened.about} enrolled", opened.about)
    except RecordError as error:
        return _page(request, "enrol.html", f"{error.says}: {error.advice}.", _ODD)
    response = HttpResponseRedirect("/door")
    tablets.give_cookie(response, secret)
    return response


@require_http_methods(["GET", "POST"])
def begin(request: HttpRequest) -> HttpResponse:
    """Let somebody choose their own PIN and passphrase, by a code that is good once."""
    if request.method == "GET":
        return _page(request, "begin.html", "")
    asked = _Asked.of(request)
    place = request.META.get("REMOTE_ADDR", "")
    if says := asked.fault() or misses.refused_try(misses.CODE, "", place):
        return _page(request, "begin.html", says, _ODD)
    try:
        staff = _begun(asked)
    except ThawlineError as error:
        return _page(request, "begin.html", f"{error.says}. {error.advice}.", _ODD)
    if staff is None:
        return _page(request, "begin.html", _NO_CODE, _DENIED)
    misses.fitted(misses.CODE, "", place)
    if asked.passphrase:
        locks.come_in(request, staff, locks.BY_PASSPHRASE, tablets.tablet_of(request))
    return HttpResponseRedirect("/" if asked.passphrase else "/door")


@require_GET
def authority(request: HttpRequest) -> HttpResponse:
    """Return the certificate of the site's authority, to be compared by its fingerprint."""
    del request
    try:
        content = authority_pem(_keys())
    except OSError as error:
        raise NotFoundError(
            "this site has no authority yet", advice="thawline serve"
        ) from error
    return HttpResponse(
        content,
        content_type="application/x-x509-ca-cert",
        headers={"Content-Disposition": 'attachment; filename="authority.pem"'},
    )


@dataclass(frozen=True, slots=True)
class _Asked:
    """What somebody typed to begin."""

    code: str
    name: str
    pin: str
    passphrase: str

    @classmethod
    def of(cls, request: HttpRequest) -> "_Asked":
        told = request.POST
        name = " ".join(told.get("name", "").split())
        return cls(told.get("code", ""), name, told.get("pin", ""), told.get("passphrase", ""))

    def fault(self) -> str:
        """Return what is wrong with it, or ""."""
        if not self.name or not self.name.isprintable():
            return "Enter your name as it stands in the journal."
        if not self.pin:
            return "Enter a PIN of six digits."
        if not self.passphrase:
            return ""
        words = [*self.name.split(), *title().split(), folder().name, "thawline"]
        return passphrases.fault(self.passphrase, words)


@transaction.atomic
def _begun(asked: _Asked) -> Staff | None:
    """
    Return who begins, with their PIN and passphrase kept; None: the code opens nothing.

    Raises:
        NotFoundError: The code is somebody else's.
        RecordError: The PIN or the name cannot be used.
    """
    opened = codes.use_up(asked.code, codes.PERSON, codes.FIRST)
    if opened is None:
        return None
    if opened.opens == codes.FIRST:
        staff = _first(asked)
    else:
        staff = employed(opened.about)
        if staff.name.casefold() != asked.name.casefold():
            raise NotFoundError("that code is somebody else's", advice="Ask for your own")
    FilePins(_keys()).put(staff.name, asked.pin)
    if asked.passphrase:
        staff.set_password(asked.passphrase)
        staff.save(update_fields=["password"])
    _note(staff.name, f"{staff.name} chose their PIN")
    return staff


def _first(asked: _Asked) -> Staff:
    """Return the site's first technical admin, who needs a passphrase."""
    if Staff.objects.exists():
        raise RecordError("somebody has a log-in here already", advice="Ask them for a code")
    if not asked.passphrase:
        raise RecordError("the first log-in needs a passphrase", advice="Enter one")
    try:
        staff = Staff.objects.create(name=asked.name, badge=asked.name[:40])
    except IntegrityError as error:
        raise RecordError("that name is taken", advice="Enter another") from error
    sign_off(staff, Role.TECHNICAL_ADMIN, today() + _FIRST_LASTS, _FIRST_BY)
    return staff


def _note(by: str, says: str, device: str = "") -> None:
    site = here()
    now = site.now()
    doing = Doing(by, exactly(now), now, site.mint(), device=device)
    remark(site, doing, "begin", says)


def _keys() -> Path:
    return folder() / sites.KEYS


def _page(request: HttpRequest, template: str, says: str, status: int = 200) -> HttpResponse:
    told = {
        "said": says,
        "code": request.POST.get("code", "") or request.GET.get("code", ""),
        "name": request.POST.get("name", ""),
        "site_title": title(),
        "who": who(request),
        "fingerprint": _fingerprint(),
    }
    return rendered(request, template, told, status=status)


def _fingerprint() -> str:
    try:
        return fingerprint_of(_keys())
    except RecordError:
        return ""
