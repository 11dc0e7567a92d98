"""Acts of `thawline protocol`: sign a file, take one into use at a site."""

from pathlib import Path

from thawline.adapters import rule_files
from thawline.adapters.kept_rules import KeptRules
from thawline.adapters.keys import site_key
from thawline.adapters.signing import keep_signature, sign_file, signing_key
from thawline.adapters.sites import KEYS, PROTOCOLS, folder_of
from thawline.app.adoption import adopt as adopt_at
from thawline.app.protocols import Checked, check_file
from thawline.base.errors import RefusedError
from thawline.base.instants import instant, written
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.options import Acting
from thawline.cli.surroundings import home
from thawline.rules.reading import RuleFile, read_protocol


def sign(file: str, site: str | None) -> Answer:
    """Write FILE.sig; RefusedError where something in the file must be answered first."""
    raw = read_protocol(rule_files.file_bytes(file)).raw
    checked = _answered(file, raw)
    key = signing_key(home(), site)
    signature = sign_file(Path(file), raw, key)
    data = {
        "file": file,
        "signature": str(signature),
        "key": key.public.hex(),
        "sha256": checked.sha256,
    }
    text = f"Signed: {signature}\nby key {key.public.hex()}"
    return Answer(data, text, protocol=checked.ref)


def adopt(file: str, acting: Acting) -> Answer:
    """Take a file into use; RefusedError where something in it must be answered first."""
    rules = rule_files.load(file)
    _answered(file, rules.raw)
    site = site_named(acting.site)
    asked = doing(site, acting)
    if not asked.dry_run:
        _keep(file, rules, folder_of(home(), acting.site))
    outcome = adopt_at(site, asked, rules)
    start = written(instant(rules.protocol.protocol.effective_from), site.zone)
    text = f"{rules.ref.id} version {rules.ref.version} counts at {site.name} from {start}"
    data = {"id": rules.ref.id, "version": rules.ref.version, "effective_from": start}
    return recorded(outcome, site, text, data)


def _keep(file: str, rules: RuleFile, folder: Path) -> None:
    """Keep the file and its signature; one without is signed with the site's key."""
    kept = KeptRules(folder / PROTOCOLS)
    kept.keep(rules)
    signed = Path(f"{file}.sig")
    if file not in (*rule_files.names(), *rule_files.ids()) and signed.exists():
        keep_signature(kept.path_of(rules.ref), signed.read_bytes())
    else:
        sign_file(kept.path_of(rules.ref), rules.raw, site_key(folder / KEYS))


def _answered(file: str, raw: bytes) -> Checked:
    """Return the check of a file in which nothing must be answered any more; refuse others."""
    checked = check_file(raw, rule_files.references())
    if checked.must_be_answered:
        raise RefusedError(checked.findings, advice=f"thawline protocol check {file}")
    return checked
