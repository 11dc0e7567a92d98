"""A shipped protocol taken into use at a demo's site, by two people."""

from pathlib import Path

from thawline.adapters import rule_files, sites
from thawline.adapters.kept_rules import KeptRules
from thawline.app.acts import Doing
from thawline.app.adoption import adopt
from thawline.app.ports import Site
from thawline.app.protocols import check_file
from thawline.base.errors import RefusedError


def adopt_shipped(site: Site, folder: Path, doing: Doing, name: str) -> None:
    """Adopt a version as the second person of `doing` agrees; one with a slip is refused."""
    file = rule_files.load(name)
    checked = check_file(file.raw, rule_files.references())
    if checked.must_be_answered:
        raise RefusedError(checked.findings, advice=f"thawline protocol check {name}")
    KeptRules(folder / sites.PROTOCOLS).keep(file)
    adopt(site, doing, file)
