"""`thawline protocol`: the rules in one file: show, check, compare, sign, adopt."""

from pathlib import Path
from typing import Annotated

from cyclopts import App, Parameter

from thawline.adapters import rule_files
from thawline.adapters.signing import known_keys, signature_finding
from thawline.app.protocols import both_units, check_file, compare
from thawline.base.instants import read_instant
from thawline.cli.answers import Answer
from thawline.cli.options import Acting
from thawline.cli.protocols import (
    checked_answer,
    compared_answer,
    shown_answer,
    shown_rule_set,
    units_answer,
)
from thawline.cli.reading import PUBLISHED, read_stories
from thawline.cli.surroundings import home
from thawline.rules.protocol import ProtocolRef

app = App(name="protocol", help="The rules: show, check, compare, sign, adopt.")
NOBODY = Acting()
File = Annotated[str, Parameter(allow_leading_hyphen=True)]


@app.command
def show(
    protocol: File = PUBLISHED, *, toml: Annotated[bool, Parameter(negative="")] = False
) -> Answer:
    """
    Print a protocol or rule set in plain sentences, each with its item and source.

    thawline protocol show example-10
    thawline protocol show published-2022 --toml > ours.toml

    Parameters
    ----------
    protocol
        A shipped name, an id (its newest version) or a file.
    toml
        Print the file itself, to start one of your own from.
    """
    if toml:
        raw, ref = _bytes(protocol)
        text = raw.decode("utf-8-sig")
        return Answer({"toml": text}, text, protocol=ref)
    if protocol in rule_files.rule_sets():
        return shown_rule_set(rule_files.load_questions(protocol))
    return shown_answer(rule_files.load(protocol))


def _bytes(name: str) -> tuple[bytes, ProtocolRef]:
    if name in rule_files.rule_sets():
        return rule_files.shipped(name), rule_files.load_questions(name).ref
    file = rule_files.load(name)
    return file.raw, file.ref


@app.command
def check(file: File) -> Answer:
    """
    Say everything that is wrong or odd in a protocol file, with its line; records nothing.

    thawline protocol check ours.toml
    thawline protocol check example-10-v3-draft

    Parameters
    ----------
    file
        A file, a shipped name, or - for standard input.
    """
    raw = rule_files.bytes_of(file)
    signature = None
    if file != rule_files.STDIN and file not in rule_files.names():
        signature = signature_finding(Path(file), raw, known_keys(home()))
    return checked_answer(check_file(raw, rule_files.references(), signature))


@app.command
def units(protocol: File = PUBLISHED) -> Answer:
    """
    Print every figure in two units, beside the published one; records nothing.

    thawline protocol units ours.toml
    thawline protocol units example-10 --csv

    Parameters
    ----------
    protocol
        A shipped name, an id (its newest version) or a file.
    """
    file = rule_files.load(protocol)
    return units_answer(both_units(file, rule_files.references()), file.ref)


@app.command
def diff(old: File, new: File, *, stories: str | None = None, at: str | None = None) -> Answer:
    """
    Say what a new version changes: figures, vials under way, and whom to brief again.

    thawline protocol diff example-10-v3 example-10-v4
    thawline protocol diff example-10-v3 ours.toml --stories vials.json

    A longer limit counts for a vial only once its new flag is scanned, a shorter one at once.

    Parameters
    ----------
    old
        The version before: a shipped name, an id or a file.
    new
        The version after.
    stories
        A JSON file with the stories of vials under way, a list; - reads standard input.
    at
        The moment asked about, with its offset; the start of the new version if left out.
    """
    before, after = rule_files.load(old), rule_files.load(new)
    told = [] if stories is None else read_stories(stories)
    compared = compare(before, after, told, None if at is None else read_instant(at))
    return compared_answer(compared, after.ref)


@app.command
def sign(file: str, *, site: str | None = None) -> Answer:
    """
    Sign a checked protocol file with the site's key: FILE.sig, over the exact bytes.

    thawline protocol sign ours.toml --site harrowmint
    thawline protocol sign ours.toml

    Parameters
    ----------
    file
        The file; what must be answered in it is refused.
    site
        Whose key; not needed where there is only one site.
    """
    from thawline.cli.protocol_acts import sign as sign_with  # noqa: PLC0415  only acts need it

    return sign_with(file, site)


@app.command
def adopt(file: str, *, acting: Acting = NOBODY) -> Answer:
    """
    Take a checked protocol into use at a site, from its effective date on.

    thawline protocol adopt ours.toml --site harrowmint --by "Rowan Thistle"
    thawline protocol adopt example-10-v2 --by Rowan --countersign Hazel --pin 2041

    Parameters
    ----------
    file
        A file, a shipped name or an id; what must be answered in it is refused.
    """
    from thawline.cli.protocol_acts import adopt as adopt_at  # noqa: PLC0415  only acts need it

    return adopt_at(file, acting)
