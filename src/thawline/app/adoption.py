"""Taking a protocol into use at a site: from then on it decides."""

from thawline.app.acts import Doing, Outcome, act
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.instants import instant, to_ms
from thawline.ledger.entries import Decision, Plain, View
from thawline.ledger.events import ProtocolAdopted
from thawline.ledger.site import KEY, SITE
from thawline.rules.reading import RuleFile


def adopt(site: Site, doing: Doing, file: RuleFile) -> Outcome:
    """
    Take a protocol into use from its effective date on; for vials never from before now.

    Its bytes are kept before.

    Raises:
        RecordError: The site uses another protocol or a later version, or has this version
            with other bytes.
    """
    start = instant(file.protocol.protocol.effective_from)

    def decide(view: View) -> Decision:
        state = view.one(SITE, KEY)
        for adopted in state.adopted if state else ():
            if adopted.ref.id != file.ref.id:
                raise RecordError(
                    f"{site.name} uses protocol {adopted.ref.id}, not {file.ref.id}",
                    advice="a site keeps one protocol; adopt a new version of it",
                )
            if adopted.ref.version == file.ref.version and adopted.ref != file.ref:
                raise RecordError(
                    f"version {file.ref.version} was adopted with other bytes",
                    advice="give the changed file a new version number",
                )
            if to_ms(start) < adopted.effective_from_ms <= to_ms(doing.recorded_at):
                raise RecordError(
                    f"version {file.ref.version} is older than version {adopted.ref.version},"
                    " which is in use",
                    advice="give it a later effective_from and a new version number",
                )
        event = ProtocolAdopted(
            protocol_id=file.ref.id,
            version=file.ref.version,
            sha256=file.ref.sha256,
            effective_from_ms=to_ms(start),
            second=doing.second.name if doing.second else None,
            second_by_own_entry=doing.second is not None and doing.second.by_own_entry,
        )
        return Decision(event, (), file.ref)

    command: dict[str, Plain] = {"command": "protocol adopt", "sha256": file.ref.sha256}
    return act(site, doing, command, decide)
